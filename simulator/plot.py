"""A run as a picture: pressures and current against time with the events marked, as SVG that stands alone."""

import html
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

# The site's design tokens, light theme: chart paper, rules, pens, the violet of what a hand did.
PAPER = "#f7f8f2"
GRID = "#dde3d8"
RULE = "#c2ccbe"
INK = "#14201d"
GRAPHITE = "#5b6266"
VIOLET = "#55268f"
TANK = "#1a6b66"
HEAD_LINE = "#a1511f"
AMPS = "#52605b"
AMPS_SOFT = "#d9dfda"

WIDTH = 960.0
LEFT, RIGHT = 64.0, 936.0
PRESSURE_TOP, PRESSURE_BOTTOM = 72.0, 332.0
CURRENT_TOP, CURRENT_BOTTOM = 356.0, 476.0
TEMPERATURE_TOP, TEMPERATURE_BOTTOM = 500.0, 620.0
LIST_BELOW, LIST_STEP = 60.0, 18.0  # the list of marks under the lowest panel
LEGEND_COLUMNS = 3
CURVE_COLUMNS = 4
COLUMNS = int(RIGHT - LEFT)
NUMBER_WIDTH = 34.0  # numbers of marks nearer than this would run together
MOST_LISTED = 24  # marks written out under the chart; a longer run shows the rest as lines only
TIME_UNITS = ((3.0 * 3600.0, 3600.0, "h"), (180.0, 60.0, "min"), (0.0, 1.0, "s"))

Series = NDArray[np.float64]


@dataclass(frozen=True)
class Pen:
    """One line on the chart: its name, colour and values at the chart's times."""

    label: str
    colour: str
    values: Series


@dataclass(frozen=True)
class Mark:
    """Something that happened: when [s], in words, and whether a hand did it."""

    time: float
    words: str
    by_hand: bool = False


@dataclass(frozen=True)
class Chart:
    """All that is drawn; the times, in seconds, rise. Temperatures are left out where there are none."""

    title: str
    time: Series
    pressure_unit: str
    pressures: tuple[Pen, ...]
    current: Pen
    marks: tuple[Mark, ...]
    temperature_unit: str = ""
    temperatures: tuple[Pen, ...] = ()

    @property
    def pens(self) -> tuple[Pen, ...]:
        """Every line, from the top panel down."""
        return (*self.pressures, self.current, *self.temperatures)

    @property
    def bottom(self) -> float:
        """Lower edge of the lowest panel."""
        return TEMPERATURE_BOTTOM if self.temperatures else CURRENT_BOTTOM


@dataclass(frozen=True)
class Curve:
    """One closed or open curve: its name, colour and points; a dashed one is there to compare with."""

    label: str
    colour: str
    x: Series
    y: Series
    dashed: bool = False


@dataclass(frozen=True)
class CurveChart:
    """Curves over a quantity other than time; units stand at the ends of the axes."""

    title: str
    words: str  # the same for who cannot see it
    x_name: str
    x_unit: str
    y_name: str
    y_unit: str
    curves: tuple[Curve, ...]


@dataclass(frozen=True)
class Scale:
    """A straight line from values to places on the paper."""

    low: float
    high: float
    at_low: float
    at_high: float

    def place(self, value: float) -> float:
        """Place of one value on the paper."""
        return self.at_low + (value - self.low) / (self.high - self.low) * (self.at_high - self.at_low)


