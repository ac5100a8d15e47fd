"""What makes a drawn question fair: one right answer, wrong ones apart from it, nothing that gives the key away."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Final

from training.grading.papers import is_near
from training.papers.makers import trade
from training.papers.makers.unsuitable import Unsuitable

if TYPE_CHECKING:
    from collections.abc import Iterable

    from training.grading.papers import Keyed, Number, Option, Step

LEAST_OPTIONS: Final = 3
LEAST_STEPS: Final = 4
STANDS_OUT: Final = 12  # characters by which a right option may be longer or shorter than every wrong one
LONGEST_STEM: Final = 420


def check(question: Keyed, drawn: Iterable[float]) -> None:
    """Refuse a question that is not fair."""
    if len(question["stem"]) > LONGEST_STEM:
        raise Unsuitable("the stem is too long to be read at one go")
    if question["number"] is not None:
        _number(question["number"], drawn)
    elif question["kind"] == "order":
        _steps(question["steps"])
    else:
        _options(question["options"], one=question["kind"] == "single")


def _options(options: list[Option], *, one: bool) -> None:
    texts = [option["text"].casefold() for option in options]
    right = [len(option["text"]) for option in options if option["right"]]
    wrong = [len(option["text"]) for option in options if not option["right"]]
    if len(options) < LEAST_OPTIONS or len(set(texts)) < len(texts):
        raise Unsuitable("too few options, or two that say the same")
    if not right or not wrong or (one and len(right) != 1):
        raise Unsuitable("not one right option among wrong ones")
    if one and (right[0] > max(wrong) + STANDS_OUT or right[0] < min(wrong) - STANDS_OUT):
        raise Unsuitable("the right option stands out by its length")


def _steps(steps: list[Step]) -> None:
    texts = {step["text"].casefold() for step in steps}
    if len(steps) < LEAST_STEPS or len(texts) < len(steps):
        raise Unsuitable("too few steps, or two that say the same")


def _number(number: Number, drawn: Iterable[float]) -> None:
    key, tolerance = number["key"], number["tolerance"]
    if not key > 0.0:
        raise Unsuitable("the key is nothing, or below it")
    if abs(trade.si(number["shown"], number["quantity"]) - key) > 0.2 * tolerance * key:
        raise Unsuitable("the key is shown too far from what it is")
    if any(is_near(example, key, tolerance) for example in trade.example_values(number["quantity"])):
        raise Unsuitable("a hint of the page happens to write the key")
    if any(is_near(value, key, tolerance) for value in drawn):
        raise Unsuitable("the stem itself names the key")
    values = [slip["value"] for slip in number["slips"]]
    if not values or any(is_near(value, key, tolerance) for value in values):
        raise Unsuitable("a known mistake leads to the key")
    if any(is_near(one, other, 0.01) for one, other in combinations(values, 2)):
        raise Unsuitable("two known mistakes lead to one number")
