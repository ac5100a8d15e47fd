"""What the learner's findings are worth: the same deeds are done again on the machine with other faults in it.

A suspect is ruled out by a finding that no severity and no place of it could have given to the same checks in the
same order. A finding shows that something is wrong if a sound machine could not have given it. Plain Python.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from simulator.engine import EngineFailed
from simulator.evidence import NOT_TAKEN, Deed, NextCheck, best_next, outcome_table
from simulator.evidence import replay as redo
from simulator.faults import Injected
from training.bench.case import catalogue, faults_of, rig_of
from training.bench.replay import replay_afresh

if TYPE_CHECKING:
    from collections.abc import Collection
    from pathlib import Path

    from simulator.faults import Fault
    from simulator.rig import Rig
    from simulator.session import Session
    from training.bench.case import Case
    from training.bench.job import Job, Line, Told

# A fault that makes a customer call is at least half as bad as it gets; a slighter one explains no complaint. Steps
# finer than the tables', so that none hides an outcome. Common practice, no source.
SEVERITIES = (0.5, 0.6, 0.7, 0.8, 0.9, 1.0)
# What the hand does on the machine in each step of Make safe.
STEP_DEEDS = {
    "stop": ("stop",),
    "isolate": ("isolate",),
    "lock": ("lock",),
    "bleed": ("open-drain",),
    "vent": ("vent-head",),
    "try": ("start", "stop"),
}


@dataclass(frozen=True)
class Evidence:
    """What the findings before the naming say. Numbers are those of the log's lines, 0 for none."""

    ruled_out: dict[str, int]
    shows_fault: int
    weighed: frozenset[str]


def evidence(case: Case, lines: tuple[Line, ...], suspects: frozenset[str]) -> Evidence:
    """Weigh the findings of a log up to the naming against the suspects in question."""
    named = next((index for index, line in enumerate(lines) if line.deed == "name"), len(lines))
    return _weighed(case, lines[:named], suspects - case.true_faults)


@lru_cache(maxsize=512)
def _weighed(case: Case, lines: tuple[Line, ...], suspects: frozenset[str]) -> Evidence:
    """Weigh all findings of a log; kept, as the same log is asked for by the mark and by every teardown."""
    job = replay_afresh(case, lines)
    deeds, numbers, seen = _deeds(job)
    ruled_out: dict[str, int] = {}
    known = faults_of(case.rig)
    for slug in sorted(suspects & set(known)):
        parted = _parted(case, deeds, seen, _variants(known[slug], rig_of(case.rig)))
        if parted is not None:
            ruled_out[slug] = numbers[parted]
    shows = _parted(case, deeds, seen, [()])
    return Evidence(ruled_out, 0 if shows is None else numbers[shows], suspects)


def _parted(
    case: Case, deeds: list[Deed], seen: list[str | None], machines: list[tuple[Injected, ...]]
) -> int | None:
    """Return the first finding that none of these machines gives to the same deeds, or None.

    All machines go on side by side, so that nothing is run past the finding that settles it. Where one of them
    stands so that the check could not be taken, or cannot be followed, the finding settles nothing: the learner
    would have waited or done otherwise there.
    """
    sessions = [case.session(injected) for injected in machines]
    for index, deed in enumerate(deeds):
        given = {_redone(session, deed) for session in sessions}
        if seen[index] is not None and given.isdisjoint({seen[index], NOT_TAKEN}):
            return index
    return None


def _redone(session: Session, deed: Deed) -> str | None:
    """Do one deed again; a machine that the engine cannot follow gives nothing."""
    try:
        return redo(session, [deed])[0]
    except EngineFailed:
        return NOT_TAKEN


def _variants(fault: Fault, rig: Rig) -> list[tuple[Injected, ...]]:
    """Return a fault in every place and over its severities."""
    severities = SEVERITIES if fault.graded else (None,)
    places = fault.locations_on(rig) or (None,)
    return [(Injected(fault.slug, severity, place),) for place in places for severity in severities]


def _deeds(job: Job) -> tuple[list[Deed], list[int], list[str | None]]:
    """Return the deeds as the simulator knows them, their lines, and what each check found."""
    deeds: list[Deed] = []
    numbers: list[int] = []
    seen: list[str | None] = []
    for told in job.told:
        for deed in _as_deeds(told):
            deeds.append(deed)
            numbers.append(told.line.number)
            seen.append(told.finding.outcome if told.finding is not None and deed.do == "check" else None)
    return deeds, numbers, seen


def _as_deeds(told: Told) -> list[Deed]:
    line, details = told.line, told.line.details
    if told.critical:
        return []  # it was not carried out
    match line.deed:
        case "hand":
            return [Deed(line.at, details["do"])]
        case "check":
            return [Deed(line.at, "check", details["check"], details["place"], f"line-{line.number}")]
        case "safe":
            return [*(Deed(line.at, do) for do in STEP_DEEDS[details["step"]]), Deed(told.ended, "wait")]
        case "wait" | "ask":
            return [Deed(told.ended, "wait")]
    return []


def separators(rig: str, suspects: Collection[str], store: Path | None) -> tuple[NextCheck, ...]:
    """Return the checks that part these suspects for certain, cheapest for what they part first."""
    return best_next(outcome_table(rig_of(rig), catalogue(), suspects, store), sorted(suspects))