def draw(chart: Chart) -> str:
    """Draw a chart as an SVG document.

    Parameters
    ----------
    chart : Chart
        What to draw.

    Returns
    -------
    str
        The document, with a title and a description for a screen reader.
    """
    start, end = float(chart.time[0]), float(chart.time[-1])
    across = Scale(start, max(end, start + 1e-9), LEFT, RIGHT)
    pressure = Scale(*_span(chart.pressures), PRESSURE_BOTTOM, PRESSURE_TOP)
    current = Scale(*_span((chart.current,)), CURRENT_BOTTOM, CURRENT_TOP)
    listed = chart.marks[:MOST_LISTED]
    legend_rows = math.ceil(len(chart.pens) / LEGEND_COLUMNS)
    list_top = chart.bottom + LIST_BELOW + LIST_STEP * (legend_rows - 1)
    height = list_top + LIST_STEP * math.ceil(max(1, len(listed)) / 2) + 24.0
    body = [
        _panel(pressure, chart.pressure_unit),
        _panel(current, "A"),
        _time_axis(across, chart.bottom),
        _marks(across, chart.marks, chart.bottom),
        _area(chart.time, chart.current, across, current),
        *(_line(chart.time, pen, across, pressure) for pen in chart.pressures),
        _line(chart.time, chart.current, across, current),
        *_temperatures(chart, across),
        _legend(chart.pens, chart.bottom),
        _list(listed, len(chart.marks) - len(listed), list_top),
    ]
    return _document(chart, height, "\n".join(body))


def _temperatures(chart: Chart, across: Scale) -> list[str]:
    """Draw the third panel, if there is anything to draw in it."""
    if not chart.temperatures:
        return []
    up = Scale(*_span(chart.temperatures), TEMPERATURE_BOTTOM, TEMPERATURE_TOP)
    lines = [_line(chart.time, pen, across, up) for pen in chart.temperatures]
    return [_panel(up, chart.temperature_unit), *lines]


def draw_curves(chart: CurveChart) -> str:
    """Draw curves over any quantity as an SVG document.

    Parameters
    ----------
    chart : CurveChart
        What to draw.

    Returns
    -------
    str
        The document, with a title and a description for a screen reader.
    """
    widest = max(float(np.max(curve.x)) for curve in chart.curves)
    across_step = _step(widest, 10)
    across = Scale(0.0, across_step * math.ceil(widest / across_step + 0.02), LEFT, RIGHT)
    _, high = _span([Pen(curve.label, curve.colour, curve.y) for curve in chart.curves])
    low = min(0.0, *(1.5 * float(np.min(curve.y)) for curve in chart.curves))
    up = Scale(low, high, CURRENT_BOTTOM, 84.0)
    body = [
        _panel(up, chart.y_unit),
        _across(across, up, chart.x_name, chart.x_unit),
        f'<text x="{LEFT:.0f}" y="60" fill="{INK}">{html.escape(chart.y_name)}</text>',
        *(_curve(curve, across, up) for curve in sorted(chart.curves, key=lambda curve: not curve.dashed)),
        _curve_legend(chart.curves),
    ]
    height = CURRENT_BOTTOM + 52.0 + LIST_STEP * math.ceil(len(chart.curves) / CURVE_COLUMNS)
    return _sheet(chart.title, chart.words, height, "\n".join(body))


def _across(across: Scale, up: Scale, name: str, unit: str) -> str:
    ticks = [
        f'<path d="M{across.place(tick):.1f} {up.at_high:.0f}V{up.at_low:.0f}" stroke="{GRID}"/>'
        f'<text x="{across.place(tick):.1f}" y="{up.at_low + 18:.0f}" text-anchor="middle" fill="{GRAPHITE}">{tick:g}</text>'
        for tick in _ticks(across.low, across.high, 10)
    ]
    axis = f'<text x="{RIGHT:.0f}" y="{up.at_low + 36:.0f}" text-anchor="end" fill="{INK}">{html.escape(name)} [{html.escape(unit)}]</text>'
    return "\n".join([*ticks, axis])


def _curve(curve: Curve, across: Scale, up: Scale) -> str:
    points = " ".join(
        f"{across.place(float(x)):.1f},{up.place(float(y)):.1f}"
        for x, y in zip(curve.x, curve.y, strict=True)
    )
    dashes = ' stroke-dasharray="5 4"' if curve.dashed else ""
    return f'<polyline points="{points}" fill="none" stroke="{curve.colour}" stroke-width="{1.4 if curve.dashed else 2.0}" stroke-linejoin="round"{dashes}/>'


