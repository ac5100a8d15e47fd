"""What others are told of papers."""

from datetime import timedelta
from decimal import Decimal

import pytest

from tests.factories.papers import LATER, answer_all, handed_in, sitting_of
from tests.factories.people import MONDAY, MemberFactory
from training.papers import actions, queries

pytestmark = pytest.mark.django_db


def test_my_papers_shows_the_open_sitting_and_the_results_newest_first():
    member = MemberFactory()
    first = handed_in(answer_all(sitting_of({}, {}, member=member), wrong=(1,)))
    second = actions.begin_sitting(paper=first.paper, member=member, at=LATER)
    handed_in(answer_all(second), at=LATER + timedelta(days=1))
    third = actions.begin_sitting(paper=first.paper, member=member, at=LATER + timedelta(days=2))
    actions.answer_question(sitting=third, position=2, given={"chosen": ["a"]}, at=LATER)

    (paper,) = queries.my_papers(member)

    assert (paper.open_sitting, paper.answered, paper.questions) == (third.pk, 1, 2)
    assert [result.mark for result in paper.results] == [Decimal(100), Decimal(50)]
    assert paper.latest.is_competent


def test_my_papers_shows_nobody_else():
    handed_in(sitting_of({}))

    (paper,) = queries.my_papers(MemberFactory())

    assert (paper.open_sitting, paper.latest, paper.results) == (None, None, ())


def test_results_by_member_gives_the_latest_of_each_paper_and_an_empty_row_for_the_rest():
    member, other = MemberFactory(), MemberFactory()
    first = handed_in(answer_all(sitting_of({}, member=member)))
    again = actions.begin_sitting(paper=first.paper, member=member, at=MONDAY + timedelta(days=7))
    handed_in(answer_all(again, wrong=(1,)), at=MONDAY + timedelta(days=7))

    results = queries.results_by_member([member, other])

    assert results[other.pk] == ()
    assert [(one.sitting, one.result, one.is_competent) for one in results[member.pk]] == [
        (again.pk, "not yet competent", False)
    ]


@pytest.mark.parametrize("count", [1, 3])
def test_results_by_member_asks_once_for_any_crew(count, django_assert_num_queries):
    members = [MemberFactory() for _ in range(count)]
    for member in members:
        handed_in(sitting_of({}, member=member))

    with django_assert_num_queries(1):
        results = queries.results_by_member(members)

    assert [len(row) for row in results.values()] == [1] * count


@pytest.mark.parametrize("count", [1, 3])
def test_my_papers_asks_twice_for_any_number_of_papers(count, django_assert_num_queries):
    member = MemberFactory()
    for _ in range(count):
        handed_in(sitting_of({}, member=member))

    with django_assert_num_queries(2):
        assert len(queries.my_papers(member)) == count


def test_open_sitting_knows_what_is_left():
    sitting = sitting_of({}, {}, {})
    actions.answer_question(sitting=sitting, position=1, given={"chosen": ["a"]}, at=LATER)

    shown = queries.open_sitting(sitting)

    assert (shown.unanswered, shown.first_unanswered, shown.length) == ((2, 3), 2, 3)


def test_answered_order_is_shown_as_it_was_put():
    sitting = sitting_of({"kind": "order"})
    actions.answer_question(sitting=sitting, position=1, given={"order": ["c", "a", "d", "b"]}, at=LATER)

    shown = queries.open_question(sitting.questions.get())

    assert [(step.id, step.place) for step in shown.steps] == [("c", "1"), ("a", "2"), ("d", "3"), ("b", "4")]


def test_review_before_handing_in_is_no_review():
    with pytest.raises(ValueError, match="handed in"):
        queries.review_of(sitting_of({}))
