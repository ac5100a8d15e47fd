"""A calculator: what it asks, its formula and source, how it reckons, and what it answers."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from simulator.calculators.asking import BadInputs, Given, Input, read_inputs

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from simulator.replacement.verdict import Figure, Standing


@dataclass(frozen=True)
class Worked:
    """What came out: figures by name, the first of them the answer, and what to bear in mind."""

    figures: Mapping[str, Figure]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sweep:
    """A curve worth looking at: one figure against one input, the others held.

    `low` and `high` are the ends of the paper [SI]. `lines` names an input with choices of which each gives a
    line of its own.
    """

    across: str
    shows: str
    low: float
    high: float
    title: str
    lines: str = ""
    only: tuple[str, ...] = ()  # of the choices of `lines`; all when empty


@dataclass(frozen=True)
class Calculator:
    """One reckoning of the trade.

    `work` takes the inputs' values in SI and raises `BadInputs` where they contradict each other. `example` is
    typed input with the answer worked by hand in words.
    """

    slug: str
    title: str
    question: str
    formula: tuple[str, ...]
    source: str
    standing: Standing
    inputs: tuple[Input, ...]
    work: Callable[[Mapping[str, float]], Worked]
    example: Mapping[str, str]
    example_answer: str
    caution: str = ""
    sweep: Sweep | None = None

    def input(self, name: str) -> Input:
        """Find an input by its name."""
        return next(one for one in self.inputs if one.name == name)


@dataclass(frozen=True)
class Answer:
    """A calculator's answer to what was typed."""

    calculator: Calculator
    given: Given
    figures: Mapping[str, Figure]
    remarks: tuple[str, ...] = field(default=())


def work_out(calculator: Calculator, typed: Mapping[str, str]) -> Answer:
    """Reckon with what was typed.

    Parameters
    ----------
    calculator : Calculator
        Which reckoning.
    typed : mapping of str to str
        Text by the input's name.

    Returns
    -------
    Answer
        Figures in SI, each with the quantity that says how it is shown.

    Raises
    ------
    BadInputs
        With a refusal for each input that has no meaning or contradicts another.
    """
    given = read_inputs(calculator.inputs, typed)
    worked = calculator.work(given.values)
    return Answer(calculator, given, worked.figures, worked.remarks)


def must(*, holds: bool, field: str, words: str) -> None:
    """Refuse an input that contradicts another, in words."""
    if not holds:
        raise BadInputs({field: words})
