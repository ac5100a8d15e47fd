"""Question makers: questions with drawn numbers, whose key and reasons come from the simulator's verdicts and sums."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from training.papers.drawer import Entry
from training.papers.makers import air, amps, circuits, drives, motors, reliefs, vessels
from training.papers.makers.maker import Maker, make

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["MAKERS", "Maker", "make", "specimens"]

_ROOMS: Final = (motors, amps, circuits, drives, reliefs, vessels, air)
MAKERS: Final[Mapping[str, Maker]] = {maker.slug: maker for room in _ROOMS for maker in room.MAKERS}


def specimens() -> dict[str, Entry]:
    """Give one question of every maker as the drawer keeps questions, by slug."""
    return {
        slug: Entry(make(maker, "specimen", "us"), maker.level, maker.family)
        for slug, maker in MAKERS.items()
    }
