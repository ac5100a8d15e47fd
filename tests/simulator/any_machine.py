"""Any of the rigs, healthy or with physical parameters set by hand, and findings taken on it."""

import functools

from simulator.checks import Finding, checks_for, safe_for, take
from simulator.evidence import made_safe, standard_start
from simulator.faults import Effect, Fault, Injected
from simulator.rig import Rig, load_rigs
from simulator.session import Session

RIGS: dict[str, Rig] = load_rigs()
ELECTRIC = [slug for slug, rig in RIGS.items() if rig.motor.kind != "engine"]
SINGLE_PHASE = [slug for slug, rig in RIGS.items() if rig.motor.kind == "single-phase"]
THREE_PHASE = [slug for slug, rig in RIGS.items() if rig.motor.kind == "three-phase"]
BELT = [slug for slug, rig in RIGS.items() if rig.drive.kind == "belt"]
ELECTRIC_BELT = [slug for slug in BELT if slug in ELECTRIC]


@functools.cache
def _started(slug: str, changes: tuple[tuple[str, float | str], ...]) -> Session:
    rig = RIGS[slug]
    effects = tuple(Effect(name, state=value) for name, value in changes)
    fault = Fault(
        slug="condition", system="test", title="Condition", rigs=(slug,), hazard_level=1, base_rate=1.0,
        mechanism="", effects=effects, repair="", wrong_repair="", hazard="", prohibited="",
    )  # fmt: skip
    return standard_start(rig, {"condition": fault}, [Injected("condition")])


def machine_of(slug: str, **changes: float | str) -> Session:
    """A rested machine of one rig with physical parameters set by hand ("__" stands for a dot)."""
    named = tuple(sorted((name.replace("__", "."), value) for name, value in changes.items()))
    return _started(slug, named).copy()


def found_on(session: Session, check: str, place: str = "", key: str = "") -> Finding:
    """Make the machine as safe as the check asks and take it."""
    entry = checks_for(session.rig)[check]
    return take(made_safe(session, safe_for(entry, entry.place(place).slug)), check, place, key)


def outcome_of(slug: str, check: str, place: str = "", **changes: float | str) -> str:
    """Outcome of a check on a rig with physical parameters set by hand."""
    return found_on(machine_of(slug, **changes), check, place).outcome
