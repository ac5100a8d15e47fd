"""What pages show: plain rows, built by `queries`. Those of an open sitting have no room for a key or a reason."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime
    from decimal import Decimal

KIND_WORDS = {
    "single": "One answer",
    "multiple": "Every answer that is true",
    "order": "Put in order",
    "number": "A number with its unit",
}


@dataclass(frozen=True)
class PaperResult:
    """A sitting that was handed in."""

    sitting: int
    paper: str
    title: str
    handed_in_at: datetime
    mark: Decimal
    result: str

    @property
    def is_competent(self) -> bool:
        """Whether the result is competent."""
        return self.result == "competent"


@dataclass(frozen=True)
class MyPaper:
    """A paper as its list shows it to one member."""

    slug: str
    title: str
    lede: str
    questions: int
    pass_percent: int
    open_sitting: int | None
    answered: int
    begun_at: datetime | None
    results: tuple[PaperResult, ...]

    @property
    def latest(self) -> PaperResult | None:
        """The last result, if there is one."""
        return self.results[0] if self.results else None


@dataclass(frozen=True)
class Choice:
    """An option to choose."""

    id: str
    text: str
    is_chosen: bool


@dataclass(frozen=True)
class Place:
    """A step and the place it was given, empty if none."""

    id: str
    text: str
    place: str


@dataclass(frozen=True)
class Stop:
    """One number of the step bar."""

    position: int
    is_answered: bool


@dataclass(frozen=True)
class OpenQuestion:
    """A question of an open sitting, without key and reasons."""

    position: int
    kind: str
    stem: str
    safety: bool
    choices: tuple[Choice, ...]
    steps: tuple[Place, ...]
    typed: str
    units: str

    @property
    def kind_words(self) -> str:
        """What kind of answer is asked for."""
        return KIND_WORDS[self.kind]

    @property
    def places(self) -> tuple[str, ...]:
        """The places a step can be given."""
        return tuple(str(i + 1) for i in range(len(self.steps)))


@dataclass(frozen=True)
class OpenSitting:
    """An open sitting: its paper and how far it is."""

    pk: int
    title: str
    pass_percent: int
    stops: tuple[Stop, ...]

    @property
    def length(self) -> int:
        """How many questions there are."""
        return len(self.stops)

    @property
    def unanswered(self) -> tuple[int, ...]:
        """Which questions are still open."""
        return tuple(stop.position for stop in self.stops if not stop.is_answered)

    @property
    def first_unanswered(self) -> int:
        """Where to go on: the first open question, else the first."""
        return self.unanswered[0] if self.unanswered else 1


@dataclass(frozen=True)
class ReviewedOption:
    """An option with what makes it right or wrong."""

    text: str
    is_chosen: bool
    is_right: bool
    reason: str


@dataclass(frozen=True)
class ReviewedStep:
    """A step at its right place, and the place it was given."""

    text: str
    place: int
    given: int | None
    reason: str

    @property
    def is_in_place(self) -> bool:
        """Whether it was put where it belongs."""
        return self.given == self.place


@dataclass(frozen=True)
class ReviewedNumber:
    """A number as typed, the right one, and the mistake made if it is a known one."""

    typed: str
    shown: str
    tolerance_percent: float
    slip: str


@dataclass(frozen=True)
class ReviewedQuestion:
    """A question after the paper was handed in."""

    position: int
    kind: str
    stem: str
    safety: bool
    is_answered: bool
    points: Decimal
    options: tuple[ReviewedOption, ...]
    steps: tuple[ReviewedStep, ...]
    number: ReviewedNumber | None
    explanation: str
    source: str
    criterion: str

    @property
    def kind_words(self) -> str:
        """What kind of answer was asked for."""
        return KIND_WORDS[self.kind]

    @property
    def is_right(self) -> bool:
        """Whether it was wholly right."""
        return self.points == 1

    @property
    def standing(self) -> str:
        """How it went: ok, part or no."""
        if self.is_right:
            return "ok"
        return "part" if self.points > 0 else "no"

    @property
    def words(self) -> str:
        """How it went, in words."""
        if not self.is_answered:
            return "Not answered"
        return {"ok": "Right", "part": "Partly right", "no": "Not right"}[self.standing]


@dataclass(frozen=True)
class Review:
    """A sitting after it was handed in."""

    result: PaperResult
    pass_percent: int
    questions: tuple[ReviewedQuestion, ...]

    @property
    def safety_missed(self) -> tuple[int, ...]:
        """The safety-critical questions that were not wholly right."""
        return tuple(one.position for one in self.questions if one.safety and not one.is_right)

    @property
    def is_under_the_line(self) -> bool:
        """Whether the mark is below the pass line."""
        return self.result.mark < self.pass_percent
