"""A machine just stopped, settled, its outlet opened: what hands do, and where each stretch begins and ends."""

from dataclasses import dataclass

from simulator.session import Session
from simulator.trial.filling import Fill

JUST_STOPPED, SETTLED, WATCHED = 15.0, 900.0, 600.0  # [s]
VENTING = 60.0  # a head line that has not vented by then does not [s]
AT_REST = 30.0  # until everything stands still [s]
COOLED = 2.0  # times the receiver's own time: its air has come near the room's, and what falls is leaking [-]
PRESSURE_LEFT = 0.5  # of cut-out: lower, the figures of a settled machine are taken at once [-]
CHARGING_LINE = 30.0  # [s]
TRIGGER_HELD = 10.0  # [s]


@dataclass(frozen=True)
class Stretch:
    """A machine after a stretch of the trial, and when that stretch began on the rig's clock. [s]"""

    machine: Session
    began: float


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
    _stop_by_hand(machine)  # one that has stopped by itself is kept from starting again
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


def outlet_opened(cooled: Stretch) -> Stretch:
    """Open the outlet of a settled machine, no tool in use, and let the shop line charge.

    Parameters
    ----------
    cooled : Stretch
        The settled machine.

    Returns
    -------
    Stretch
    """
    machine = cooled.machine.copy()
    outlet = machine.parameters.outlet._replace(demand_area=0.0)
    machine.parameters = machine.parameters._replace(outlet=outlet)
    began = machine.clock
    machine.operate("open-outlet")
    machine.run(CHARGING_LINE)
    return Stretch(machine, began)


def trigger_held(opened: Stretch) -> Stretch:
    """Pull the trigger of a tool on the open outlet and hold it.

    Parameters
    ----------
    opened : Stretch
        The settled machine, its shop line charged.

    Returns
    -------
    Stretch
    """
    machine = opened.machine.copy()
    began = machine.clock
    machine.operate("hold-trigger")
    machine.run(TRIGGER_HELD)
    return Stretch(machine, began)
