"""From a closed job and its verdict to the parts of a Teardown: everything may be said now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from training.bench.case import checks, faults_of, rig_of
from training.bench.handles import handles_of, steps_of
from training.bench.job import Named
from training.bench.marking import finding_words, lookalikes_of
from training.bench.shown import Happened, MarkRow, RuledOut, Separator, StatementShown

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from simulator.evidence import NextCheck
    from training.bench.job import Job, Told
    from training.bench.marking import Sheet, Verdict

RESULT_TITLES = {"competent": "Competent", "not-yet-competent": "Not yet competent", "voided": "Voided"}
SEPARATORS_SHOWN = 6


def marks(verdict: Verdict) -> tuple[MarkRow, ...]:
    """Return the marks by criterion, each with its reason."""
    return tuple(
        MarkRow(one.criterion, one.title, round(one.marks, 1), one.out_of, one.reason)
        for one in verdict.marked.marks
    )


def timeline(job: Job) -> tuple[Happened, ...]:
    """Return what was done when."""
    return tuple(
        Happened(
            told.line.number, told.line.at, told.ended, _what(job, told), _outcome(told), bool(told.critical)
        )
        for told in job.told
        if told.line.deed not in ("pin", "unpin")
    )


def _what(job: Job, told: Told) -> str:
    details, titles = told.line.details, faults_of(job.case.rig)
    match told.line.deed:
        case "check":
            check = checks()[details["check"]]
            return f"{check.title}: {check.place(details['place']).title}"
        case "hand":
            return handles_of(rig_of(job.case.rig))[details["do"]].title
        case "safe":
            return f"Make safe: {steps_of(rig_of(job.case.rig))[details['step']].title}"
        case "suspect":
            return f"Suspect {'out' if details['out'] else 'in'}: {titles[details['fault']].title}"
        case "name":
            return "Named: " + ", ".join(titles[one["fault"]].title for one in details["named"])
    return {
        "ask": "Asked the customer",
        "wait": "Waited",
        "repair": "Repair",
        "ticket": "Parts ticket",
        "proof": "Run proof",
        "say": "Told the customer",
        "close": "Closed the call",
        "void": "Voided by the instructor",
    }[told.line.deed]


def _outcome(told: Told) -> str:
    if told.critical:
        return told.critical
    return "" if told.line.deed in ("hand", "suspect", "ask", "say", "close") else told.words


def suspects(job: Job, sheet: Sheet, verdict: Verdict) -> tuple[RuledOut, ...]:
    """Return what the learner's own findings say of each suspect in question, the look-alikes first."""
    lookalikes = lookalikes_of(job.case, sheet)
    rows = []
    for slug, fault in faults_of(job.case.rig).items():
        if slug not in verdict.evidence.weighed | job.case.true_faults:
            continue
        number = verdict.evidence.ruled_out.get(slug, 0)
        standing = "true-fault" if slug in job.case.true_faults else "ruled-out" if number else "open"
        crossed_out = job.suspects.get(slug, (False, ""))[0]
        rows.append(
            RuledOut(slug, fault.title, standing, finding_words(job, number), crossed_out, slug in lookalikes)
        )
    order = {"true-fault": 0, "open": 1, "ruled-out": 2}
    return tuple(sorted(rows, key=lambda row: (order[row.standing], not row.lookalike, row.title)))


def separators(job: Job, ranked: Iterable[NextCheck]) -> tuple[Separator, ...]:
    """Return the checks that part what is wrong from its look-alikes, cheapest first, until all are parted."""
    left: set[str] = set()
    rows: list[Separator] = []
    taken = {(finding.check, finding.place) for _, finding in job.found()}
    parted: set[str] = set()
    for row in sorted(ranked, key=lambda one: one.minutes):
        left = {name for pair in row.parts if set(pair) & job.case.true_faults for name in pair}
        fresh = left - job.case.true_faults - parted
        if fresh and len(rows) < SEPARATORS_SHOWN:
            parted |= fresh
            rows.append(_separator(job, row, fresh, (row.check, row.place) in taken))
    return tuple(rows)


def _separator(job: Job, row: NextCheck, parts: set[str], taken: bool) -> Separator:
    check, titles = checks()[row.check], faults_of(job.case.rig)
    true = next(iter(job.case.true_faults))
    here = " or ".join(
        check.outcomes[one].rstrip(".").lower() for one in row.outcomes[true] if one in check.outcomes
    )
    return Separator(
        check.slug,
        check.title,
        check.place(row.place).title,
        round(row.minutes, 1),
        tuple(sorted(titles[one].title for one in parts)),
        f"With this fault: {here}." if here else "",
        taken,
    )


def statements(job: Job, offered: Sequence[Mapping[str, str]]) -> tuple[tuple[StatementShown, str], ...]:
    """Return what could have been said, each with why."""
    return tuple(
        (StatementShown(row["slug"], row["words"], row["slug"] == job.said), row["why"]) for row in offered
    )


def truth(job: Job) -> tuple[Named, ...]:
    """Return what was truly wrong, and where."""
    return tuple(Named(one.fault, one.location or "") for one in job.case.injected)
