"""Which act in which state is prohibited, and why.

Each `check_...` returns nothing when the act may be done and raises `Prohibited` with the reason and the way to
make it safe when it may not. What is never done as a test, whatever the state, stands in
`simulator.prohibited`. They read what anyone could prove on the machine: lock, isolator, pressures. The
rules are those of the trade (lockout before work, zero pressure before opening); local codes and the person in
charge come before them.
"""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from simulator.session import Session
from simulator.units import convert

AT_ZERO = convert(1.0, "psi", "Pa")  # gauge; below it nothing is thrown [Pa]
HELD_BACK = convert(2.0, "psi", "Pa")  # gauge; as much may stay between the stages behind closed valves [Pa]
LIVE_PLACES = ("lp-switch-cover",)  # live parts lie under soap brushed on here
LEAST_UNDER_RING = convert(15.0, "psi", "Pa")  # gauge; below it a lifted seat is not blown clean [Pa]
RESETS_WITHOUT_CAUSE = 2  # a protector reset again and again burns the winding; common practice, no source

LOCK_OUT = (
    "Stop the machine, open the disconnect, hang your lock and tag on it and try to start it. Then go on."
)
BLEED = (
    "Open the drain and leave it open, vent the head line and what lies between the stages, and see every gauge at "
    "zero with no air coming."
)


Side = Literal["receiver", "head line", "interstage"]


class Prohibited(Exception):
    """The act hurts people in this state; says why and how to make it safe."""


@dataclass(frozen=True)
class Joint:
    """Something that can be opened, and what stands behind it."""

    title: str
    behind: tuple[Side, ...]


JOINTS: dict[str, Joint] = {
    "check-valve": Joint("the check valve", ("receiver", "head line")),
    "head-line": Joint("the head line", ("head line",)),
    "unloader-tube": Joint("the unloader tube", ("head line",)),
    "unloader": Joint("the unloader valve", ("head line",)),
    "head": Joint("the cylinder head", ("head line", "interstage")),
    "intercooler": Joint("the intercooler", ("interstage",)),
    "interstage-plug": Joint("the interstage plug", ("interstage",)),
    "interstage-relief": Joint("the interstage relief valve", ("interstage",)),
    "head-line-relief": Joint("the head line's relief valve", ("head line",)),
    "pressure-switch": Joint("the pressure switch", ("receiver", "head line")),
    "gauge": Joint("the receiver gauge", ("receiver",)),
    "relief": Joint("the relief valve", ("receiver",)),
    "drain": Joint("the drain's boss", ("receiver",)),
    "outlet": Joint("the outlet valve", ("receiver",)),
    "plug": Joint("an inspection plug", ("receiver",)),
}


def check_locked_out(session: Session, act: str) -> None:
    """Refuse work inside guards or covers while the machine can start.

    Parameters
    ----------
    session : Session
        The machine.
    act : str
        What is to be done, to open the refusal with.

    Raises
    ------
    Prohibited
        The isolator is closed or nobody's lock is on it.

    References
    ----------
    Order of US lockout rules (29 CFR 1910.147, from memory): shut down, isolate, lock, release stored energy,
    verify.
    """
    hands = session.hands
    if not hands.isolated:
        raise Prohibited(
            f"{act}: not with the isolator closed. A machine on a pressure switch starts without warning. {LOCK_OUT}"
        )
    if not hands.locked:
        raise Prohibited(
            f"{act}: not with an isolator that anybody can close again. Hang your lock and tag on it. Then go on."
        )


def charged(session: Session) -> tuple[Side, ...]:
    """Which spaces of the machine hold pressure.

    Parameters
    ----------
    session : Session
        The machine.

    Returns
    -------
    tuple of str
        Out of "receiver", "head line" and "interstage".
    """
    now = session.now()
    pressures: dict[Side, tuple[float, float]] = {
        "receiver": (now["receiver_gauge_pressure"], AT_ZERO),
        "head line": (now["head_line_gauge_pressure"], AT_ZERO),
        "interstage": (now["interstage_gauge_pressure"], HELD_BACK),
    }
    return tuple(side for side, (pressure, limit) in pressures.items() if pressure > limit)


