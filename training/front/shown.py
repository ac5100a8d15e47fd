"""What Today and the Crew board show: frozen rows, gathered from the apps below."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

    from training.bench.standing import CallOnBoard, CallResult, OpenAttempt
    from training.papers.shown import MyPaper, PaperResult

RESULT_CHIPS = {"competent": "ok", "not-yet-competent": "wa", "not yet competent": "wa", "voided": "ex"}


@dataclass(frozen=True)
class Lead:
    """The one call to go on with: half done, or the next to take."""

    call: CallOnBoard
    complaint: str
    attempt: OpenAttempt | None
    rig: str


@dataclass(frozen=True)
class Today:
    """What waits for one member."""

    first_name: str
    lede: str
    lead: Lead | None
    calls: tuple[CallOnBoard, ...]
    calls_in_all: int
    papers: tuple[MyPaper, ...]
    results: tuple[CallResult, ...]
    review: tuple[CallResult, ...] | None


@dataclass(frozen=True)
class Column:
    """A call or a paper at the head of a column."""

    key: str
    short: str
    title: str


@dataclass(frozen=True)
class CallCell:
    """A member's newest result on a call, and how many there are."""

    result: CallResult | None
    times: int = 0

    @property
    def look(self) -> str:
        """The cell's class."""
        return RESULT_CHIPS.get(self.result.result, "no") if self.result else "no"


@dataclass(frozen=True)
class PaperCell:
    """A member's latest result of a paper."""

    result: PaperResult | None

    @property
    def look(self) -> str:
        """The cell's class."""
        return RESULT_CHIPS.get(self.result.result, "no") if self.result else "no"


@dataclass(frozen=True)
class CrewRow:
    """What one member has done."""

    name: str
    crew_number: str
    role: str
    calls: tuple[CallCell, ...]
    papers: tuple[PaperCell, ...]
    calls_competent: int
    papers_competent: int
    critical: int
    newest: datetime | None


@dataclass(frozen=True)
class Board:
    """Who has done what in one shop."""

    shop: str
    calls: tuple[Column, ...]
    papers: tuple[Column, ...]
    rows: tuple[CrewRow, ...]
    finished: tuple[CallResult, ...]
    finished_in_all: int
