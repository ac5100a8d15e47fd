"""A calculator's answer as a curve: one figure against one input, in the chart's colours, as SVG that stands alone."""

from __future__ import annotations

import html
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator import units
from simulator.calculators.asking import BadInputs
from simulator.plot import AMPS, GRAPHITE, GRID, HEAD_LINE, INK, PAPER, RULE, TANK, VIOLET, Scale

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulator.calculators.calculator import Answer, Sweep

WIDTH, HEIGHT = 720.0, 420.0
LEFT, RIGHT, TOP, BOTTOM = 72.0, 560.0, 56.0, 352.0
POINTS = 81
COLOURS = (TANK, HEAD_LINE, AMPS, INK)


@dataclass(frozen=True)
class Line:
    """One line on the paper: its name and its points, in the units shown."""

    label: str
    points: tuple[tuple[float, float], ...]


def draw(answer: Answer, system: units.System) -> str:
    """Draw an answer's curve, with a dot at what was asked.

    Parameters
    ----------
    answer : Answer
        Of a calculator that has a sweep.
    system : str
        "us" or "metric".

    Returns
    -------
    str
        The document, with a title and a description for a screen reader.

    Raises
    ------
    ValueError
        If the calculator has no curve worth looking at.
    """
    sweep = answer.calculator.sweep
    if sweep is None:
        raise ValueError(f"'{answer.calculator.slug}' has no curve: its answer is a line of figures.")
    lines = _lines(answer, sweep, system)
    dot = (
        _shown(answer.given.values[sweep.across], _across_quantity(answer, sweep), system),
        _shown(answer.figures[sweep.shows].value, answer.figures[sweep.shows].quantity, system),
    )
    everything = [point for line in lines for point in line.points] + [dot]
    across = Scale(*_ends([x for x, _ in everything]), LEFT, RIGHT)
    up = Scale(*_ends([y for _, y in everything]), BOTTOM, TOP)
    return _document(
        answer, sweep, system, [_grid(across, up), *_inked(lines, across, up), _dot(dot, across, up)]
    )


def _lines(answer: Answer, sweep: Sweep, system: units.System) -> list[Line]:
    """The curve, or one for each choice worth comparing and for the one that was asked."""
    if not sweep.lines:
        return [Line("", _points(answer, sweep, {}, system))]
    chooser = answer.calculator.input(sweep.lines)
    asked = answer.given.values[sweep.lines]
    drawn = {
        word: value
        for word, value in chooser.choices.items()
        if not sweep.only or word in sweep.only or value == asked
    }
    return [
        Line(_name(word, chooser.title), _points(answer, sweep, {sweep.lines: value}, system))
        for word, value in drawn.items()
    ]


def _name(word: str, title: str) -> str:
    return f"{word} {title}" if word.isdigit() else word


def _points(
    answer: Answer, sweep: Sweep, held: Mapping[str, float], system: units.System
) -> tuple[tuple[float, float], ...]:
    """Work the calculator out over the paper; where it refuses there is no point."""
    quantity = _across_quantity(answer, sweep)
    low = max(sweep.low, answer.calculator.input(sweep.across).low)
    high = max(sweep.high, answer.given.values[sweep.across])
    points: list[tuple[float, float]] = []
    for step in range(POINTS):
        value = low + (high - low) * step / (POINTS - 1)
        try:
            worked = answer.calculator.work({**answer.given.values, **held, sweep.across: value})
        except BadInputs:
            continue
        figure = worked.figures[sweep.shows]
        points.append((_shown(value, quantity, system), _shown(figure.value, figure.quantity, system)))
    return tuple(points)


def _across_quantity(answer: Answer, sweep: Sweep) -> str:
    return answer.calculator.input(sweep.across).quantity


def _shown(value: float, quantity: str, system: units.System) -> float:
    return units.number(value, quantity, system) if quantity else value


def _ends(values: list[float]) -> tuple[float, float]:
    """Ends of an axis: from nothing up to a round step above all."""
    low, high = min(0.0, *values), max(values)
    step = _step(high - low)
    return math.floor(low / step + 1e-9) * step, max(step, math.ceil(high / step - 1e-9) * step)


