"""From a replayed job to its mark: gather what grading needs, in words a learner can read. Plain Python."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from training.bench import ticket
from training.bench.case import checks, faults_of
from training.bench.judging import evidence
from training.bench.replay import replay
from training.grading import calls as grading

if TYPE_CHECKING:
    from collections.abc import Mapping

    from training.bench.case import Case
    from training.bench.job import Job, Line
    from training.bench.judging import Evidence


@dataclass(frozen=True)
class Sheet:
    """What the mark needs of the call, frozen with the case: a call changed later changes no mark."""

    kind: str
    par_minutes: float
    lookalikes: tuple[str, ...]
    right_statement: str
    part: Mapping[str, Any] | None = None

    @classmethod
    def read(cls, row: Mapping[str, Any]) -> Sheet:
        """Read the sheet from an attempt's case."""
        given = row["sheet"]
        return cls(**given | {"lookalikes": tuple(given["lookalikes"])})

    def row(self) -> dict[str, Any]:
        """Return the sheet as it is written in an attempt's case."""
        return asdict(self) | {"lookalikes": list(self.lookalikes)}


@dataclass(frozen=True)
class Verdict:
    """A mark and what it stands on."""

    work: grading.Work
    marked: grading.Marked
    evidence: Evidence


def verdict(case: Case, sheet: Sheet, lines: tuple[Line, ...]) -> Verdict:
    """Mark a job from its case and log."""
    job = replay(case, lines)
    # Of all that a rig can have, those count that had to be ruled out, and those the learner ruled on.
    judged = {slug for slug, (out, _) in job.suspects.items() if out} | {one.fault for one in job.named}
    weighed = evidence(case, lines, lookalikes_of(case, sheet) | judged)
    work = _work(job, sheet, weighed)
    return Verdict(work, grading.mark(work), weighed)


def finding_words(job: Job, number: int) -> str:
    """Return a finding in words: the check, the place and what was found, without figures."""
    for told in job.told:
        if told.line.number == number and told.finding is not None:
            check = checks()[told.finding.check]
            place = check.place(told.finding.place).title if len(check.places) > 1 else ""
            said = told.words.rstrip(".")
            return f"{check.title}{f' ({place})' if place else ''}: {said[:1].lower()}{said[1:]}"
    return ""


def lookalikes_of(case: Case, sheet: Sheet) -> frozenset[str]:
    """Return the suspects that had to be ruled out: the faults' own look-alikes and those the call adds."""
    known = faults_of(case.rig)
    own = {other.fault for slug in case.true_faults for other in known[slug].lookalikes}
    return frozenset((own | set(sheet.lookalikes)) & set(known)) - case.true_faults


def _work(job: Job, sheet: Sheet, weighed: Evidence) -> grading.Work:
    case = job.case
    part = ticket.work(job.ticket, sheet.part)
    return grading.Work(
        truth=tuple(grading.Placed(one.fault, one.location or "") for one in case.injected),
        nothing_wrong=sheet.kind == "no-fault",
        named=tuple(grading.Placed(one.fault, one.location) for one in job.named),
        confidence=job.confidence or "unsure",
        lookalikes=lookalikes_of(case, sheet),
        ruled_out={slug: finding_words(job, number) for slug, number in weighed.ruled_out.items()},
        shows_fault=finding_words(job, weighed.shows_fault),
        repairs=tuple(
            grading.RepairDone(
                repair.title, frozenset(repair.right_for) & case.true_faults, bool(repair.part)
            )
            for _, repair in job.repairs
        ),
        used_minutes=job.used_minutes,
        par_minutes=sheet.par_minutes,
        statement_right=job.said == sheet.right_statement if job.said else None,
        critical=(*job.critical, *(part.critical if part else ())),
        voided=job.voided,
        ticket=part,
        titles={slug: fault.title for slug, fault in faults_of(case.rig).items()},
    )
