"""What pages read of attempts: all of it from replaying the log."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings
from django.db.models import Count, Max

from training.bench import reviewing, rules, showing, tracing
from training.bench.case import Case, faults_of, repairs, rig_of
from training.bench.exceptions import OutOfOrder
from training.bench.job import Line
from training.bench.judging import separators
from training.bench.marking import Sheet, lookalikes_of, verdict
from training.bench.models import Attempt, AttemptResult
from training.bench.replay import AHEAD, moment, replay
from training.bench.shown import BenchView, CallShown, TeardownView
from training.bench.standing import CallOnBoard, CallResult, MemberResults, OpenAttempt
from training.cases.queries import calls_on_sheet
from training.grading.calls import PASS_SCORE
from training.people.rules import may_see_crew_board

if TYPE_CHECKING:
    from collections.abc import Iterable

    from django.db.models import QuerySet

    from simulator.units import System
    from training.bench.job import Job
    from training.bench.marking import Verdict
    from training.cases.models import Call
    from training.people.models import Member, Shop


def attempts_of(member: Member) -> QuerySet[Attempt]:
    """Return the attempts that this person may work on: somebody else's are not found."""
    return Attempt.objects.filter(learner=member).select_related("call", "learner", "outcome")


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
    return _view(attempt, job, system or system_of(attempt.learner))


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
        tools=showing.tools(job.case.rig),
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


def teardowns_for(viewer: Member) -> QuerySet[Attempt]:
    """Return the closed attempts whose teardown this person may read."""
    closed = Attempt.objects.filter(outcome__isnull=False).select_related("call", "learner", "outcome")
    if may_see_crew_board(viewer):
        return closed.filter(learner__shop_id=viewer.shop_id)
    return closed.filter(learner=viewer)


def teardown_view(attempt: Attempt, system: System | None = None) -> TeardownView:
    """Return the review of a closed attempt.

    Raises
    ------
    OutOfOrder
        The call is not closed.
    """
    lines = lines_of(attempt)
    job = replay(Case.read(attempt.case), lines)
    if not job.closed:
        raise OutOfOrder("The teardown opens when the call is closed.")
    sheet = Sheet.read(attempt.case)
    found = verdict(job.case, sheet, lines)
    return _teardown(attempt, job, sheet, found, system or system_of(attempt.learner))


def _teardown(attempt: Attempt, job: Job, sheet: Sheet, found: Verdict, system: System) -> TeardownView:
    rig = job.case.rig
    faults = [faults_of(rig)[one.fault] for one in found.work.truth]
    in_question = lookalikes_of(job.case, sheet) | job.case.true_faults
    right = [one.title for one in repairs().values() if set(one.right_for) & job.case.true_faults]
    return TeardownView(
        attempt=attempt,
        call=call_shown(attempt.call),
        truth=showing.named(rig, reviewing.truth(job), ""),
        named=showing.named(rig, job.named, job.confidence or ""),
        mechanism=" ".join(fault.mechanism for fault in faults),
        answer_says=attempt.call.answer_says,
        right_repair="; ".join(right),
        marks=reviewing.marks(found),
        score=found.marked.score,
        pass_score=PASS_SCORE,
        result=found.marked.result,
        result_title=reviewing.RESULT_TITLES[found.marked.result],
        capped=found.marked.capped,
        critical=job.critical,
        timeline=reviewing.timeline(job),
        suspects=reviewing.suspects(job, sheet, found),
        separators=reviewing.separators(job, separators(rig, in_question, settings.VAR / "evidence")),
        par_minutes=sheet.par_minutes,
        used_minutes=job.used_minutes,
        statements=reviewing.statements(job, attempt.call.statements),
        proof=showing.proof_rows(job, system),
        repairs=tuple(showing.repair(one, done=True) for _, one in job.repairs),
    )


def system_of(member: Member) -> System:
    """Return the units in which a member reads dials."""
    return "metric" if member.unit_system == "metric" else "us"


def results_by_member(members: Iterable[Member]) -> dict[int, MemberResults]:
    """Return every member's closed calls, newest first, in one query; a member without any is there too."""
    ids = [member.pk for member in members]
    found: dict[int, list[CallResult]] = {pk: [] for pk in ids}
    for row in _results().filter(attempt__learner_id__in=ids):
        found[row.attempt.learner_id].append(_call_result(row))
    return {pk: MemberResults(pk, tuple(rows)) for pk, rows in found.items()}


def open_attempt_of(member: Member) -> OpenAttempt | None:
    """Return the call this member has on the bench, the newest where there are several."""
    attempt = (
        attempts_of(member)
        .filter(outcome__isnull=True)
        .annotate(lines=Count("entries"), clock=Max("entries__ended"))
        .order_by("-started_at")
        .first()
    )
    if attempt is None:
        return None
    return OpenAttempt(
        attempt.public_id,
        attempt.call.no,
        attempt.call.title,
        attempt.started_at,
        attempt.lines,
        (attempt.clock or 0.0) / 60.0,
    )


def calls_on_board(member: Member) -> tuple[CallOnBoard, ...]:
    """Return the calls on the sheet and how this member stands with each, in two queries."""
    newest: dict[int, Attempt] = {}
    for attempt in attempts_of(member).order_by("started_at"):
        newest[attempt.call_id] = attempt
    return tuple(_on_board(call, newest.get(call.pk)) for call in calls_on_sheet())


def attempts_for_review(shop: Shop, limit: int = 20) -> tuple[CallResult, ...]:
    """Return a shop's newest closed calls that were not competent, for the instructor to go through."""
    rows = _results().filter(attempt__learner__shop=shop, result=AttemptResult.Result.NOT_YET)
    return tuple(_call_result(row) for row in rows[:limit])


def _results() -> QuerySet[AttemptResult]:
    return AttemptResult.objects.select_related("attempt__call", "attempt__learner").order_by(
        "-closed_at", "-pk"
    )


def _call_result(row: AttemptResult) -> CallResult:
    attempt = row.attempt
    return CallResult(
        public_id=attempt.public_id,
        member_id=attempt.learner_id,
        member_name=attempt.learner.name,
        call_no=attempt.call.no,
        call_title=attempt.call.title,
        grade=attempt.call.grade,
        score=row.score,
        result=row.result,
        result_title=row.get_result_display(),
        critical_count=row.critical_count,
        used_minutes=row.used_minutes,
        par_minutes=attempt.case["sheet"]["par_minutes"],
        closed_at=row.closed_at,
    )


def _on_board(call: Call, attempt: Attempt | None) -> CallOnBoard:
    outcome = getattr(attempt, "outcome", None)
    standing = "new" if attempt is None else "open" if outcome is None else outcome.result
    return CallOnBoard(
        call.slug,
        call.no,
        call.title,
        call.grade,
        call.par_minutes,
        standing,
        None if outcome is None else outcome.score,
        None if attempt is None else attempt.public_id,
    )
