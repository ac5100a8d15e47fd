"""Calculators of the trade: pure reckonings with formula, units at the boundary, source and a worked example."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator.calculators import branching, leaking, powering, pumping, storing, turning, weather
from simulator.calculators.asking import BadInputs, Given, Input, read_inputs
from simulator.calculators.calculator import Answer, Calculator, Sweep, Worked, work_out
from simulator.calculators.curve import draw
from simulator.components.spec import nearest

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = [
    "CALCULATORS",
    "Answer",
    "BadInputs",
    "Calculator",
    "Given",
    "Input",
    "Sweep",
    "UnknownCalculator",
    "Worked",
    "calculate",
    "draw",
    "find_calculator",
    "read_inputs",
    "work_out",
]

CALCULATORS: dict[str, Calculator] = {
    one.slug: one
    for room in (pumping, storing, leaking, turning, powering, branching, weather)
    for one in room.CALCULATORS
}


class UnknownCalculator(ValueError):
    """No calculator of that name; names the nearest."""


def find_calculator(slug: str) -> Calculator:
    """Find a calculator.

    Parameters
    ----------
    slug : str
        Such as "pump-up".

    Returns
    -------
    Calculator
        The calculator.

    Raises
    ------
    UnknownCalculator
        Naming the nearest.
    """
    if slug not in CALCULATORS:
        raise UnknownCalculator(f"No calculator is called '{slug}'.{nearest(slug, CALCULATORS)}")
    return CALCULATORS[slug]


def calculate(slug: str, typed: Mapping[str, str]) -> Answer:
    """Reckon with what was typed.

    Parameters
    ----------
    slug : str
        Of the calculator.
    typed : mapping of str to str
        Text by the input's name; what is left out is assumed, and the answer says so.

    Returns
    -------
    Answer
        Figures in SI, each with the quantity that says how it is shown.

    Raises
    ------
    UnknownCalculator
        If there is none of that name.
    BadInputs
        With a refusal for each input that has no meaning or contradicts another.
    """
    return work_out(find_calculator(slug), typed)
