"""What the pages that cross apps show, gathered from the apps below."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from training.people import queries as people

if TYPE_CHECKING:
    from datetime import datetime

    from training.people.models import Member


@dataclass(frozen=True)
class Today:
    """What waits for one member."""

    greeting: str
    lede: str


@dataclass(frozen=True)
class Board:
    """Who has done what in one shop."""

    crew: tuple[Member, ...]


def today_of(member: Member, now: datetime) -> Today:
    """Gather what waits for this member."""
    return Today(greeting=f"Good day, {member.first_name}", lede="")


def board_of(viewer: Member) -> Board:
    """Gather the shop's crew."""
    return Board(crew=tuple(people.crew_of(viewer.shop)))
