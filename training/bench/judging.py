"""What the learner's findings are worth: the same log is replayed on the machine with other faults in it.

A suspect is ruled out by a finding that no severity and no place of it could have given to the same checks in the
same order. A finding shows that something is wrong if a sound machine could not have given it. Plain Python.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from simulator.faults import Injected
from training.bench.case import faults_of
from training.bench.exceptions import Refusal
from training.bench.job import Job, Line
from training.bench.replay import follow, replay

if TYPE_CHECKING:
    from collections.abc import Iterable

    from simulator.checks import Finding
    from simulator.faults import Fault
    from training.bench.case import Case

SEVERITIES = (0.15, 0.35, 0.55, 0.75, 0.95)
ON_THE_MACHINE = {"hand", "wait", "check", "safe", "ask"}  # lines that touch the machine or its clock


@dataclass(frozen=True)
class Evidence:
    """What the findings before the naming say. Numbers are those of the log's lines."""

    ruled_out: dict[str, int]
    shows_fault: int


def what_if(case: Case, lines: Iterable[Line], injected: Iterable[Injected]) -> dict[int, str]:
    """Return, by line, what each check of the log would have found with these faults in the machine."""
    job = Job(case, case.session(injected))
    found: dict[int, str] = {}
    for line in lines:
        if line.deed not in ON_THE_MACHINE:
            continue
        try:
            told = follow(job, line)
        except Refusal:
            continue  # with these faults the deed could not have been done: it gives no finding
        if told.finding is not None:
            found[line.number] = told.finding.outcome
    return found


def variants(rig: str, fault: Fault) -> list[tuple[Injected, ...]]:
    """Return a fault in every place and over its severities."""
    severities = SEVERITIES if fault.graded else (None,)
    places = fault.locations or (None,)
    return [(Injected(fault.slug, severity, place),) for place in places for severity in severities]


@lru_cache(maxsize=512)
def evidence(case: Case, lines: tuple[Line, ...]) -> Evidence:
    """Weigh the findings of a log up to the naming against every suspect of the rig."""
    job = replay(case, lines)
    found = job.found()
    if not found:
        return Evidence({}, 0)
    before = tuple(line for line in lines if not job.named or line.number < job.named_number)
    ruled_out: dict[str, int] = {}
    for slug, fault in faults_of(case.rig).items():
        if slug in case.true_faults:
            continue
        runs = [what_if(case, before, variant) for variant in variants(case.rig, fault)]
        if number := _impossible(found, runs):
            ruled_out[slug] = number
    return Evidence(ruled_out, _impossible(found, [what_if(case, before, ())]))


def _impossible(found: list[tuple[int, Finding]], runs: list[dict[int, str]]) -> int:
    """Return the first line whose finding none of these machines gives, or 0."""
    for number, finding in found:
        if all(run.get(number) != finding.outcome for run in runs):
            return number
    return 0
