"""Pumping up, and pumping for long: what hands do, and where each stretch begins and ends."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from simulator import engine
from simulator.events import Watch
from simulator.faults import Fault, Injected
from simulator.rig import Rig
from simulator.session import Session
from simulator.trace import Trace
from simulator.units import convert

PSI = convert(1.0, "psi", "Pa")
NEAR_CUT_OUT = 5.0 * PSI  # figures near cut-out are read so far below it [Pa]
LOOKS = 12  # at the gauge, over the longest wait
RISES = 0.5 * PSI  # between two looks: a receiver that gains less has got as far as it will [Pa]
TURNING_OVER = 20.0  # an engine that has not fired by then does not [s]
LONG_PUMPING = 5400.0  # heads, lines and windings stand at their heat [s]
BLOWING = 900.0  # nobody lets a relief valve blow for longer [s]
VAST = 1e5  # times the receiver takes all that the pump gives, its pressure hardly rising
_RELIEF_LIFTS = {"relief-popped", "interstage-relief-popped", "head-relief-popped"}


@dataclass(frozen=True)
class Fill:
    """A machine pumped up from empty.

    Parameters
    ----------
    machine : Session
        At the end of pumping.
    began : float
        Rig's clock when pumping was let begin. [s]
    ended_by : str
        "control", "trip" or "limit".
    """

    machine: Session
    began: float
    ended_by: Literal["control", "trip", "limit"]

    @property
    def holds_air(self) -> bool:
        """Whether the receiver was filled far enough for what comes next."""
        receiver = self.machine.now()["receiver_gauge_pressure"]
        return self.ended_by == "control" or receiver >= self.machine.rig.switch.cut_in


def fill(rig: Rig, catalogue: Mapping[str, Fault], injected: Sequence[Injected], limit: float) -> Fill:
    """Start a machine with an empty receiver and leave it alone until it stops, trips, or rises no further.

    Parameters
    ----------
    rig : Rig
        The machine.
    catalogue : mapping of str to Fault
        The faults.
    injected : sequence of Injected
        Those put in.
    limit : float
        [s]

    Returns
    -------
    Fill
    """
    machine = Session(rig, catalogue, injected, 0, receiver_gauge_pressure=0.0)
    began = _let_pump(machine)
    end, before = began + limit, 0.0
    while machine.clock < end:
        ended = _pump(machine, min(machine.clock + limit / LOOKS, end))
        if ended:
            return Fill(machine, began, ended)
        now = machine.now()["receiver_gauge_pressure"]
        if now < before + RISES:
            break
        before = now
    return Fill(machine, began, "limit")


def _pump(machine: Session, until: float) -> Literal["control", "trip", ""]:
    """Leave a machine alone for a while, or until it ends pumping; says what has ended it, if anything."""
    if machine.rig.has_engine:
        return "control" if machine.run_until("unloaded", until - machine.clock) else ""
    seen = len(machine.events)
    while machine.clock < until:
        machine.run_until("contacts", until - machine.clock)
        since = {event.what for event in machine.events[seen:]}
        if "protector-tripped" in since:
            return "trip"
        # Contacts that have welded snap over and go on carrying the motor.
        if "contacts-open" in since and machine.now()["motor_live"] < 0.5:
            return "control"
    return ""


def _let_pump(machine: Session) -> float:
    """Start a machine; gives the rig's clock at which it may pump. [s]"""
    if machine.rig.has_engine:
        machine.operate("toggle-start")
        machine.operate("start")
        machine.run(TURNING_OVER)
        machine.operate("toggle-run")
    else:
        machine.operate("start")
    return machine.clock


def long_pumping(filled: Fill) -> Trace | None:
    """Let a machine pump for long at one pressure, near cut-out or the highest it reaches.

    Its receiver is made vast for this, so that no hand need bleed what the pump gives.

    Parameters
    ----------
    filled : Fill
        The machine after pumping up.

    Returns
    -------
    Trace or None
        The long stretch; none for a machine that has ended pumping lower.
    """
    machine = filled.machine
    top = machine.rig.switch.cut_out - NEAR_CUT_OUT
    highest = float(machine.trace.channel("receiver_gauge_pressure").max())
    if highest >= top:
        limit = machine.clock - filled.began
        machine = Session(machine.rig, machine.faults, machine.injected, 0, receiver_gauge_pressure=0.0)
        _let_pump(machine)
        machine.run_until("receiver-above", limit, top)
    elif filled.ended_by != "limit" or not machine.running:
        return None
    p, start = machine.parameters, machine.snapshot
    vessel = p.receiver._replace(volume=VAST * p.receiver.volume)
    state = start.state._replace(
        receiver_mass=VAST * start.state.receiver_mass, receiver_water=VAST * start.state.receiver_water
    )
    return engine.advance(
        p._replace(receiver=vessel),
        replace(start, state=state),
        machine.hands.positions(),
        start.time + (BLOWING if _RELIEF_LIFTS & {event.what for event in machine.events} else LONG_PUMPING),
        Watch.TRIP,
    ).trace
