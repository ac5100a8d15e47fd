"""What pages are given: the same lists for everybody, nothing before it is earned, few questions to the database."""

import json
from dataclasses import asdict

import pytest

from tests.factories.bench import act, begin, check, name_the_truth, work_to_the_end
from tests.factories.cases import CallFactory
from tests.factories.people import MemberFactory, ShopFactory
from training.bench import queries
from training.bench.case import faults_of, repairs
from training.bench.exceptions import OutOfOrder
from training.cases.book import load_calls

pytestmark = pytest.mark.django_db


def as_sent(view):
    """All that a page could put into its HTML of a view, as text."""
    given = {name: value for name, value in vars(view).items() if name != "attempt"}
    return json.dumps({name: _plain(value) for name, value in given.items()}, default=str)


def _plain(value):
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return asdict(value) if hasattr(value, "__dataclass_fields__") else value


@pytest.mark.parametrize("call", load_calls().values(), ids=lambda call: call.slug)
def test_nothing_hidden_is_in_the_view_before_it_is_earned(call):
    attempt = begin(call.slug)
    sent = as_sent(queries.bench_view(attempt))
    true = faults_of(call.rig)[call.faults[0]["fault"]]

    assert call.answer_says not in sent
    assert true.mechanism not in sent
    for statement in call.statements:
        assert statement.words not in sent
        assert statement.why not in sent
    for row in call.interview:
        assert row["answer"] not in sent
    for one in repairs().values():
        assert one.title not in sent
        assert one.prohibited == "" or one.prohibited not in sent
    # The fault's own name stands in the list of suspects, once, like all the others.
    assert sent.count(true.title) == 1
    assert sent.count(f'"{true.slug}"') == 1


def test_suspects_checks_and_repairs_are_the_same_on_every_call():
    views = []
    for call in ("longer-than-tea", "only-hums"):
        attempt = begin(call)
        name_the_truth(attempt)
        views.append(queries.bench_view(attempt))

    one, other = views
    assert one.suspects == other.suspects
    assert one.tools == other.tools
    assert one.repairs == other.repairs


def test_the_order_of_statements_does_not_tell_the_right_one():
    places = set()
    for seed in range(4):
        attempt = begin("longer-than-tea", seed=seed)
        name_the_truth(attempt)
        act(attempt, "repair", repair="none")
        act(attempt, "proof")
        places.add([one.slug for one in queries.bench_view(attempt).statements].index("reed"))
        act(attempt, "say", statement="reed")
        act(attempt, "close")

    assert len(places) > 1


def test_what_is_earned_is_there():
    attempt = begin("longer-than-tea")
    act(attempt, "ask")
    check(attempt, "intake-feel")
    act(attempt, "suspect", fault="ring-wear", out=True, why="the strip kicks out")

    view = queries.bench_view(attempt)

    assert len(view.interview) == 4
    assert [note.kind for note in view.notes] == ["ask", "check"]
    assert {one.slug: one.why for one in view.suspects if one.out} == {"ring-wear": "the strip kicks out"}
    assert view.stage == "looking"
    assert (view.repairs, view.proof, view.statements) == ((), (), ())


def test_the_check_of_asking_opens_what_the_customer_tells():
    attempt = begin()
    check(attempt, "interview")

    view = queries.bench_view(attempt)

    assert len(view.interview) == 4
    assert not view.may_ask


def test_readings_are_shown_in_the_persons_units():
    attempt = begin("longer-than-tea", learner=MemberFactory(unit_system="metric"))
    check(attempt, "tank-gauge")

    note = queries.bench_view(attempt).notes[0]
    assert note.readings[0].shown.endswith(" bar")
    assert queries.bench_view(attempt, system="us").notes[0].readings[0].shown.endswith(" psi")


def test_teardown_opens_at_the_end():
    attempt = begin()

    with pytest.raises(OutOfOrder, match="when the call is closed"):
        queries.teardown_view(attempt)


def test_teardown_says_it_all():
    attempt = begin("longer-than-tea")
    work_to_the_end(attempt)

    view = queries.teardown_view(attempt)

    assert view.truth[0].title == "Intake valve leaking (single-stage or LP)"
    assert view.truth[0].location_title == "rear cylinder"
    assert (view.score, view.result_title) == (100.0, "Competent")
    assert sum(row.out_of for row in view.marks) == 100
    assert view.suspects[0].standing == "true-fault"
    assert all(row.by for row in view.suspects if row.standing == "ruled-out")
    assert view.separators
    assert [row.minutes for row in view.separators] == sorted(row.minutes for row in view.separators)
    assert len([row for row, _ in view.statements if row.said]) == 1
    assert view.used_minutes <= view.par_minutes


# ---- lists for other pages -----------------------------------------------------------------------------------


def closed(call, member):
    attempt = begin(call, learner=member)
    work_to_the_end(attempt, path=[])
    return attempt


def test_results_by_member_are_one_question_however_many(django_assert_num_queries):
    wren, tam = MemberFactory(), MemberFactory(name="Tam Osier")
    closed("longer-than-tea", wren)
    with django_assert_num_queries(1):
        assert len(queries.results_by_member([wren, tam])[wren.pk].results) == 1
    closed("hot-paint-smell", wren)
    closed("hot-paint-smell", tam)

    with django_assert_num_queries(1):
        found = queries.results_by_member([wren, tam])

    assert [one.call_no for one in found[wren.pk].results] == ["C-0403", "C-0401"]
    assert found[tam.pk].newest.member_name == "Tam Osier"
    assert found[tam.pk].competent == 0
    assert queries.results_by_member([MemberFactory(name="Ada Quill")]).popitem()[1].newest is None


def test_calls_on_board_are_two_questions_however_many(django_assert_num_queries):
    member = MemberFactory()
    CallFactory(slug="longer-than-tea")
    with django_assert_num_queries(2):
        assert [one.standing for one in queries.calls_on_board(member)] == ["new"]
    begin("hot-paint-smell", learner=member)
    closed("longer-than-tea", member)

    with django_assert_num_queries(2):
        board = queries.calls_on_board(member)

    assert [(one.no, one.standing) for one in board] == [("C-0401", "not-yet-competent"), ("C-0403", "open")]


def test_open_attempt_is_the_newest_half_done(django_assert_num_queries):
    member = MemberFactory()
    assert queries.open_attempt_of(member) is None
    attempt = begin(learner=member)
    check(attempt, "intake-feel")

    with django_assert_num_queries(1):
        found = queries.open_attempt_of(member)

    assert (found.public_id, found.lines, found.clock_minutes) == (attempt.public_id, 1, 2.0)


def test_attempts_for_review_are_the_shops_own_that_did_not_pass(django_assert_num_queries):
    member = MemberFactory()
    attempt = closed("longer-than-tea", member)
    closed("hot-paint-smell", MemberFactory(shop=ShopFactory(slug="elsewhere", name="Elsewhere")))

    with django_assert_num_queries(1):
        rows = queries.attempts_for_review(member.shop)

    assert [row.public_id for row in rows] == [attempt.public_id]


def test_the_bench_asks_the_database_the_same_for_a_short_log_and_a_long_one(django_assert_num_queries):
    attempt = begin()
    with django_assert_num_queries(1):
        queries.bench_view(attempt)
    for _ in range(3):
        check(attempt, "tank-gauge")

    with django_assert_num_queries(1):
        queries.bench_view(attempt)
