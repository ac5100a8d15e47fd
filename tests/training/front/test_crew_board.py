"""The Crew board: who has done what, for those who answer for it."""

import pytest

from tests.factories.bench import begin, work_to_the_end
from tests.factories.papers import LATER, answer_all, sitting_of
from tests.factories.people import MemberFactory, ShopFactory
from tests.training.front.test_today import closed_without_evidence
from training.papers.actions import hand_in

pytestmark = pytest.mark.django_db

QUERIES = 7


def board(client, **role):
    client.force_login(MemberFactory(**role))
    return client.get("/crew/")


def test_apprentice_is_refused_with_the_reason_and_sees_no_link(client):
    response = board(client)

    assert response.status_code == 403
    assert "The Crew board is for instructors and the shop manager" in response.text
    assert 'href="/crew/"' not in client.get("/").text


@pytest.mark.parametrize("role", ["instructor", "manager"])
def test_teachers_find_it_in_the_mast(client, role):
    response = board(client, **{role: True})

    assert response.status_code == 200
    assert '<a href="/crew/" aria-current="page">Crew board</a>' in response.text


def test_board_shows_marks_papers_and_teardowns_of_the_shop_only(client):
    wren = MemberFactory(name="Wren Pellow")
    done = begin(learner=wren)
    work_to_the_end(done)
    hand_in(sitting=answer_all(sitting_of({}, {}, member=wren), wrong=[1]), at=LATER)
    stranger = MemberFactory(name="Una Fairleigh", shop=ShopFactory(slug="elsewhere", name="Elsewhere"))
    closed_without_evidence(stranger)

    response = board(client, instructor=True)

    (row,) = response.context["board"].rows
    assert (row.name, row.calls_competent, row.papers_competent, row.critical) == ("Wren Pellow", 1, 0, 0)
    assert row.papers[0].result.mark == 50
    assert f"/bench/{done.public_id}/teardown/" in response.text
    assert "Una Fairleigh" not in response.text


def test_newest_go_at_a_call_is_the_one_in_the_cell(client):
    wren = MemberFactory(name="Wren Pellow")
    closed_without_evidence(wren)
    work_to_the_end(begin(learner=wren))

    cell = board(client, manager=True).context["board"].rows[0].calls[0]

    assert (cell.result.result, cell.times) == ("competent", 2)


def test_empty_board_says_what_will_be_here(client):
    assert "No apprentices yet" in board(client, instructor=True).text


@pytest.mark.parametrize("rows", [1, 3])
def test_queries_do_not_grow_with_the_crew(client, django_assert_num_queries, rows):
    for _ in range(rows):
        member = MemberFactory()
        closed_without_evidence(member)
        hand_in(sitting=answer_all(sitting_of({}, member=member)), at=LATER)
    client.force_login(MemberFactory(instructor=True))

    with django_assert_num_queries(QUERIES):
        client.get("/crew/")
