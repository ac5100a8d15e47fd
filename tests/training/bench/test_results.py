"""Results: written at the end, made again on appeal, voided with a reason."""

import pytest

from tests.factories.bench import act, begin, check, check_safely, finish, name_the_truth, work_to_the_end
from tests.factories.cases import CallFactory
from tests.factories.people import MONDAY, MemberFactory
from training.bench import actions, queries
from training.bench.exceptions import AttemptClosed, CaseChanged, OutOfOrder
from training.bench.models import Attempt, AttemptResult
from training.people.models import AuditEntry

pytestmark = pytest.mark.django_db


@pytest.fixture
def attempt():
    return begin()


def test_closing_writes_the_result_and_it_can_be_made_again(attempt):
    work_to_the_end(attempt)

    written = AttemptResult.objects.get(attempt=attempt)
    again = actions.recompute_result(attempt=attempt)

    assert written.result == "competent"
    assert (again.pk, again.score, again.marks) == (written.pk, written.score, written.marks)


def test_an_open_call_has_no_result_to_make_again(attempt):
    with pytest.raises(OutOfOrder, match="not closed"):
        actions.recompute_result(attempt=attempt)


def test_a_repair_that_does_not_cure_leaves_the_figures_and_costs(attempt):
    for name in attempt.call.best_path:
        check_safely(attempt, name)
    name_the_truth(attempt)
    finish(attempt, "rings")

    rows = {row.what: row for row in queries.bench_view(attempt).proof}
    assert (
        rows["Time the pump-up with the outlet shut"].before
        == rows["Time the pump-up with the outlet shut"].after
    )
    marks = {one["criterion"]: one["marks"] for one in AttemptResult.objects.get(attempt=attempt).marks}
    assert (marks["repair"], marks["parts"]) == (0.0, 5.0)


def test_voiding_keeps_the_log_says_why_and_is_audited(attempt):
    check(attempt, "intake-feel")
    instructor = MemberFactory(instructor=True)

    result = actions.void_attempt(attempt=attempt, by=instructor, why="Fire drill.", now=MONDAY)

    assert result.result == "voided"
    assert attempt.entries.count() == 2
    assert AuditEntry.objects.get(deed="attempt-voided").details == {"why": "Fire drill."}
    with pytest.raises(AttemptClosed):
        act(attempt, "ask")
    with pytest.raises(AttemptClosed):
        actions.void_attempt(attempt=attempt, by=instructor, why="Again.", now=MONDAY)


def test_no_key_of_a_page_stands_in_the_way_of_voiding(attempt):
    act(attempt, "hand", key="void", do="start")

    result = actions.void_attempt(
        attempt=attempt, by=MemberFactory(instructor=True), why="Drill.", now=MONDAY
    )

    assert result.result == "voided"


def test_a_case_whose_machine_changed_is_not_gone_on_with(attempt):
    changed = Attempt.objects.create(
        learner=attempt.learner,
        call=CallFactory(slug="hot-paint-smell"),
        case=attempt.case | {"parameters": "0" * 64},
        started_at=MONDAY,
    )

    with pytest.raises(CaseChanged, match="changed after this call was begun"):
        act(changed, "ask")
    assert begin("hot-paint-smell", learner=attempt.learner).pk != changed.pk


def test_a_case_whose_fault_left_the_catalogue_is_not_gone_on_with(attempt):
    gone = [{"fault": "no-longer-there", "severity": 0.5, "location": None}]
    changed = Attempt.objects.create(
        learner=attempt.learner,
        call=CallFactory(slug="hot-paint-smell"),
        case=attempt.case | {"injected": gone},
        started_at=MONDAY,
    )

    with pytest.raises(CaseChanged, match="changed after this call was begun"):
        act(changed, "ask")
    assert begin("hot-paint-smell", learner=attempt.learner).pk != changed.pk


def test_somebody_elses_attempt_is_not_found(attempt):
    assert not queries.attempts_of(MemberFactory(name="Tam Osier")).filter(pk=attempt.pk).exists()


def test_one_of_two_faults_named_and_mended_is_half():
    attempt = begin("runs-all-day-and-whistles")
    for name in attempt.call.best_path:
        check_safely(attempt, name)
    act(attempt, "name", fault="intake-filter-plugged", confidence="unsure")
    finish(attempt, "element", statement="filter-only")

    result = AttemptResult.objects.get(attempt=attempt)
    marks = {one["criterion"]: one["marks"] for one in result.marks}
    assert (marks["fault"], marks["repair"], marks["customer"]) == (15.0, 10.0, 0.0)
    assert result.result == "not-yet-competent"
