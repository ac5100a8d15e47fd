"""The one place where question makers ask the simulator: reckonings, verdicts, units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator import calculators, units
from simulator.calculators import Answer
from simulator.quantities import QUANTITIES
from simulator.replacement.circuit import horsepower, locked_rotor_currents
from simulator.replacement.conductors import ampacity
from simulator.replacement.frames import Frame, table_frames
from simulator.replacement.kinds import judge_part, sheets_of_rig
from simulator.replacement.part_rules import part_rule
from simulator.replacement.problems import BadPlate
from simulator.replacement.reliefs import relieving_pressure
from simulator.replacement.verdict import Figure, Judgement, Reason, Verdict
from training.papers.makers.unsuitable import Unsuitable

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulator.units import System

__all__ = [
    "Answer",
    "Figure",
    "Frame",
    "Judgement",
    "Reason",
    "Verdict",
    "all_said",
    "ampacity",
    "example_values",
    "figure_of",
    "horsepower",
    "locked_rotor_currents",
    "number",
    "part_rule",
    "reckon",
    "relieving_pressure",
    "said",
    "sheets_of_rig",
    "shown",
    "si",
    "table_frames",
    "verdict_on",
]
NEAR_ENOUGH = 0.001  # share by which a figure may be rounded where it is shown


def reckon(calculator: str, typed: Mapping[str, str]) -> Answer:
    """Have a calculator reckon with what a person would type."""
    try:
        return calculators.calculate(calculator, typed)
    except calculators.BadInputs as refusal:
        raise Unsuitable(str(refusal)) from refusal


def verdict_on(kind: str, sheets: Mapping[str, Mapping[str, str]], system: System) -> Judgement:
    """Have a part judged by what a person would type."""
    try:
        return judge_part(kind, sheets, system)
    except BadPlate as refusal:
        raise Unsuitable(str(refusal)) from refusal


def si(text: str, quantity: str) -> float:
    """Read a drawn figure. [SI]."""
    return units.read(text, quantity)


def number(value: float, quantity: str, system: System) -> float:
    """Give the number alone in the member's unit."""
    return units.number(value, quantity, system)


def shown(value: float, quantity: str, system: System) -> str:
    """Show a figure with as few digits as say it within a tenth of a per cent."""
    figure = units.number(value, quantity, system)
    digits = next(
        (few for few in range(6) if abs(round(figure, few) - figure) <= NEAR_ENOUGH * abs(figure)), 6
    )
    return units.show(value, quantity, system, digits)


def figure_of(reason: Reason, title: str) -> float:
    """Find the figure of a title among those behind a reason. [SI]."""
    return next(figure.value for figure in reason.figures if figure.title == title)


def said(reason: Reason, system: System, *, with_figures: bool = True) -> str:
    """Say a reason in the member's units: what was found, the figures, the rule, what to change."""
    figures = ", ".join(
        f"{one.title} {shown(one.value, one.quantity, system)}" for one in reason.figures if one.quantity
    )
    parts = [
        reason.statement,
        f"{figures[0].upper()}{figures[1:]}." if figures and with_figures else "",
        reason.change,
    ]
    return " ".join(part for part in parts if part)


def all_said(judgement: Judgement, codes: tuple[str, ...], system: System) -> str:
    """Say the reasons of these codes one after the other, as far as there are any."""
    found = [judgement.by_code(code) for code in codes]
    return " ".join(said(reason, system) for reason in found if reason is not None)


def example_values(quantity: str) -> tuple[float, ...]:
    """Figures that the page's own hints write as examples. [SI]."""
    kind = QUANTITIES[quantity]
    return tuple(
        units.read(f"{figure:g} {unit.label}", quantity)
        for figure, unit in ((kind.us_example, kind.us), (kind.metric_example, kind.metric))
    )
