"""What pages read of attempts: all of it from replaying the log."""

from __future__ import annotations


from typing import TYPE_CHECKING

from training.bench import rules, showing, tracing
from training.bench.case import Case, rig_of
from training.bench.job import Line
from training.bench.models import Attempt
from training.bench.replay import AHEAD, moment, replay
from training.bench.shown import BenchView, CallShown

if TYPE_CHECKING:
    from django.db.models import QuerySet

    from simulator.units import System
    from training.bench.job import Job
    from training.cases.models import Call
    from training.people.models import Member


def attempts_of(member: Member) -> QuerySet[Attempt]:
    """Return the attempts that this person may work on: somebody else's are not found."""
    return Attempt.objects.filter(learner=member).select_related("call", "learner")


def lines_of(attempt: Attempt) -> tuple[Line, ...]:
    """Return the log as replay needs it."""
    rows = attempt.entries.order_by("number").values_list("number", "at", "deed", "details")
    return tuple(Line(*row) for row in rows)


def job_of(attempt: Attempt) -> Job:
    """Return the job as it stands at the end of its log."""
    return replay(Case.read(attempt.case), lines_of(attempt))


def bench_view(attempt: Attempt, at: float | None = None, system: System | None = None) -> BenchView:
    """Return what the bench shows at the rig's clock `at` (the end of the last deed when None).

    Raises
    ------
    ClockRefused
        The clock asked for lies before the log's end or past what was granted.
    """
    job = job_of(attempt)
    clock = moment(job, at)
    if clock > job.clock:
        job.session.run(clock - job.clock)
    return _view(attempt, job, system or attempt.learner.unit_system)


def _view(attempt: Attempt, job: Job, system: System) -> BenchView:
    trace = tracing.ahead(job, AHEAD)
    return BenchView(
        attempt=attempt,
        call=call_shown(attempt.call),
        clock=job.clock,
        par_minutes=attempt.case["sheet"]["par_minutes"],
        used_minutes=job.used_minutes,
        hands=showing.hands(job),
        hand_deeds=showing.hand_deeds(job),
        machine_state=showing.machine_state(job),
        safe_state=job.session.safe_state,
        trace=trace,
        history=tracing.history(job),
        horizon=trace["to"],
        notes=showing.notes(job, system),
        interview=showing.interview(job, attempt.call.interview),
        may_ask=not job.asked and not job.closed,
        suspects=showing.suspects(job),
        safe_steps=showing.safe_steps(job),
        tools=showing.tools(),
        stage=job.stage,
        named=showing.named(job.case.rig, job.named, job.confidence or ""),
        repairs=showing.repair_choices(job),
        proof=showing.proof_rows(job, system),
        statements=showing.statements(job, attempt.call.statements, str(attempt.public_id)),
        may_close=rules.may_close(job),
        critical=job.critical,
    )


def call_shown(call: Call) -> CallShown:
    """Return the call sheet's side of a call."""
    return CallShown(
        call.slug,
        call.no,
        call.title,
        call.rig,
        rig_of(call.rig).title,
        call.complaint,
        call.setting,
        call.grade,
    )
