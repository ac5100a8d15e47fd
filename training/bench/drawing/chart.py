"""The strip chart: pressure in the upper pane, current or an engine's speed in the lower, as the page's traces have it."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from training.bench.drawing.dials import PSI_PER_BAR
from training.bench.drawing.shapes import short
from training.bench.drawing.wording import Pens

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from training.bench.shown import TraceJson

USUAL = Pens(160.0, "amps", 30.0, 10, "A", "Current, cut off at 30 A")
WINDOW_S = 600.0
STEPS_S = (10, 20, 30, 60, 120, 300, 600, 1200)
ROWS = 30


def clock_words(seconds: float) -> str:
    """Write the rig's clock as minutes and seconds.

    >>> clock_words(125.4)
    '2:05'
    """
    whole = int(seconds)
    return f"{whole // 60}:{whole % 60:02d}"


@dataclass(frozen=True)
class Paper:
    """Where the panes lie on the paper and which stretch of time they show."""

    width: int
    height: int
    start: float
    end: float
    scales: Pens = USUAL
    left: int = 48
    top: int = 34

    @property
    def right(self) -> int:
        """Right edge of both panes."""
        return self.width - 14

    @property
    def pressure_base(self) -> int:
        """Zero of the pressure pane."""
        return int(self.height * 0.69) - 10

    @property
    def current_top(self) -> int:
        """Top of the current pane."""
        return int(self.height * 0.69) + 14

    @property
    def current_base(self) -> int:
        """Zero of the current pane."""
        return self.height - 26

    def x(self, t: float) -> float:
        """Place a time."""
        return self.left + (self.right - self.left) * (t - self.start) / (self.end - self.start)

    def pressure(self, psi: float) -> float:
        """Place a pressure; what is off the paper runs along its edge."""
        share = min(max(psi, 0.0), self.scales.pressure_top) / self.scales.pressure_top
        return self.pressure_base - (self.pressure_base - self.top) * share

    def lower(self, value: float) -> float:
        """Place what the lower pane shows."""
        share = min(max(value, 0.0), self.scales.lower_top) / self.scales.lower_top
        return self.current_base - (self.current_base - self.current_top) * share


def joined(history: TraceJson, ahead: TraceJson, channel: str) -> list[tuple[float, float]]:
    """Return what was recorded and what is granted ahead as one row of points."""
    points: list[tuple[float, float]] = []
    for trace in (history, ahead):
        values = trace.get("ch", {}).get(channel, ())
        points += [
            (t, v)
            for t, v in zip(trace.get("t", ()), values, strict=False)
            if not points or t >= points[-1][0]
        ]
    return points


def strip_chart(
    *,
    history: TraceJson,
    ahead: TraceJson,
    clock: float,
    system: str,
    cuts: Iterable[float] = (),
    marks: Iterable[tuple[int, float]] = (),
    width: int = 1000,
    height: int = 372,
    ident: str = "chart",
    scales: Pens = USUAL,
) -> dict[str, Any]:
    """Return all that the chart partial draws.

    Parameters
    ----------
    history, ahead
        Recorded and granted traces, psi and A.
    clock
        Where the pens stand now. [s]
    cuts
        Pressures that the switch plate shows. [psi]
    marks
        Number and clock of each check made.
    scales
        Of both panes, and which channel the lower one shows.
    """
    end = max(float(ahead.get("to", clock)), clock + 1.0)
    paper = Paper(width, height, max(0.0, min(clock, end) - WINDOW_S), end, scales)
    return {
        "id": ident, "w": width, "h": height, "x0": paper.left, "x1": paper.right, "top": paper.top,
        "bot": paper.current_base, "py0": paper.pressure_base, "ay0": paper.current_base,
        "ay1": paper.current_top, "from": paper.start, "to": paper.end,
        "pmax": scales.pressure_top, "amax": scales.lower_top, "now": short(paper.x(clock)),
        "clip": short(max(0.0, paper.x(clock) - paper.left)),
        **_scales(paper, system),
        "cuts": [_cut(paper, psi, system) for psi in cuts],
        "tank": _pen(paper, joined(history, ahead, "tank"), paper.pressure),
        "line": _pen(paper, joined(history, ahead, "line"), paper.pressure),
        "amps": _pen(paper, joined(history, ahead, scales.lower), paper.lower),
        "dots": _dots(paper, history, ahead, clock),
        "marks": [_mark(paper, number, at) for number, at in marks if at >= paper.start],
    }  # fmt: skip


def _pen(paper: Paper, points: Sequence[tuple[float, float]], place: Any) -> str:
    first = max(0, bisect_left(points, (paper.start, float("-inf"))) - 1)
    path: list[str] = []
    last = ""
    for t, value in points[first:]:
        here = f"{short(max(paper.x(t), paper.left))} {short(place(value))}"
        if here != last:
            path.append(here)
        last = here
    return "M" + "L".join(path) if len(path) > 1 else ""


def _dots(paper: Paper, history: TraceJson, ahead: TraceJson, clock: float) -> list[dict[str, Any]]:
    rows = (
        (paper.scales.lower, paper.lower, 5, paper.current_base, paper.current_top, paper.scales.lower_top),
        ("line", paper.pressure, 5, paper.pressure_base, paper.top, paper.scales.pressure_top),
        ("tank", paper.pressure, 6, paper.pressure_base, paper.top, paper.scales.pressure_top),
    )
    return [
        {"ch": channel, "r": radius, "y": short(place(value)), "y0": base, "y1": top, "max": scale}
        for channel, place, radius, base, top, scale in rows
        if (value := reading(joined(history, ahead, channel), clock)) is not None
    ]


def reading(points: Sequence[tuple[float, float]], t: float) -> float | None:
    """Read a row of points at time `t` by linear interpolation; None when nothing was recorded."""
    if not points:
        return None
    after = bisect_right(points, (t, float("inf")))
    if after == 0:
        return points[0][1]
    if after == len(points):
        return points[-1][1]
    (t0, v0), (t1, v1) = points[after - 1], points[after]
    return v0 + (v1 - v0) * (t - t0) / (t1 - t0)


def _scales(paper: Paper, system: str) -> dict[str, Any]:
    bar = system == "metric"
    top = int(paper.scales.pressure_top)
    labelled = (
        [(v, v * PSI_PER_BAR) for v in range(0, int(top / PSI_PER_BAR) + 1, 2)]
        if bar
        else [(v, v) for v in range(0, top + 1, 50)]
    )
    fine = (
        [v * PSI_PER_BAR for v in range(int(top / PSI_PER_BAR) + 1)] if bar else list(range(0, top + 1, 10))
    )
    span = paper.end - paper.start
    step = next((s for s in STEPS_S if span / s <= (11 if paper.width > 600 else 6)), STEPS_S[-1])
    times = range(-(-int(paper.start) // step) * step, int(paper.end) + 1, step)
    panes = "".join(
        f"M{short(paper.x(t))} {paper.top}V{paper.pressure_base}M{short(paper.x(t))} {paper.current_top}V{paper.current_base}"
        for t in times
    )

    def across(y: float) -> str:
        return f"M{paper.left} {short(y)}H{paper.right}"

    x = paper.left - 8
    steps = range(0, int(paper.scales.lower_top), paper.scales.lower_step)
    return {
        "g1": "".join(across(paper.pressure(v)) for v in fine),
        "g2": panes
        + "".join(across(paper.pressure(psi)) for _, psi in labelled)
        + "".join(across(paper.lower(v)) for v in steps),
        "ax": f"M{paper.left} {paper.top}V{paper.pressure_base}H{paper.right}"
        f"M{paper.left} {paper.current_top}V{paper.current_base}H{paper.right}",
        "yl": [{"x": x, "y": short(paper.pressure(psi) + 4.5), "t": v} for v, psi in labelled]
        + [{"x": x, "y": short(paper.lower(v) + 4.5), "t": v} for v in steps],
        "xl": [
            {"x": short(min(max(paper.x(t), paper.left + 10), paper.right - 14)), "y": paper.height - 7, "t": clock_words(t)}
            for t in times
        ],
        "head": [
            {"x": paper.left + 6, "y": paper.top + 18, "c": "fl-tank", "t": "bar" if bar else "psi"},
            {"x": paper.left + 6, "y": paper.current_top + 15, "c": "fl-amps", "t": paper.scales.unit},
        ],
    }  # fmt: skip


def _cut(paper: Paper, psi: float, system: str) -> dict[str, Any]:
    shown = f"{psi / PSI_PER_BAR:.1f} bar" if system == "metric" else f"{psi:.0f}"
    y = paper.pressure(psi)
    return {"y": short(y), "ty": short(y - 6), "t": shown}


def _mark(paper: Paper, number: int, at: float) -> dict[str, Any]:
    x = paper.x(at)
    return {
        "n": number,
        "t": at,
        "x": short(x),
        "fx": short(x - 11),
        "fy": 6,
        "ty": 19,
        "y0": 26,
        "y1": paper.current_base,
    }


def chart_rows(history: TraceJson, system: str, scales: Pens = USUAL) -> list[dict[str, str]]:
    """Read the recorded chart as rows, evenly spaced over the record and never more than thirty-odd."""
    start, end = float(history.get("from", 0.0)), float(history.get("to", 0.0))
    if end <= start:
        return []
    step = next((s for s in STEPS_S if (end - start) / s <= ROWS), STEPS_S[-1])
    pens = {channel: joined(history, {}, channel) for channel in ("tank", "line", scales.lower)}
    times = [*range(int(start), int(end), step), int(end)]
    return [
        {
            "clock": clock_words(t),
            "tank": _pressure_words(reading(pens["tank"], t), system),
            "line": _pressure_words(reading(pens["line"], t), system),
            "amps": _number(reading(pens[scales.lower], t), 1 if scales.lower == "amps" else 0),
        }
        for t in times
    ]


def _pressure_words(psi: float | None, system: str) -> str:
    if psi is None:
        return "not fitted"
    return _number(psi / PSI_PER_BAR, 2) if system == "metric" else _number(psi, 1)


def _number(value: float | None, digits: int) -> str:
    return "not fitted" if value is None else f"{value:.{digits}f}"
