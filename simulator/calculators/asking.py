"""What a calculator asks for: typed text turned into SI numbers, or refused beside the line it stands in."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from simulator import units
from simulator.components.spec import nearest
from simulator.replacement.writing import Unreadable, measure

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

_BARE = re.compile(r"[+-]?(?:[0-9]{1,9}(?:\.[0-9]{0,9})?|\.[0-9]{1,9})\Z")


class BadInputs(ValueError):
    """What was typed cannot be reckoned with: a refusal for each input, by its name."""

    def __init__(self, problems: Mapping[str, str]) -> None:
        super().__init__(" ".join(f"{name}: {words}" for name, words in problems.items()))
        self.problems = dict(problems)


@dataclass(frozen=True)
class Input:
    """One thing a calculator asks for.

    `quantity` is a name of `simulator.quantities.QUANTITIES`, or empty for a bare number. `default` is written as
    a person would; without one the input must be given. `low` and `high` are the limits it makes sense within [SI].
    With `choices` only those words are taken, and each stands for its number.
    """

    name: str
    title: str
    quantity: str = ""
    default: str = ""
    low: float = -math.inf
    high: float = math.inf
    choices: Mapping[str, float] = field(default_factory=dict)
    hint: str = ""

    def read(self, text: str) -> float:
        """Read what was typed. [SI].

        Raises
        ------
        ValueError
            With what is wrong and how to write it.
        """
        if self.choices:
            return self._choice(text)
        value = self._value(text)
        if not self.low <= value <= self.high:
            raise ValueError(
                f"'{text.strip()}' is outside what this is for, {self._limit(self.low)} to {self._limit(self.high)}."
            )
        return value

    def shown(self, value: float, system: units.System) -> str:
        """Show a value of this input with its unit, or the word it was chosen by."""
        for word, number in self.choices.items():
            if number == value:
                return word
        return units.show(value, self.quantity, system) if self.quantity else f"{value:g}"

    def _value(self, text: str) -> float:
        if not self.quantity:
            return _number(text)
        try:
            return measure(text, self.quantity)
        except Unreadable as refusal:
            raise ValueError(f"{str(refusal).removesuffix('.')}.") from refusal

    def _choice(self, text: str) -> float:
        wanted = " ".join(text.split()).casefold()
        for word, number in self.choices.items():
            if word.casefold() == wanted:
                return number
        raise ValueError(f"'{text.strip()[:40]}' is not one of: {', '.join(self.choices)}.")

    def _limit(self, value: float) -> str:
        if not self.quantity:
            return f"{value:g}"
        us, metric = units.show(value, self.quantity, "us"), units.show(value, self.quantity, "metric")
        return us if us == metric else f"{us} ({metric})"


@dataclass(frozen=True)
class Given:
    """The numbers to reckon with [SI], and which of them were assumed because nothing was typed."""

    values: Mapping[str, float]
    assumed: tuple[str, ...]


def read_inputs(inputs: Sequence[Input], typed: Mapping[str, str]) -> Given:
    """Read all that was typed into a calculator.

    Parameters
    ----------
    inputs : sequence of Input
        What the calculator asks for.
    typed : mapping of str to str
        Text by the input's name; an empty text counts as not typed.

    Returns
    -------
    Given
        A value for every input.

    Raises
    ------
    BadInputs
        With a refusal for each text that has no meaning, each that is missing and each name that is unknown.
    """
    names = {one.name for one in inputs}
    problems = {name: f"There is no such input.{nearest(name, names)}" for name in typed if name not in names}
    values: dict[str, float] = {}
    assumed: list[str] = []
    for one in inputs:
        text = typed.get(one.name, "").strip()
        if not text:
            assumed.append(one.name)
        if not text and not one.default:
            problems[one.name] = f"Give the {one.title}{f' ({one.hint})' if one.hint else ''}."
            continue
        try:
            values[one.name] = one.read(text or one.default)
        except ValueError as refusal:
            problems[one.name] = str(refusal)
    if problems:
        raise BadInputs(problems)
    return Given(values, tuple(assumed))


def _number(text: str) -> float:
    if not _BARE.match(text.strip()):
        raise ValueError(f"'{text.strip()[:40]}' is not a number. Write it with a point, such as 0.65.")
    return float(text)