def _step(reach: float) -> float:
    """Distance of rules: 1, 2 or 5 times a power of ten, about six of them."""
    rough = max(reach, 1e-9) / 6.0
    power = 10.0 ** math.floor(math.log10(rough))
    return next(float(factor * power) for factor in (1, 2, 5, 10) if factor * power >= rough * (1.0 - 1e-9))


def _ticks(scale: Scale) -> list[float]:
    step = _step(scale.high - scale.low)
    return [scale.low + number * step for number in range(round((scale.high - scale.low) / step) + 1)]


def _grid(across: Scale, up: Scale) -> str:
    columns = [
        f'<path d="M{across.place(tick):.1f} {TOP:.0f}V{BOTTOM:.0f}" stroke="{GRID}"/>'
        f'<text x="{across.place(tick):.1f}" y="{BOTTOM + 18:.0f}" text-anchor="middle" fill="{GRAPHITE}">{tick:.6g}</text>'
        for tick in _ticks(across)
    ]
    rows = [
        f'<path d="M{LEFT:.0f} {up.place(tick):.1f}H{RIGHT:.0f}" stroke="{RULE if tick == 0.0 else GRID}"/>'
        f'<text x="{LEFT - 8:.0f}" y="{up.place(tick) + 4:.1f}" text-anchor="end" fill="{GRAPHITE}">{tick:.6g}</text>'
        for tick in _ticks(up)
    ]
    return "\n".join([*columns, *rows])


def _inked(lines: list[Line], across: Scale, up: Scale) -> list[str]:
    """The lines, each named at its end, the names kept from running together."""
    inked: list[str] = []
    taken: list[float] = []
    for number, line in enumerate(lines):
        if not line.points:
            continue
        colour = COLOURS[number % len(COLOURS)]
        path = " ".join(f"{across.place(x):.1f},{up.place(y):.1f}" for x, y in line.points)
        inked.append(
            f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="1.8" stroke-linejoin="round"/>'
        )
        if line.label:
            x, y = across.place(line.points[-1][0]), _apart(up.place(line.points[-1][1]) + 4.0, taken)
            inked.append(
                f'<text x="{x + 8:.0f}" y="{y:.1f}" fill="{colour}">{html.escape(line.label)}</text>'
            )
    return inked


def _apart(wanted: float, taken: list[float]) -> float:
    """A place for a name at least a line away from those before it."""
    place = wanted
    while any(abs(place - one) < 16.0 for one in taken):
        place += 4.0
    taken.append(place)
    return place


def _dot(dot: tuple[float, float], across: Scale, up: Scale) -> str:
    x, y = across.place(dot[0]), up.place(dot[1])
    return (
        f'<path d="M{x:.1f} {BOTTOM:.0f}V{y:.1f}H{LEFT:.0f}" fill="none" stroke="{VIOLET}" stroke-dasharray="3 3"/>'
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5" fill="{VIOLET}"/>'
    )


def _document(answer: Answer, sweep: Sweep, system: units.System, body: list[str]) -> str:
    asked = answer.calculator.input(sweep.across)
    figure = answer.figures[sweep.shows]
    across_unit = units.unit(asked.quantity, system) if asked.quantity else ""
    up_unit = units.unit(figure.quantity, system) if figure.quantity else ""
    words = (
        f"{sweep.title}. At {asked.title} {asked.shown(answer.given.values[sweep.across], system)}:"
        f" {figure.title} {figure.shown(system)}."
    )
    up_name = f"{figure.title}{f' [{up_unit}]' if up_unit else ''}"
    across_name = f"{asked.title}{f' [{across_unit}]' if across_unit else ''}"
    drawn = "\n".join(body)
    return f"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}" role="img" aria-labelledby="title words" font-family="system-ui, sans-serif" font-size="13">
<title id="title">{html.escape(sweep.title)}</title>
<desc id="words">{html.escape(words)}</desc>
<rect width="{WIDTH:.0f}" height="{HEIGHT:.0f}" fill="{PAPER}"/>
<text x="{LEFT:.0f}" y="26" fill="{INK}" font-size="17" font-weight="600">{html.escape(sweep.title)}</text>
<text x="{LEFT:.0f}" y="46" fill="{GRAPHITE}">{html.escape(up_name)}</text>
{drawn}
<text x="{RIGHT:.0f}" y="{BOTTOM + 40:.0f}" text-anchor="end" fill="{INK}">{html.escape(across_name)}</text>
</svg>
"""
