"""What is made ready before the site is served: the call book, the question drawer, the engine and its tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings

from simulator import engine, evidence
from simulator.faults import load_faults
from simulator.rig import load_rigs
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


def _evidence(progress: Progress) -> None:
    evidence.warm(load_rigs().values(), load_faults(), progress, settings.VAR / "evidence")


STEPS: tuple[Step, ...] = (
    ("Call book", _call_book),
    ("Question drawer", _question_drawer),
    ("Engine (the first start compiles it)", _engine),
    ("Evidence tables (the first start works them out)", _evidence),
)
