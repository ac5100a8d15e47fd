"""What the calculators' pages show: inputs in the reader's units, answer, formula, source and curve."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlencode

from simulator.calculators import CALCULATORS, BadInputs, UnknownCalculator, calculate, draw, find_calculator
from training.fitting.shown import AnswerShown, CalculatorView, InputShown, Trouble

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulator import units
    from simulator.calculators import Answer, Calculator, Input

LONGEST = 200  # characters of one input; a quantity has ten
# The order in which a hand at the machine meets them; what is in no room comes last.
ROOMS = (
    ("Pump", ("displacement", "pump-up", "measured-free-air", "altitude")),
    ("Receiver", ("receiver-size", "receiver-starts", "condensate")),
    ("Leaks", ("leak-rate", "leak-cycle", "orifice")),
    ("Drive", ("sheave-size", "sheave-speed")),
    ("Motor and circuit", ("amps", "amps-at-volts", "voltage-drop", "breaker-and-wire")),
)


def rooms() -> list[tuple[str, list[Calculator]]]:
    """Return the calculators in groups."""
    made = [(title, [CALCULATORS[slug] for slug in slugs if slug in CALCULATORS]) for title, slugs in ROOMS]
    placed = {one.slug for _, found in made for one in found}
    rest = [one for slug, one in CALCULATORS.items() if slug not in placed]
    return [(title, found) for title, found in (*made, ("More", rest)) if found]


def calculator_view(slug: str, sent: Mapping[str, str], system: units.System) -> CalculatorView | None:
    """Return a calculator with what was sent and its answer; None where there is no such calculator."""
    try:
        calculator = find_calculator(slug)
    except UnknownCalculator:
        return None
    typed = {name: text for name, text in sent.items() if text.strip()}
    answer, problems = _worked(calculator, typed)
    names = {one.name for one in calculator.inputs}
    return CalculatorView(
        slug=slug,
        title=calculator.title,
        question=calculator.question,
        formula=calculator.formula,
        source=calculator.source,
        standing=calculator.standing.value,
        caution=calculator.caution,
        inputs=tuple(_input(one, typed, problems, system) for one in calculator.inputs),
        troubles=tuple(
            Trouble(
                f"f-{name}" if name in names else "",
                calculator.input(name).title if name in names else name[:60],
                words,
            )
            for name, words in problems.items()
        ),
        answer=_answer(answer, system) if answer else None,
        example=urlencode(calculator.example),
        example_given=tuple(
            (calculator.input(name).title, text) for name, text in calculator.example.items()
        ),
        example_answer=calculator.example_answer,
        query=urlencode(typed),
    )


def _worked(calculator: Calculator, typed: Mapping[str, str]) -> tuple[Answer | None, dict[str, str]]:
    """Reckon, or tell what is wrong; an empty sheet that lacks something is not wrong yet."""
    too_long = {
        name: f"That is {len(text)} characters long; a number with its unit has about ten."
        for name, text in typed.items()
        if len(text) > LONGEST
    }
    if too_long:
        return None, too_long
    try:
        return calculate(calculator.slug, typed), {}
    except BadInputs as refusal:
        return None, refusal.problems if typed else {}


def _input(
    one: Input, typed: Mapping[str, str], problems: Mapping[str, str], system: units.System
) -> InputShown:
    assumed = one.shown(one.read(one.default), system) if one.default else ""
    return InputShown(
        one.name,
        _capital(one.title),
        one.hint,
        typed.get(one.name, ""),
        assumed,
        tuple(one.choices),
        problems.get(one.name, ""),
    )


def _answer(answer: Answer, system: units.System) -> AnswerShown:
    given = tuple(
        (one.title, one.shown(answer.given.values[one.name], system), one.name in answer.given.assumed)
        for one in answer.calculator.inputs
    )
    return AnswerShown(
        tuple((_capital(figure.title), figure.shown(system)) for figure in answer.figures.values()),
        given,
        answer.remarks,
        draw(answer, system) if answer.calculator.sweep else "",
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