def _curve_legend(curves: Sequence[Curve]) -> str:
    width = (RIGHT - LEFT) / CURVE_COLUMNS
    lines = []
    for place, curve in enumerate(curves):
        x, y = (
            LEFT + place % CURVE_COLUMNS * width,
            CURRENT_BOTTOM + 58 + LIST_STEP * (place // CURVE_COLUMNS),
        )
        dashes = ' stroke-dasharray="5 4"' if curve.dashed else ""
        lines.append(
            f'<path d="M{x:.0f} {y - 4:.0f}h24" stroke="{curve.colour}" stroke-width="2.5"{dashes}/>'
            f'<text x="{x + 30:.0f}" y="{y:.0f}" fill="{INK}">{html.escape(curve.label)}</text>'
        )
    return "\n".join(lines)


def _document(chart: Chart, height: float, body: str) -> str:
    what = (
        "Pressures, motor current and temperatures" if chart.temperatures else "Pressures and motor current"
    )
    words = f"{what} over {chart.time[-1] - chart.time[0]:.0f} seconds. " + "; ".join(
        f"{mark.time:.1f} s: {mark.words}" for mark in chart.marks[:MOST_LISTED]
    )
    return _sheet(chart.title, words, height, body)


def _sheet(title: str, words: str, height: float, body: str) -> str:
    return f"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {height:.0f}" role="img" aria-labelledby="title words" font-family="system-ui, sans-serif" font-size="13">
<title id="title">{html.escape(title)}</title>
<desc id="words">{html.escape(words)}</desc>
<rect width="{WIDTH:.0f}" height="{height:.0f}" fill="{PAPER}"/>
<text x="{LEFT:.0f}" y="28" fill="{INK}" font-size="17" font-weight="600">{html.escape(title)}</text>
{body}
</svg>
"""


def _span(pens: Sequence[Pen]) -> tuple[float, float]:
    """Least and greatest value worth showing: from nothing up, with a little air above."""
    high = max(float(np.max(pen.values)) for pen in pens)
    low = min(float(np.min(pen.values)) for pen in pens)
    step = _step(max(high, -low, 1e-9))
    return min(0.0, math.floor(low / step + 0.02) * step), max(step, math.ceil(high / step + 0.05) * step)


def _step(reach: float, wanted: int = 5) -> float:
    """Distance of rules: 1, 2 or 5 times a power of ten, about `wanted` of them up to `reach`."""
    rough = reach / wanted
    power = 10.0 ** math.floor(math.log10(rough))
    return next(float(factor * power) for factor in (1, 2, 5, 10) if factor * power >= rough * (1 - 1e-9))


def _ticks(low: float, high: float, wanted: int) -> list[float]:
    step = _step(high - low, wanted)
    first = math.ceil(low / step - 1e-9)
    return [number * step for number in range(first, math.floor(high / step + 1e-9) + 1)]


def _panel(up: Scale, unit: str) -> str:
    """Rules across one panel, the top one with the unit."""
    ticks = _ticks(up.low, up.high, 5)
    return "\n".join(
        f'<path d="M{LEFT:.0f} {up.place(tick):.1f}H{RIGHT:.0f}" stroke="{RULE if tick == 0.0 else GRID}"/>'
        f'<text x="{LEFT - 8:.0f}" y="{up.place(tick) + 4:.1f}" text-anchor="end" fill="{GRAPHITE}">'
        f"{tick:g}{f' {unit}' if tick == ticks[-1] else ''}</text>"
        for tick in ticks
    )


def _time_axis(across: Scale, bottom: float) -> str:
    size, unit = next((size, unit) for limit, size, unit in TIME_UNITS if across.high - across.low >= limit)
    ticks = [
        f'<path d="M{across.place(tick * size):.1f} {PRESSURE_TOP:.0f}V{bottom:.0f}" stroke="{GRID}"/>'
        f'<text x="{across.place(tick * size):.1f}" y="{bottom + 18:.0f}" text-anchor="middle" fill="{GRAPHITE}">{tick:g}</text>'
        for tick in _ticks(across.low / size, across.high / size, 10)
    ]
    name = f'<text x="{RIGHT:.0f}" y="{bottom + 36:.0f}" text-anchor="end" fill="{INK}">time [{unit}]</text>'
    return "\n".join([*ticks, name])


def _marks(across: Scale, marks: Sequence[Mark], bottom: float) -> str:
    lines = [
        f'<path d="M{across.place(mark.time):.1f} {PRESSURE_TOP - 6:.0f}V{bottom:.0f}" stroke="{_hand(mark)}" stroke-dasharray="3 3"/>'
        for mark in marks
    ]
    return "\n".join([*lines, *_numbers(across, marks[:MOST_LISTED])])


def _hand(mark: Mark) -> str:
    return VIOLET if mark.by_hand else GRAPHITE


def _numbers(across: Scale, marks: Sequence[Mark]) -> list[str]:
    """Numbers over the marks, one span such as 3-5 for those too close to be told apart."""
    spans: list[list[int]] = []
    for number, mark in enumerate(marks, start=1):
        near = spans and across.place(mark.time) - across.place(marks[spans[-1][0] - 1].time) < NUMBER_WIDTH
        if near:
            spans[-1].append(number)
        else:
            spans.append([number])
    return [
        f'<text x="{across.place(marks[span[0] - 1].time):.1f}" y="{PRESSURE_TOP - 10:.0f}" text-anchor="middle"'
        f' fill="{_hand(marks[span[0] - 1])}" font-size="11">{span[0]}{f"-{span[-1]}" if len(span) > 1 else ""}</text>'
        for span in spans
    ]


def _legend(pens: Sequence[Pen], bottom: float) -> str:
    width = (RIGHT - LEFT) / (LEGEND_COLUMNS + 1)  # the last column is the time axis's name
    lines = []
    for place, pen in enumerate(pens):
        x = LEFT + place % LEGEND_COLUMNS * width
        y = bottom + 36 + LIST_STEP * (place // LEGEND_COLUMNS)
        lines.append(
            f'<path d="M{x:.0f} {y - 4:.0f}h24" stroke="{pen.colour}" stroke-width="2.5"/>'
            f'<text x="{x + 30:.0f}" y="{y:.0f}" fill="{INK}">{html.escape(pen.label)}</text>'
        )
    return "\n".join(lines)


def _list(marks: Sequence[Mark], unlisted: int, top: float) -> str:
    rows = math.ceil(len(marks) / 2)
    lines = [
        f'<text x="{LEFT if place < rows else WIDTH / 2:.0f}" y="{top + LIST_STEP * (place % rows):.0f}"'
        f' fill="{_hand(mark)}">{place + 1}. {mark.time:.1f} s: {html.escape(mark.words)}</text>'
        for place, mark in enumerate(marks)
    ]
    if unlisted:
        y = top + LIST_STEP * rows
        lines.append(f'<text x="{LEFT:.0f}" y="{y:.0f}" fill="{GRAPHITE}">and {unlisted} more</text>')
    return "\n".join(lines)


def _line(time: Series, pen: Pen, across: Scale, up: Scale) -> str:
    points = " ".join(
        f"{across.place(t):.1f},{up.place(value):.1f}" for t, value in _thinned(time, pen.values)
    )
    return f'<polyline points="{points}" fill="none" stroke="{pen.colour}" stroke-width="1.8" stroke-linejoin="round"/>'


def _area(time: Series, pen: Pen, across: Scale, up: Scale) -> str:
    points = " ".join(
        f"{across.place(t):.1f},{up.place(value):.1f}" for t, value in _thinned(time, pen.values)
    )
    floor = f"{up.place(0.0):.1f}"
    return f'<polygon points="{LEFT:.1f},{floor} {points} {RIGHT:.1f},{floor}" fill="{AMPS_SOFT}"/>'


def _thinned(time: Series, values: Series) -> list[tuple[float, float]]:
    """Points that a column of the paper can show: its first, least, greatest and last."""
    if len(time) <= 4 * COLUMNS:
        return list(zip(time.tolist(), values.tolist(), strict=True))
    kept: set[int] = set()
    for column in np.array_split(np.arange(len(time)), COLUMNS):
        within = values[column]
        kept |= {int(column[0]), int(column[-1])}
        kept |= {int(column[np.argmin(within)]), int(column[np.argmax(within)])}
    return [(float(time[place]), float(values[place])) for place in sorted(kept)]
