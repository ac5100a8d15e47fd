"""What hands do in the trial, and where each stretch of it begins and ends."""

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

_RELIEF_LIFTS = {"relief-popped", "interstage-relief-popped", "head-relief-popped"}
PSI = convert(1.0, "psi", "Pa")
NEAR_CUT_OUT = 5.0 * PSI  # figures near cut-out are read so far below it [Pa]
LONG_PUMPING = 5400.0  # heads, lines and windings stand at their heat [s]
BLOWING = 900.0  # nobody lets a relief valve blow for longer [s]
VAST = 1e5  # times the receiver takes all that the pump gives, its pressure hardly rising
LOOKS = 12  # at the gauge, over the longest wait
RISES = 0.5 * PSI  # between two looks: a receiver that gains less has got as far as it will [Pa]
VENTING = 60.0  # a head line that has not vented by then does not [s]
JUST_STOPPED, SETTLED, WATCHED = 15.0, 900.0, 600.0  # [s]
COOLED = 2.0  # times the receiver's own time: its air has come near the room's, and what falls is leaking [-]
CHARGING_LINE = 30.0  # [s]
STARTING = 60.0  # a start that goes wrong has done so by then [s]
COOLING, COOLINGS = 300.0, 12  # a tripped protector's button is tried so often [s]
BLEEDING = 900.0  # [s]
TURNING_OVER = 20.0  # an engine that has not fired by then does not [s]
AT_REST = 30.0  # until everything stands still [s]
PRESSURE_LEFT = 0.5  # of cut-out: lower, the figures of a settled machine are taken at once [-]


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


@dataclass(frozen=True)
class Stretch:
    """A machine after a stretch of the trial, and when that stretch began on the rig's clock. [s]"""

    machine: Session
    began: float


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


def just_stopped(filled: Fill) -> Stretch:
    """Watch a machine for the first seconds after it has stopped, by itself or by hand.

    Parameters
    ----------
    filled : Fill
        The machine after pumping up.

    Returns
    -------
    Stretch
    """
    machine = filled.machine.copy()
    began = machine.clock
    if filled.ended_by != "control":
        _stop_by_hand(machine)
    machine.run(JUST_STOPPED)
    return Stretch(machine, began)


def _stop_by_hand(machine: Session) -> None:
    """Stop it by lever or, where that does nothing, by the disconnect; an engine is only unloaded."""
    if machine.rig.has_engine:
        machine.operate("toggle-start")
        return
    machine.operate("stop")
    if machine.now()["motor_live"] > 0.5:
        machine.operate("isolate")


def _leave_off(machine: Session) -> None:
    """Leave it off with the head line open to the room, as a hand does that goes home."""
    _stop_by_hand(machine)
    if machine.rig.has_engine:
        machine.operate("stop")


def left_full(stopped: Stretch) -> Stretch:
    """Leave a machine that has filled its receiver off, standing still.

    Parameters
    ----------
    stopped : Stretch
        The machine just stopped.

    Returns
    -------
    Stretch
    """
    machine = stopped.machine.copy()
    _leave_off(machine)
    machine.run(AT_REST)
    return Stretch(machine, stopped.began)


def failed_since(full: Stretch, filled: Fill) -> Stretch:
    """A machine that cannot fill its receiver, as it stands if that came over it while it stood full.

    Parameters
    ----------
    full : Stretch
        The sound machine, left off with a full receiver.
    filled : Fill
        The machine that could not.

    Returns
    -------
    Stretch
    """
    machine = full.machine.copy()
    machine.failed(filled.machine.faults, filled.machine.injected)
    return Stretch(machine, full.began)


def vented(stopped: Stretch) -> Stretch:
    """Go on watching until a head line that vents at all has done so.

    Parameters
    ----------
    stopped : Stretch
        The machine just stopped.

    Returns
    -------
    Stretch
    """
    machine = stopped.machine.copy()
    machine.run(VENTING - JUST_STOPPED)
    return Stretch(machine, stopped.began)


def settled(stopped: Stretch) -> Stretch:
    """Leave a machine off for a quarter of an hour, shorter if its pressure is lost before.

    Parameters
    ----------
    stopped : Stretch
        The machine some while after it has stopped.

    Returns
    -------
    Stretch
        Up to then.
    """
    machine = stopped.machine.copy()
    _leave_off(machine)
    _stand(machine, stopped.began + SETTLED)
    return Stretch(machine, stopped.began)


def _stand(machine: Session, until: float) -> None:
    """Let a machine stand, shorter if its pressure is lost before."""
    left = PRESSURE_LEFT * machine.rig.switch.cut_out
    machine.run_until("receiver-below", max(until - machine.clock, 0.0), left)


def cooled(standing: Stretch) -> Stretch:
    """Go on waiting until the air has cooled, which in a large receiver takes longer.

    Parameters
    ----------
    standing : Stretch
        The machine a quarter of an hour after it has stopped.

    Returns
    -------
    Stretch
    """
    machine = standing.machine.copy()
    _stand(machine, standing.began + COOLED * machine.rig.receiver.cooling_time_constant)
    return Stretch(machine, standing.began)


def watched(standing: Stretch) -> Stretch:
    """Watch a settled machine for ten minutes.

    Parameters
    ----------
    standing : Stretch
        The settled machine.

    Returns
    -------
    Stretch
    """
    machine = standing.machine.copy()
    began = machine.clock
    machine.run(WATCHED)
    return Stretch(machine, began)


def outlet_opened(standing: Stretch) -> Stretch:
    """Open the outlet of a settled machine, no tool in use, let the shop line charge, and watch for ten minutes.

    Parameters
    ----------
    standing : Stretch
        The settled machine.

    Returns
    -------
    Stretch
        From the instant at which the line is charged.
    """
    machine = standing.machine.copy()
    outlet = machine.parameters.outlet._replace(demand_area=0.0)
    machine.parameters = machine.parameters._replace(outlet=outlet)
    machine.operate("open-outlet")
    machine.run(CHARGING_LINE)
    began = machine.clock
    machine.run(WATCHED)
    return Stretch(machine, began)


def restarted(stopped: Stretch) -> Stretch:
    """Bleed a machine that has just stopped to cut-in and let it start again.

    Parameters
    ----------
    stopped : Stretch
        The machine just stopped.

    Returns
    -------
    Stretch
        From the instant at which the contacts close or the key is turned.
    """
    machine = stopped.machine.copy()
    if machine.rig.has_engine:
        return _key_turned(machine)
    _wait_for_the_protector(machine)
    machine.operate("open-drain")
    if machine.hands.isolated:
        machine.run_until("receiver-below", BLEEDING, machine.rig.switch.cut_in)
        machine.operate("restore")
    machine.operate("start")
    if machine.now()["contacts_closed"] < 0.5:
        machine.run_until("contacts-close", BLEEDING)
    machine.operate("shut-drain")
    began = machine.clock
    machine.run_until("trip", STARTING)
    return Stretch(machine, began)


def _wait_for_the_protector(machine: Session) -> None:
    """Let a tripped protector cool, and press its button where it has one."""
    for _ in range(COOLINGS):
        if not machine.protector_tripped:
            return
        machine.run(COOLING)
        if machine.rig.electric_motor.protector_reset == "manual":
            machine.operate("reset-protector")


def _key_turned(machine: Session) -> Stretch:
    """Stop an engine and start it again with the toggle in its start position."""
    machine.operate("stop")
    machine.run(AT_REST)
    machine.operate("toggle-start")
    began = machine.clock
    machine.operate("start")
    machine.run(STARTING)
    return Stretch(machine, began)
