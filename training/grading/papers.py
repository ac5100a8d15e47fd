"""Marks for the answers of a written paper.

Exact fractions, so that a mark of exactly the pass line is never lost to rounding. The scheme:

single     1 for the right option, else 0
multiple   share of the right options chosen minus share of the wrong ones chosen, never below 0, so that ticking
           nothing and ticking everything are both worth nothing
order      share of the pairs of steps that stand in the right order to each other
number     1 within the tolerance of the key, else 0

Common practice, no source; the pass rule (a percentage, and every safety-critical question wholly right) is the
competence framework's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from typing import TYPE_CHECKING, Final, Literal, NotRequired, TypedDict

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

Kind = Literal["single", "multiple", "order", "number"]
Result = Literal["competent", "not yet competent"]

NOTHING: Final = Fraction(0)
EVERYTHING: Final = Fraction(1)


class Option(TypedDict):
    """One option of a choice, with what makes it right or wrong."""

    id: str
    text: str
    right: bool
    reason: str
    belief: NotRequired[str]  # slug of the belief that picks it, or leaves it out if it is right


class Step(TypedDict):
    """One step to be put in order; `place` counts from 1."""

    id: str
    text: str
    place: int
    reason: str


class Slip(TypedDict):
    """A wrong number that a known mistake leads to, in SI, and what went wrong."""

    value: float
    shown: str
    reason: str
    belief: NotRequired[str]  # slug of the belief that leads to it, where a question maker knows one


class Number(TypedDict):
    """The key of a number question: value in SI, tolerance as a fraction of it."""

    quantity: str
    key: float
    shown: str
    tolerance: float
    slips: list[Slip]


class Keyed(TypedDict):
    """A question as it stands in one sitting, key and reasons included."""

    slug: str
    version: int
    area: str
    criterion: str
    kind: Kind
    rig: str
    stem: str
    safety: bool
    explanation: str
    source: str
    fault: str
    procedure: str
    options: list[Option]
    steps: list[Step]
    number: Number | None


class Answer(TypedDict):
    """What was answered: ids chosen, ids in the order given, or a number as typed and in SI."""

    chosen: NotRequired[list[str]]
    order: NotRequired[list[str]]
    text: NotRequired[str]
    value: NotRequired[float]


@dataclass(frozen=True)
class Mark:
    """What one question earned."""

    points: Fraction
    safety: bool

    @property
    def is_right(self) -> bool:
        """Whether the answer is wholly right."""
        return self.points == EVERYTHING


@dataclass(frozen=True)
class Verdict:
    """What the whole paper earned."""

    percent: Fraction
    safety_missed: int
    pass_percent: int

    @property
    def result(self) -> Result:
        """Competent at the pass line or above with every safety-critical question wholly right."""
        enough = self.percent >= self.pass_percent
        return "competent" if enough and not self.safety_missed else "not yet competent"


def mark_single(chosen: str, right: str) -> Fraction:
    """Mark a choice of one."""
    return EVERYTHING if chosen == right else NOTHING


def mark_multiple(chosen: Collection[str], right: Collection[str], wrong: Collection[str]) -> Fraction:
    """Mark a choice of several: share of right ones minus share of wrong ones, never below nothing."""
    picked = set(chosen)
    hits = Fraction(len(picked & set(right)), len(right))
    misses = Fraction(len(picked & set(wrong)), len(wrong))
    return max(NOTHING, hits - misses)


def mark_order(given: Sequence[str], right: Sequence[str]) -> Fraction:
    """Mark an order by the share of pairs that stand right to each other."""
    if sorted(given) != sorted(right):
        raise ValueError("an order must hold every step once")
    place = {step: i for i, step in enumerate(given)}
    pairs = list(combinations(right, 2))
    return Fraction(sum(place[first] < place[then] for first, then in pairs), len(pairs))


def is_near(value: float, key: float, tolerance: float) -> bool:
    """Whether a number lies within the tolerance, a fraction of the key, edge included."""
    return math.isfinite(value) and abs(value - key) <= abs(key) * tolerance * (1 + 1e-9)


def mark_number(value: float, key: float, tolerance: float) -> Fraction:
    """Mark a number: right within the tolerance, wrong outside."""
    return EVERYTHING if is_near(value, key, tolerance) else NOTHING


def slip_made(value: float, number: Number) -> Slip | None:
    """Return the known mistake that leads to this wrong number, if one does."""
    if is_near(value, number["key"], number["tolerance"]):
        return None
    near = [slip for slip in number["slips"] if is_near(value, slip["value"], number["tolerance"])]
    return min(near, key=lambda slip: abs(slip["value"] - value), default=None)


def right_order(question: Keyed) -> list[str]:
    """Return the ids of the steps in the right order."""
    return [step["id"] for step in sorted(question["steps"], key=lambda step: step["place"])]


def mark_answer(question: Keyed, answer: Answer | None) -> Mark:
    """Mark one answer; a question left open earns nothing."""
    points = NOTHING if answer is None else _points(question, answer)
    return Mark(points=points, safety=question["safety"])


def _points(question: Keyed, answer: Answer) -> Fraction:
    right = [option["id"] for option in question["options"] if option["right"]]
    match question["kind"]:
        case "single":
            return mark_single(answer["chosen"][0], right[0])
        case "multiple":
            wrong = [option["id"] for option in question["options"] if not option["right"]]
            return mark_multiple(answer["chosen"], right, wrong)
        case "order":
            return mark_order(answer["order"], right_order(question))
        case "number":
            number = question["number"]
            if number is None:
                raise ValueError("a number question needs its key")
            return mark_number(answer["value"], number["key"], number["tolerance"])


def judge(marks: Sequence[Mark], pass_percent: int) -> Verdict:
    """Judge a whole paper, every question weighing the same."""
    if not marks:
        raise ValueError("a paper without questions cannot be judged")
    total = sum((mark.points for mark in marks), NOTHING)
    return Verdict(
        percent=100 * total / len(marks),
        safety_missed=sum(mark.safety and not mark.is_right for mark in marks),
        pass_percent=pass_percent,
    )
