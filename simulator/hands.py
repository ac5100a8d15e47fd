"""Hands on a machine: where levers, valves and locks stand, and the deeds that move them."""

from collections.abc import Callable
from dataclasses import dataclass

from simulator.rig import Rig
from simulator.state import Hands as LeverPositions


class UnknownDeed(ValueError):
    """No such deed; names the nearest."""


@dataclass(frozen=True)
class Hands:
    """What anybody standing there can see of levers, valves and locks."""

    lever_on: bool = False
    isolated: bool = False
    locked: bool = False
    outlet_open: bool = False
    drain_open: bool = False
    head_vent_open: bool = False
    element_out: bool = False
    belt_off: bool = False
    ring_pulled: bool = False
    trigger_held: bool = False
    toggle_unloaded: bool = False
    leads_rolled: int = 0

    def positions(self) -> LeverPositions:
        """The same as numbers for the engine."""
        return LeverPositions(
            float(self.lever_on),
            float(not self.isolated),
            float(self.outlet_open),
            float(self.drain_open),
            float(self.head_vent_open),
            float(not self.element_out),
            float(not self.belt_off),
            float(self.ring_pulled),
            float(self.trigger_held),
            float(self.toggle_unloaded),
            float(self.leads_rolled),
        )


# Deeds that only move a lever, valve or lock.
MOVES: dict[str, dict[str, bool]] = {
    "start": {"lever_on": True},
    "stop": {"lever_on": False},
    "open-outlet": {"outlet_open": True},
    "shut-outlet": {"outlet_open": False},
    "open-drain": {"drain_open": True},
    "shut-drain": {"drain_open": False},
    "isolate": {"isolated": True},
    "restore": {"isolated": False},
    "lock": {"locked": True},
    "unlock": {"locked": False},
    "vent-head": {"head_vent_open": True},
    "shut-head-vent": {"head_vent_open": False},
    "element-out": {"element_out": True},
    "element-in": {"element_out": False},
    "belt-off": {"belt_off": True},
    "belt-on": {"belt_off": False},
    "pull-ring": {"ring_pulled": True},
    "release-ring": {"ring_pulled": False},
    "hold-trigger": {"trigger_held": True},
    "release-trigger": {"trigger_held": False},
    "toggle-start": {"toggle_unloaded": True},
    "toggle-run": {"toggle_unloaded": False},
}
DEEDS: tuple[str, ...] = (*MOVES, "reset-protector", "roll-leads")
# Deeds that only some machines have a handle for.
_ONLY_ON: dict[str, Callable[[Rig], bool]] = {
    "belt-off": lambda rig: rig.drive.kind == "belt",
    "belt-on": lambda rig: rig.drive.kind == "belt",
    "toggle-start": lambda rig: rig.has_engine,
    "toggle-run": lambda rig: rig.has_engine,
    "roll-leads": lambda rig: rig.motor.kind == "three-phase",
    "reset-protector": lambda rig: not rig.has_engine and rig.electric_motor.protector_reset == "manual",
}


def deeds_for(rig: Rig) -> tuple[str, ...]:
    """Deeds that a rig has a handle for.

    Parameters
    ----------
    rig : Rig
        The rig.

    Returns
    -------
    tuple of str
        In the order of `DEEDS`.
    """
    return tuple(deed for deed in DEEDS if deed not in _ONLY_ON or _ONLY_ON[deed](rig))