def check_may_open(session: Session, joint: str) -> None:
    """Refuse to open a joint that holds pressure or on a machine that can start.

    Parameters
    ----------
    session : Session
        The machine.
    joint : str
        One of `JOINTS`.

    Raises
    ------
    KeyError
        For a joint nobody knows.
    Prohibited
        With what is behind the joint and how to get it to zero.
    """
    known = JOINTS[joint]
    check_locked_out(session, f"Opening {known.title}")
    for side in charged(session):
        if side in known.behind:
            raise Prohibited(
                f"Opening {known.title}: not with pressure in the {side}. The part is thrown and hot air burns. {BLEED}"
            )
    if "receiver" in known.behind and not session.hands.drain_open:
        raise Prohibited(
            f"Opening {known.title}: not with the drain shut. A gauge at zero proves nothing; an open drain does. {BLEED}"
        )


def check_may_soap(session: Session, place: str) -> None:
    """Refuse soapy water on a live switch.

    Parameters
    ----------
    session : Session
        The machine.
    place : str
        Slug of the place.

    Raises
    ------
    Prohibited
        At the switch's cover while the machine is not locked out.
    """
    if place in LIVE_PLACES:
        check_locked_out(session, "Soap on a pressure switch with live parts inside gives a shock")


def check_may_operate(session: Session, deed: str) -> None:
    """Refuse deeds that hurt somebody as the machine stands.

    Parameters
    ----------
    session : Session
        The machine.
    deed : str
        A deed of `Session.operate`.

    Raises
    ------
    Prohibited
        With the reason and the way to mend it.
    """
    if deed == "element-out" and session.running:
        raise Prohibited(
            "Taking the element out of a running pump draws in sleeve, rag and dirt. Stop it first, lever at OFF."
        )
    if deed == "vent-head" and session.running:
        raise Prohibited("Opening the bleed cock on a running pump blows hot air at you. Lever at OFF first.")
    if deed in ("belt-off", "belt-on"):
        check_locked_out(session, "Hands among belt and sheaves")
    if deed == "roll-leads":
        check_locked_out(session, "Moving the motor's leads")
    if deed == "pull-ring" and session.now()["receiver_gauge_pressure"] < LEAST_UNDER_RING:
        raise Prohibited(
            "Pulling the relief's ring with next to nothing under it leaves dirt on the seat. Pump up first."
        )
    if deed == "start" and session.rig.has_engine and not session.hands.toggle_unloaded:
        _check_kick_back(session)
    if deed == "reset-protector" and session.protector_tripped and _trips(session) > RESETS_WITHOUT_CAUSE:
        raise Prohibited(
            "The protector has tripped again after two resets. Pressing it once more cooks the winding: find out "
            "why it trips first."
        )


def _check_kick_back(session: Session) -> None:
    """Refuse to crank an engine against a charged pump."""
    if session.now()["head_line_gauge_pressure"] > AT_ZERO:
        raise Prohibited(
            "Cranking an engine against a charged pump kicks back: that has broken wrists. Toggle to START first, let "
            "the pump blow down, then start it."
        )


def _trips(session: Session) -> int:
    """How often the protector has tripped."""
    return sum(1 for event in session.events if event.what == "protector-tripped")


def check_may_run(session: Session, evidence: Collection[str]) -> None:
    """Refuse to run a machine after something was found that can kill.

    Parameters
    ----------
    session : Session
        The machine.
    evidence : collection of str
        Words of the findings that ask for the machine to be stopped (`Check.stop`).

    Raises
    ------
    Prohibited
        Naming the first of them, or for a receiver above its relief's reach.
    """
    for found in evidence:
        raise Prohibited(
            f"Not another run after this was found: {found} Lock it out and put that right first."
        )
    now = session.now()
    relief = session.rig.relief
    if now["receiver_gauge_pressure"] > 1.1 * relief.set_pressure:
        raise Prohibited(
            "The receiver stands above what its relief valve should allow. Open the disconnect from a distance, "
            "keep everybody away and let it down from where nobody stands."
        )
