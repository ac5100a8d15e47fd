"""Who may do what, and how long the door stays shut: tables of cases."""

from datetime import timedelta

import pytest

from tests.factories.people import MONDAY
from training.people import rules
from training.people.exceptions import NotAllowed
from training.people.models import Member
from training.people.rules import Role


def minutes(*numbers):
    return [MONDAY + timedelta(minutes=number) for number in numbers]


@pytest.mark.parametrize(
    ("role", "may"), [(Role.APPRENTICE, False), (Role.INSTRUCTOR, True), (Role.MANAGER, True)]
)
def test_crew_board_is_for_instructors_and_the_manager(role, may):
    member = Member(role=role.value)

    assert rules.may_see_crew_board(member) is may
    if may:
        rules.check_may_see_crew_board(member)
    else:
        with pytest.raises(NotAllowed, match="for instructors and the shop manager"):
            rules.check_may_see_crew_board(member)


@pytest.mark.parametrize(
    ("tries", "now", "shut_until"),
    [
        ([], 0, None),
        ([0, 1, 2, 3], 4, None),
        ([0, 1, 2, 3, 4], 4, 14),
        ([0, 1, 2, 3, 4], 13.9, 14),
        ([0, 1, 2, 3, 4], 14, None),
        ([0, 1, 2, 3, 10], 10, 20),
        ([0, 1, 2, 3, 11], 11, None),
        ([0, 9, 9, 9, 9, 9], 10, 19),
    ],
)
def test_five_wrong_tries_in_ten_minutes_shut_the_door_for_ten(tries, now, shut_until):
    ends = rules.wait_ends(minutes(*tries), *minutes(now))

    assert ends == (None if shut_until is None else minutes(shut_until)[0])


@pytest.mark.parametrize(("tries", "left"), [([], 5), ([0], 4), ([0, 1, 2, 3], 1), ([-20, 0], 4)])
def test_tries_left_count_the_last_ten_minutes(tries, left):
    assert rules.tries_left(minutes(*tries), *minutes(5)) == left
