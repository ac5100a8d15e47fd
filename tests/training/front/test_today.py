"""Today: what waits for one member, and for nobody else."""

import pytest

from tests.factories.bench import act, begin, finish, work_to_the_end
from tests.factories.cases import CallFactory
from tests.factories.papers import LATER, answer_all, sitting_of
from tests.factories.people import MemberFactory
from training.cases.actions import load_cases
from training.papers.actions import hand_in

pytestmark = pytest.mark.django_db

QUERIES_FOR_AN_APPRENTICE = 9
QUERIES_FOR_AN_INSTRUCTOR = 10


@pytest.fixture
def wren(client):
    member = MemberFactory(name="Wren Pellow")
    client.force_login(member)
    return member


def today(client):
    response = client.get("/")
    assert response.status_code == 200
    return response


def closed_without_evidence(learner, call="longer-than-tea"):
    """Close a call by a wrong name: the shortest way to a mark."""
    attempt = begin(call, learner)
    act(attempt, "name", fault="check-valve-seep", location="", confidence="unsure")
    finish(attempt, "belt-dressing")
    return attempt


def test_first_day_offers_the_first_call(client, wren):
    load_cases()

    page = today(client)

    assert page.context["today"].lead.call.standing == "new"
    assert "Hello, Wren" in page.text
    assert "Read the call sheet" in page.text
    assert "Nothing is begun yet" in page.text


def test_empty_shop_says_what_will_be_here(client, wren):
    page = today(client)

    assert "Nothing on the board" in page.text
    assert "No paper is set" in page.text


def test_half_done_call_leads_back_to_its_bench_with_its_clock(client, wren):
    CallFactory()
    attempt = begin(learner=wren)
    act(attempt, "wait", until=300.0)

    page = today(client)

    assert f"/bench/{attempt.public_id}/" in page.text
    assert page.context["today"].lead.attempt.clock_minutes == pytest.approx(5.0)
    assert "Half done" in page.text


def test_open_sitting_is_gone_on_with(client, wren):
    sitting = sitting_of({}, member=wren)

    page = today(client)

    assert f"/papers/sittings/{sitting.pk}/" in page.text
    assert "0 of 1 answered" in page.text


def test_closed_call_stands_with_its_mark_and_teardown(client, wren):
    attempt = closed_without_evidence(wren)

    page = today(client)

    (result,) = page.context["today"].results
    assert result.result == "not-yet-competent"
    assert f"/bench/{attempt.public_id}/teardown/" in page.text
    assert "Worth another go" in page.text


def test_today_shows_nothing_of_others_and_names_no_fault(client, wren):
    tobin = MemberFactory(name="Tobin Asher-Vale")
    attempt = closed_without_evidence(tobin)
    answer_all(sitting_of({}, member=tobin))
    begin("hot-paint-smell", wren)

    page = today(client)

    assert str(attempt.public_id) not in page.text
    assert page.context["today"].results == ()
    assert "reed" not in page.text.lower()


def test_instructor_sees_what_went_wrong_and_goes_to_its_teardown(client):
    attempt = closed_without_evidence(MemberFactory(name="Wren Pellow"))
    client.force_login(MemberFactory(instructor=True))

    page = today(client)
    teardown = client.get(f"/bench/{attempt.public_id}/teardown/")

    assert "Calls to go through with somebody" in page.text
    assert f"/bench/{attempt.public_id}/teardown/" in page.text
    assert teardown.status_code == 200


@pytest.mark.parametrize("rows", [1, 3])
@pytest.mark.parametrize(
    ("role", "queries"),
    [("apprentice", QUERIES_FOR_AN_APPRENTICE), ("instructor", QUERIES_FOR_AN_INSTRUCTOR)],
)
def test_queries_do_not_grow_with_what_is_shown(client, django_assert_num_queries, rows, role, queries):
    member = MemberFactory(role=role)
    for call in ("longer-than-tea", "fisheyes-in-the-varnish", "hot-paint-smell")[:rows]:
        closed_without_evidence(member, call)
        hand_in(sitting=answer_all(sitting_of({}, member=member)), at=LATER)
    client.force_login(member)

    with django_assert_num_queries(queries):
        today(client)


def test_competent_call_leaves_the_board(client, wren):
    work_to_the_end(begin(learner=wren))

    page = today(client)

    assert page.context["today"].results[0].result == "competent"
    assert page.context["today"].lead is None
    assert "Every call on the board is done" in page.text
