"""A machine bled to cut-in and started again: what hands do, and where each stretch begins and ends."""

from simulator.session import Session
from simulator.trial.leaving import AT_REST, Stretch

BLEEDING = 900.0  # [s]
STARTING = 60.0  # a start that goes wrong has done so by then [s]
COOLING, COOLINGS = 300.0, 12  # a tripped protector's button is tried so often [s]


def bled_to_cut_in(stopped: Stretch) -> Stretch:
    """Bleed a machine that has just stopped until it comes in by itself, or is empty.

    Parameters
    ----------
    stopped : Stretch
        The machine just stopped.

    Returns
    -------
    Stretch
        Up to the instant at which the contacts close, or an idling engine takes the load again.
    """
    machine = stopped.machine.copy()
    began = machine.clock
    if machine.rig.has_engine:
        machine.operate("toggle-run")
        machine.operate("open-drain")
        machine.run_until("loaded", BLEEDING)
    else:
        _wait_for_the_protector(machine)
        machine.operate("open-drain")
        if machine.hands.isolated:
            machine.run_until("receiver-below", BLEEDING, machine.rig.switch.cut_in)
            machine.operate("restore")
        machine.operate("start")
        if machine.now()["contacts_closed"] < 0.5:
            machine.run_until("contacts-close", BLEEDING)
    machine.operate("shut-drain")
    return Stretch(machine, began)


def restarted(stopped: Stretch, bled: Stretch) -> Stretch:
    """Let a machine start again at cut-in.

    Parameters
    ----------
    stopped : Stretch
        The machine just stopped.
    bled : Stretch
        The same, bled to cut-in.

    Returns
    -------
    Stretch
        From the instant at which the contacts close or the key is turned.
    """
    if stopped.machine.rig.has_engine:
        return _key_turned(stopped.machine.copy())
    machine = bled.machine.copy()
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
