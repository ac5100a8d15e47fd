"""The run proof: the machine is put back to service and measured, before and after, by the same checks."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from simulator.checks import CannotTake, Finding, UnsafeCheck, take
from training.bench.case import checks_of

if TYPE_CHECKING:
    from simulator.session import Session
    from training.bench.case import Case

PROTOCOL = ("pump-up", "listen-stop", "vent-time", "amps-run", "bleed-down")
FIRST_FILL = 1200.0  # twenty minutes: nobody waits longer for cut-out [s]
SETTLE = 600.0  # [s]
NEEDS_THE_LOCK = ("bleed-down",)


@dataclass(frozen=True)
class Proof:
    """Findings of the same checks before and after; None where the machine would not let a check be taken."""

    before: tuple[Finding | None, ...]
    after: tuple[Finding | None, ...]


def protocol(rig: str) -> tuple[str, ...]:
    """Return the checks of the proof that can be done on a rig: an engine has no amps and no blow at the stop."""
    return tuple(check for check in PROTOCOL if check in checks_of(rig))


def run_proof(case: Case, session: Session) -> Proof:
    """Return the machine to service, prove it by a run, and set it beside the machine as it was called for."""
    return Proof(_before(case), _measure(session))


@lru_cache(maxsize=256)
def _before(case: Case) -> tuple[Finding | None, ...]:
    """Return what the same checks show on the machine as it was at the start: the same for every replay."""
    return _measure(case.session())


def _measure(session: Session) -> tuple[Finding | None, ...]:
    _back_to_service(session)
    _first_fill(session)
    return tuple(_take(session, check) for check in protocol(session.rig.slug))


def _take(session: Session, check: str) -> Finding | None:
    try:
        if check in NEEDS_THE_LOCK:
            _lock_with_pressure(session)
        return take(session, check, key=f"proof-{check}")
    except (CannotTake, UnsafeCheck):
        return (
            None  # shown as a figure that could not be had, which is what a machine that will not run gives
        )


def _back_to_service(session: Session) -> None:
    """Close what was opened, take the lock off and restore the power, guard on and people clear."""
    hands = session.hands
    for wrong, deed in (
        (hands.element_out, "element-in"),
        (hands.head_vent_open, "shut-head-vent"),
        (hands.drain_open, "shut-drain"),
        (hands.outlet_open, "shut-outlet"),
        (hands.locked, "unlock"),
        (hands.isolated, "restore"),
    ):
        if wrong:
            session.operate(deed)


def _first_fill(session: Session) -> None:
    """Fill it once and let it settle, so that before and after start alike, however empty the receiver was."""
    session.operate("start")
    session.run_until("contacts-open", FIRST_FILL)
    session.run(SETTLE)


def _lock_with_pressure(session: Session) -> None:
    """Stop, isolate and lock, keeping the pressure in, for the bleed-down."""
    if session.hands.lever_on:
        session.operate("stop")
    session.run_until("stopped", 60.0)
    for wanted, deed in ((session.hands.isolated, "isolate"), (session.hands.locked, "lock")):
        if not wanted:
            session.operate(deed)
