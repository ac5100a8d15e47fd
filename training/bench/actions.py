"""Deeds at the bench: the same key never acts twice, and the log goes on line by line.

A deed is worked out on the log as it was read and written under the lock only if the log still ends there; else it
is worked out anew. So the lock, which is the whole database's on SQLite, is never held while a machine runs.
"""

from __future__ import annotations

import re
import secrets
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from django.contrib.auth import get_user_model
from django.db import transaction

from simulator.faults import Injected
from training.bench import deeds, ticket
from training.bench.case import Case, checks_of, faults_of, repairs, rig_of
from training.bench.exceptions import AttemptClosed, NotUnderstood, OutOfOrder
from training.bench.job import Line
from training.bench.marking import Sheet, verdict
from training.bench.models import Attempt, AttemptResult, LogEntry
from training.bench.queries import lines_of
from training.bench.replay import follow, keep, moment, replay
from training.people.actions import record_audit

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from training.bench.job import Job, Told
    from training.bench.marking import Verdict
    from training.cases.models import Call
    from training.people.models import Member

KEY = re.compile(r"[A-Za-z0-9._-]{1,64}\Z")
LONGEST_JOB = 24 * 3600.0  # on the rig's clock [s]
MOST_LINES = 600
RACES = 8  # how often a deed is worked out anew because another page of the learner was quicker
VOID_KEY = "!void"  # no key that a page can send, so that none can stand in its way
ENDS_A_JOB = frozenset({"name", "repair", "ticket", "proof", "say", "close"})


@dataclass(frozen=True)
class Outcome:
    """What came of a deed. `critical` holds the reason when it was prohibited and therefore not carried out."""

    number: int
    deed: str
    words: str
    critical: str
    clock: float
    repeated: bool


@dataclass(frozen=True)
class Worked:
    """A deed worked out on a log as it was read, not yet written."""

    job: Job
    lines: tuple[Line, ...]
    told: Told
    found: Verdict | None


@transaction.atomic
def open_attempt(*, learner: Member, call: Call, now: datetime, seed: int | None = None) -> Attempt:
    """Begin a call: freeze the case. The learner's open attempt on this call is given back if there is one."""
    get_user_model().objects.select_for_update().get(pk=learner.pk)  # two clicks at once begin one attempt
    begun: Attempt
    for begun in Attempt.objects.filter(learner=learner, call=call, outcome__isnull=True).order_by(
        "-started_at"
    ):
        if not Case.read(
            begun.case
        ).is_changed:  # one that cannot be gone on with stays in the books as it is
            return begun
    if not call.live:
        raise OutOfOrder("This call is off the call sheet. Take another.")
    case = Case.begin(
        call.rig,
        [Injected(**fault) for fault in call.faults],
        secrets.randbelow(2**31) if seed is None else seed,
    )
    return Attempt.objects.create(
        learner=learner, call=call, case=case.row() | {"sheet": _sheet(call).row()}, started_at=now
    )


def act(
    *, attempt: Attempt, key: str, at: float | None, deed: str, details: Mapping[str, Any], now: datetime
) -> Outcome:
    """Do one deed on the rig and write it in the log, or raise a Refusal and write nothing.

    Sent again with the same key it does nothing and gives the same outcome, so that a page may repeat what it
    is not sure has arrived.
    """
    if not KEY.match(key):
        raise NotUnderstood("A key is 1 to 64 letters, digits, dots, hyphens or underscores.")
    clock = None if at is None else deeds.number("at", at)
    asked = deeds.read(deed, details, lists_of(attempt.call))
    for _ in range(RACES):
        entries = list(attempt.entries.order_by("number"))
        done = next((entry for entry in entries if entry.key == key), None)
        if done is not None:
            return _again(done, deed, asked)
        worked = _work_out(attempt, len(entries), clock, deed, asked)
        entry = _write_next(attempt, key, worked, now)
        if entry is not None:
            keep(worked.job.case, worked.lines, worked.job)
            return _outcome(entry, repeated=False)
    raise OutOfOrder(
        "Other deeds on this call keep coming in between. Load the bench again and repeat yours."
    )


def void_attempt(*, attempt: Attempt, by: Member, why: str, now: datetime) -> AttemptResult:
    """Take an attempt out of the count, with the reason in its log; the log itself stays as it is."""
    reason = why.strip()
    if not reason:
        raise NotUnderstood("Say why the attempt is voided.")
    _judge(attempt)  # what it takes long for is kept, so that the lock is held for the writing only
    with transaction.atomic():
        locked = Attempt.objects.select_for_update().get(pk=attempt.pk)
        entries = list(locked.entries.order_by("number"))
        if entries and entries[-1].deed == "void":
            raise AttemptClosed("This attempt is voided already.")
        clock = entries[-1].ended if entries else 0.0
        LogEntry.objects.create(
            attempt=locked,
            number=len(entries) + 1,
            key=VOID_KEY,
            at=clock,
            ended=clock,
            deed="void",
            details={"by": by.crew_number, "why": reason},
            answer={},
            recorded_at=now,
        )
        record_audit(
            actor=by,
            deed="attempt-voided",
            subject=f"{locked.call.no} of {locked.learner}",
            at=now,
            details={"why": reason},
        )
        return _write_result(locked, _judge(locked), now)


