"""What a rig has that a parameter, a check, a place or a picture may need: two stages, a belt, an oil gauge."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from simulator.components.motor import MotorSpec
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


def _heads(stage: int, least: int) -> Callable[[Rig], bool]:
    return lambda rig: len(rig.pump.of_stage(stage)) >= least


def _unloader(*kinds: str) -> Callable[[Rig], bool]:
    return lambda rig: rig.unloader.kind in kinds


def _motor(*kinds: str) -> Callable[[Rig], bool]:
    return lambda rig: rig.motor.kind in kinds


FEATURES: Mapping[str, Feature] = {
    "two-stage": Feature(lambda rig: rig.stages == 2, "It compresses in one stage: there is no interstage."),
    "interstage-relief": Feature(
        lambda rig: rig.interstage_relief is not None, "It has no relief valve between stages."
    ),
    "head-relief": Feature(
        lambda rig: rig.head_relief is not None, "It has no relief valve on the head line."
    ),
    "oil": Feature(lambda rig: rig.pump.lubrication != "none", "Its pump runs dry: there is no oil in it."),
    "oil-pressure-gauge": Feature(
        lambda rig: rig.pump.oil_pressure > 0.0, "Its pump has no oil pressure to read."
    ),
    # A pump with an oil gauge has its interstage gauge beside it.
    "interstage-gauge": Feature(
        lambda rig: rig.stages == 2 and rig.pump.oil_pressure > 0.0, "No gauge is fitted."
    ),
    "engine": Feature(_motor("engine"), "An electric motor drives it, not an engine."),
    "electric": Feature(_motor("single-phase", "three-phase"), "An engine drives it, not an electric motor."),
    "three-phase": Feature(_motor("three-phase"), "Its driver is not a three-phase motor."),
    "capacitors": Feature(_motor("single-phase"), "Its driver has no capacitors."),
    "run-capacitor": Feature(
        lambda rig: isinstance(rig.motor, MotorSpec) and rig.motor.run_capacitance > 0,
        "Its driver has no run capacitor.",
    ),
    "belt": Feature(
        lambda rig: rig.drive.kind == "belt", "The pump sits on the motor's shaft: there is no belt."
    ),
    "starter": Feature(lambda rig: rig.control == "pilots-starter", "It has no starter."),
    "pressure-switch": Feature(
        lambda rig: rig.control != "pilot-valve", "A pilot valve governs it: there is no pressure switch."
    ),
    "switch-unloader": Feature(_unloader("switch-mounted"), "Its unloader is not on a pressure switch."),
    "unloader-tube": Feature(lambda rig: rig.unloader.has_tube, "No small tube leads to its unloader."),
    "pump-unloader": Feature(_unloader("hydraulic", "centrifugal"), "Its unloader is not at the pump."),
    "pilot-unloader": Feature(_unloader("pilot"), "No pilot valve unloads it."),
    "vents-at-stop": Feature(
        _unloader("switch-mounted", "hydraulic", "centrifugal"),
        "It does not stop when it is full: it idles and blows off as long as it idles.",
    ),
    "two-filters": Feature(lambda rig: rig.pump.filters == 2, "One filter serves the whole pump."),
    "head-2": Feature(_heads(1, 2), "It has one first-stage cylinder."),
    "head-3": Feature(_heads(2, 1), "It compresses in one stage: it has no second-stage head."),
    "head-4": Feature(_heads(2, 2), "It has no second cylinder in the second stage."),
}


def has(rig: Rig, feature: str) -> bool:
    """Whether a rig has something.

    Parameters
    ----------
    rig : Rig
        The rig.
    feature : str
        One of `FEATURES`.

    Returns
    -------
    bool
        Whether it is there.

    Raises
    ------
    KeyError
        For a feature nobody knows.
    """
    return FEATURES[feature].has(rig)


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
        if not has(rig, need):
            return FEATURES[need].lacking
    return ""
