"""What a rig has that a check or a place may need: two stages, a belt, capacitors, an oil gauge."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from simulator.rig import Rig


@dataclass(frozen=True)
class Feature:
    """Something a rig has or lacks.

    Parameters
    ----------
    has : callable
        Says whether a rig has it.
    lacking : str
        What to say of a rig that lacks it.
    """

    has: Callable[[Rig], bool]
    lacking: str


def _oil(rig: Rig) -> bool:
    return not str(rig.fittings.get("oil_check", "none")).startswith("none")


def _cylinders(least: int) -> Callable[[Rig], bool]:
    return lambda rig: len(rig.pump.cylinders) >= least


def _unloader(*kinds: str) -> Callable[[Rig], bool]:
    return lambda rig: rig.unloader.kind in kinds


def _motor(*kinds: str) -> Callable[[Rig], bool]:
    return lambda rig: rig.motor.kind in kinds


def first_stage(rig: Rig) -> tuple[str, ...]:
    """Slugs of the cylinders that draw from the room, in order."""
    return tuple(cylinder.slug for cylinder in rig.pump.cylinders if cylinder.stage == 1)


def has_belt(rig: Rig) -> bool:
    """Whether a belt lies between motor and pump."""
    return rig.drive.kind == "belt"


FEATURES: Mapping[str, Feature] = {
    "two-stage": Feature(lambda rig: rig.stages == 2, "It compresses in one stage: there is no interstage."),
    "interstage-relief": Feature(
        lambda rig: rig.interstage_relief is not None, "It has no relief valve between stages."
    ),
    "head-relief": Feature(
        lambda rig: rig.head_relief is not None, "It has no relief valve on the head line."
    ),
    "oil": Feature(_oil, "Its pump runs dry: there is no oil in it."),
    "oil-pressure-gauge": Feature(
        _unloader("hydraulic"), "Its pump is lubricated by splash: there is no oil pressure to read."
    ),
    "engine": Feature(_motor("engine"), "An electric motor drives it, not an engine."),
    "electric": Feature(_motor("single-phase", "three-phase"), "An engine drives it, not an electric motor."),
    "three-phase": Feature(_motor("three-phase"), "Its driver is not a three-phase motor."),
    "capacitors": Feature(_motor("single-phase"), "Its driver has no capacitors."),
    "belt": Feature(has_belt, "The pump sits on the motor's shaft: there is no belt."),
    "starter": Feature(lambda rig: rig.control == "pilots-starter", "It has no starter."),
    "pressure-switch": Feature(
        lambda rig: rig.control != "pilot-valve", "A pilot valve governs it: there is no pressure switch."
    ),
    "cord": Feature(
        lambda rig: rig.feed == "cord", "It is not fed by cord and plug: that is for the electrician."
    ),
    "switch-unloader": Feature(_unloader("switch-mounted"), "Its unloader is not on a pressure switch."),
    "pump-unloader": Feature(_unloader("hydraulic", "centrifugal"), "Its unloader is not at the pump."),
    "pilot-unloader": Feature(_unloader("pilot"), "No pilot valve unloads it."),
    "vents-at-stop": Feature(
        _unloader("switch-mounted", "hydraulic", "centrifugal"),
        "It does not stop when it is full: it idles and blows off as long as it idles.",
    ),
    "two-filters": Feature(
        lambda rig: rig.stages == 2 and len(first_stage(rig)) == 2, "One filter serves the whole pump."
    ),
    "second-head": Feature(_cylinders(2), "It has one cylinder."),
    "third-head": Feature(_cylinders(3), "It has no third cylinder."),
    "fourth-head": Feature(_cylinders(4), "It has no fourth cylinder."),
}


def lacking(rig: Rig, needs: Iterable[str]) -> str:
    """Say what a rig lacks of what is needed.

    Parameters
    ----------
    rig : Rig
        The rig.
    needs : iterable of str
        Names out of `FEATURES`.

    Returns
    -------
    str
        The first lack in words; empty when all is there.
    """
    for need in needs:
        if not FEATURES[need].has(rig):
            return FEATURES[need].lacking
    return ""
