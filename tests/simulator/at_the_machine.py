"""Machines as a caller finds them, made once per condition, and findings taken on copies of them."""

import functools

from simulator.checks import Finding, load_checks, safe_for, take
from simulator.evidence import made_safe, standard_start
from simulator.faults import Effect, Fault, Injected, load_faults
from simulator.rig import Rig, load_rigs
from simulator.session import Session

RIG: Rig = load_rigs()["twin-60"]
FAULTS = load_faults()
PSI = 6894.757293168361


def condition(**changes: float | str) -> dict[str, Fault]:
    """A catalogue with one made-up fault, "condition", that sets physical parameters ("__" stands for a dot)."""
    effects = tuple(Effect(name.replace("__", "."), state=value) for name, value in changes.items())
    fault = Fault(
        slug="condition", system="test", title="Condition", rigs=(RIG.slug,), hazard_level=1, base_rate=1.0,
        mechanism="", effects=effects, repair="", wrong_repair="", hazard="", prohibited="",
    )  # fmt: skip
    return {"condition": fault}


def machine_with(**changes: float | str) -> Session:
    """A rested machine with physical parameters set by hand."""
    return standard_start(RIG, condition(**changes), [Injected("condition")])


@functools.cache
def _started(fault: str, severity: float | None, location: str | None) -> Session:
    injected = [Injected(fault, severity, location)] if fault else []
    return standard_start(RIG, FAULTS, injected)


def cycled(session: Session) -> Session:
    """The same machine after one pump-up, standing since a quarter of a minute."""
    session.operate("open-drain")
    session.run_until("contacts-close", 300.0)
    session.operate("shut-drain")
    session.run_until("contacts-open", 600.0)
    session.run(15.0)
    return session


def machine(fault: str = "", severity: float | None = None, location: str | None = None) -> Session:
    """A rested machine with air in its receiver, lever at AUTO; healthy when no fault is named."""
    return _started(fault, severity, location).copy()


def found(session: Session, check: str, place: str = "", key: str = "") -> Finding:
    """Make the machine as safe as the check asks and take it."""
    entry = load_checks()[check]
    return take(made_safe(session, safe_for(entry, entry.place(place).slug)), check, place, key)


def outcome(session: Session, check: str, place: str = "") -> str:
    """Outcome of a check on a machine made safe for it."""
    return found(session, check, place).outcome
