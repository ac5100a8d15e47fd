"""What is made ready before the site is served: the call book, the question drawer, the engine."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator import engine
from training.cases.actions import load_cases
from training.papers.actions import load_drawer

if TYPE_CHECKING:
    from collections.abc import Callable

    Progress = Callable[[int, int], None]
    Step = tuple[str, Callable[[Progress], object]]


def _call_book(progress: Progress) -> None:
    load_cases()


def _question_drawer(progress: Progress) -> None:
    load_drawer()


def _engine(progress: Progress) -> None:
    engine.warm()


STEPS: tuple[Step, ...] = (
    ("Call book", _call_book),
    ("Question drawer", _question_drawer),
    ("Engine (the first start compiles it)", _engine),
)
