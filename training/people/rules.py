"""Who may do what. Each `check_x` raises with the reason; each `x` is a bool built on it, so pages and server agree."""

from __future__ import annotations

from datetime import timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from training.people.exceptions import NotAllowed

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from training.people.models import Member

WRONG_TRIES = 5
TRIES_WINDOW = timedelta(minutes=10)
WAIT = timedelta(minutes=10)


class Role(StrEnum):
    """What a member is in the shop."""

    APPRENTICE = "apprentice"
    INSTRUCTOR = "instructor"
    MANAGER = "manager"


class UnitSystem(StrEnum):
    """In which units a member reads dials."""

    US = "us"
    METRIC = "metric"


ROLE_TITLES = {Role.APPRENTICE: "Apprentice", Role.INSTRUCTOR: "Instructor", Role.MANAGER: "Shop manager"}
UNIT_TITLES = {UnitSystem.US: "psi, °F", UnitSystem.METRIC: "bar, °C"}


def is_apprentice(member: Member) -> bool:
    """Whether this member learns here."""
    return member.role == Role.APPRENTICE


def is_instructor(member: Member) -> bool:
    """Whether this member teaches here."""
    return member.role == Role.INSTRUCTOR


def is_manager(member: Member) -> bool:
    """Whether this member answers for the shop."""
    return member.role == Role.MANAGER


def may_see_crew_board(member: Member) -> bool:
    """Whether the Crew board is open to this member."""
    return is_instructor(member) or is_manager(member)


def check_may_see_crew_board(member: Member) -> None:
    """Refuse the Crew board to all but instructors and the shop manager."""
    if not may_see_crew_board(member):
        raise NotAllowed(
            "The Crew board is for instructors and the shop manager. Your own results are on Today."
        )


def normal_account(typed: str) -> str:
    """Crew numbers and e-mail addresses are compared without case or stray spaces."""
    return " ".join(typed.split()).casefold()


def wait_ends(wrong_tries: Sequence[datetime], now: datetime) -> datetime | None:
    """When signing in opens again, or None if it is open.

    Five wrong tries within ten minutes shut it for ten minutes from the fifth.
    """
    tries = sorted(wrong_tries)
    for first, fifth in zip(tries, tries[WRONG_TRIES - 1 :], strict=False):
        if fifth - first <= TRIES_WINDOW and now < fifth + WAIT:
            return fifth + WAIT
    return None


def tries_left(wrong_tries: Sequence[datetime], now: datetime) -> int:
    """How many more wrong tries are taken before the wait."""
    recent = [at for at in wrong_tries if now - at < TRIES_WINDOW]
    return max(0, WRONG_TRIES - len(recent))