def recompute_result(*, attempt: Attempt) -> AttemptResult:
    """Make the result again from the log, as an appeal asks for."""
    _judge(attempt)  # what it takes long for is kept, so that the lock is held for the writing only
    with transaction.atomic():
        locked = Attempt.objects.select_for_update().get(pk=attempt.pk)
        result = AttemptResult.objects.filter(attempt=locked).first()
        if result is None:
            raise OutOfOrder("The call is not closed, so it has no result yet.")
        return _write_result(locked, _judge(locked), result.closed_at)


def lists_of(call: Call) -> deeds.Lists:
    """Return the names that details may use on this call."""
    return deeds.Lists(
        faults_of(call.rig),
        checks_of(call.rig),
        tuple(repairs()),
        [row["slug"] for row in call.statements],
        rig_of(call.rig),
    )


def _again(done: LogEntry, deed: str, asked: Mapping[str, Any]) -> Outcome:
    if (done.deed, done.details) != (deed, asked):
        raise NotUnderstood(
            "That key was used for another deed. Load the bench again and repeat what you wanted."
        )
    return _outcome(done, repeated=True)


def _work_out(attempt: Attempt, known: int, at: float | None, deed: str, asked: dict[str, Any]) -> Worked:
    """Let the machine go on and do the deed, without a lock: it may take seconds, and a first one compiles."""
    case, lines = Case.read(attempt.case), lines_of(attempt)[:known]
    job = replay(case, lines)
    _check_room(job, len(lines), deed)
    line = Line(len(lines) + 1, moment(job, at), deed, asked)
    told = follow(job, line)
    lines = (*lines, line)
    found = verdict(case, Sheet.read(attempt.case), lines) if job.closed else None
    return Worked(job, lines, told, found)


def _check_room(job: Job, lines: int, deed: str) -> None:
    """Refuse a log without end; what brings the call to its end is always let through."""
    if deed not in ENDS_A_JOB and (lines >= MOST_LINES or job.clock > LONGEST_JOB):
        raise OutOfOrder(
            "This call has taken long enough. Name the fault, mend it, prove it and tell the customer."
        )


def _write_next(attempt: Attempt, key: str, worked: Worked, now: datetime) -> LogEntry | None:
    """Write a line worked out beforehand, or nothing if the log has gone on since: lines are only ever added."""
    with transaction.atomic():
        locked = Attempt.objects.select_for_update().get(pk=attempt.pk)
        if locked.entries.count() + 1 != worked.told.line.number:
            return None
        entry = _write(locked, key, worked.told, now)
        if worked.found is not None:
            _write_result(locked, worked.found, now)
        return entry


def _write(attempt: Attempt, key: str, told: Told, now: datetime) -> LogEntry:
    return LogEntry.objects.create(
        attempt=attempt,
        number=told.line.number,
        key=key,
        at=told.line.at,
        ended=max(told.ended, told.line.at),  # clock + (at - clock) may fall short of `at` by the last bit
        deed=told.line.deed,
        details=told.line.details,
        answer=told.answer(),
        recorded_at=now,
    )


def _outcome(entry: LogEntry, *, repeated: bool) -> Outcome:
    told = entry.answer
    return Outcome(entry.number, entry.deed, told["words"], told["critical"], entry.ended, repeated)


def _judge(attempt: Attempt) -> Verdict:
    return verdict(Case.read(attempt.case), Sheet.read(attempt.case), lines_of(attempt))


def _sheet(call: Call) -> Sheet:
    right = next(row["slug"] for row in call.statements if row["right"])
    return Sheet(
        call.kind, call.par_minutes, tuple(call.lookalikes), right, ticket.wanted(call.part, call.rig)
    )


def _write_result(attempt: Attempt, found: Verdict, closed_at: datetime) -> AttemptResult:
    result, _ = AttemptResult.objects.update_or_create(
        attempt=attempt,
        defaults={
            "score": found.marked.score,
            "result": found.marked.result,
            "critical": list(found.work.critical),
            "critical_count": len(found.work.critical),
            "used_minutes": found.work.used_minutes,
            "marks": [asdict(one) for one in found.marked.marks],
            "closed_at": closed_at,
        },
    )
    return result
