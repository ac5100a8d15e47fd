"""Reckon: displacement, pump-up, leaks, sheaves, amps and the rest, with formula and source."""

import argparse
import json
import textwrap
from pathlib import Path

from simulator import units
from simulator.calculators import CALCULATORS, Answer, Calculator, calculate, draw, find_calculator
from simulator.cli.asking import BadInput, Commands
from simulator.cli.lists import table

WIDTH = 100


def add_to(commands: Commands) -> None:
    """Add the command `calculate`."""
    command = commands.add_parser(
        "calculate", help="reckon, with formula and source; alone, list what there is"
    )
    command.add_argument("name", nargs="?", metavar="NAME", help="a calculator, such as pump-up")
    command.add_argument(
        "given",
        nargs="*",
        metavar="INPUT=VALUE",
        help='such as "receiver=80 gal"; what is left out is assumed',
    )
    command.add_argument("--units", choices=("us", "metric"), default="us", help="units of the answer (us)")
    shape = command.add_mutually_exclusive_group()
    shape.add_argument("--json", action="store_true", help="answer in JSON")
    shape.add_argument("--plot", metavar="FILE.svg", help="draw the curve, where there is one")
    command.set_defaults(answer=_calculate)


def _calculate(asked: argparse.Namespace) -> str:
    if asked.name is None:
        return _listed(as_json=asked.json)
    answer = calculate(find_calculator(asked.name).slug, _typed(asked.given))
    if asked.json:
        return json.dumps(_plain(answer), ensure_ascii=False, allow_nan=False) + "\n"
    drawn = _drawn(asked.plot, answer, asked.units) if asked.plot is not None else ""
    return _text(answer, asked.units) + drawn


def _typed(given: list[str]) -> dict[str, str]:
    typed: dict[str, str] = {}
    for text in given:
        name, equals, value = text.partition("=")
        name = name.strip()
        if not equals or not name or not value.strip():
            raise BadInput(f"'{text}' gives nothing. Write it as \"receiver=80 gal\".")
        if name in typed:
            raise BadInput(f"'{name}' is given more than once. Give it once.")
        typed[name] = value
    return typed


def _drawn(path: str, answer: Answer, system: units.System) -> str:
    if not path.endswith(".svg"):
        raise BadInput(f"--plot: '{path}' must end in .svg.")
    if answer.calculator.sweep is None:
        with_curve = ", ".join(one.slug for one in CALCULATORS.values() if one.sweep is not None)
        raise BadInput(f"--plot: '{answer.calculator.slug}' has no curve. These have: {with_curve}.")
    try:
        Path(path).write_text(draw(answer, system), encoding="utf-8")
    except OSError as refusal:
        raise BadInput(f"--plot: '{path}' cannot be written: {refusal.strerror}.") from refusal
    return f"Drawn in {path}.\n"


def _listed(*, as_json: bool) -> str:
    if as_json:
        rows = [_described(one) for one in CALCULATORS.values()]
        return json.dumps(rows, ensure_ascii=False, indent=2) + "\n"
    return table([[one.slug, one.question] for one in CALCULATORS.values()])


def _described(one: Calculator) -> dict[str, object]:
    return {
        "slug": one.slug,
        "title": one.title,
        "question": one.question,
        "formula": list(one.formula),
        "source": one.source,
        "standing": one.standing.value,
        "inputs": [
            {
                "name": asked.name,
                "title": asked.title,
                "quantity": asked.quantity,
                "default": asked.default,
                "choices": list(asked.choices),
                "hint": asked.hint,
            }
            for asked in one.inputs
        ],
        "example": dict(one.example),
        "example_answer": one.example_answer,
        "caution": one.caution,
        "plot": one.sweep is not None,
    }


def _plain(answer: Answer) -> dict[str, object]:
    return {
        "calculator": answer.calculator.slug,
        "given": dict(answer.given.values),
        "assumed": list(answer.given.assumed),
        "figures": {
            name: {"title": figure.title, "value": figure.value, "quantity": figure.quantity}
            for name, figure in answer.figures.items()
        },
        "formula": list(answer.calculator.formula),
        "source": answer.calculator.source,
        "standing": answer.calculator.standing.value,
        "remarks": list(answer.remarks),
        "caution": answer.calculator.caution,
    }


def _text(answer: Answer, system: units.System) -> str:
    one = answer.calculator
    given = [
        [
            asked.title,
            asked.shown(answer.given.values[asked.name], system),
            "assumed" if asked.name in answer.given.assumed else "",
        ]
        for asked in one.inputs
    ]
    figures = [[figure.title, figure.shown(system)] for figure in answer.figures.values()]
    remarks = [*answer.remarks, *([f"Caution: {one.caution}"] if one.caution else [])]
    words = "".join(f"{textwrap.fill(line, WIDTH, subsequent_indent='  ')}\n" for line in remarks)
    formula = "".join(f"  {line}\n" for line in one.formula)
    source = textwrap.fill(f"Source: {one.source} ({one.standing.value}).", WIDTH, subsequent_indent="  ")
    return f"{one.title}\n{table(given)}\n{table(figures)}\n{formula}{source}\n{words}"
