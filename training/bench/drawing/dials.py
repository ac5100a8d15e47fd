"""Round gauges: outer ring in psi, inner ring in bar, or bar alone. Zero sits at -135 degrees, full scale at +135."""

from __future__ import annotations

import math
from typing import Any

from training.bench.drawing.shapes import arc, polar, short, spoke

PSI_PER_BAR = 14.5038
SWEEP = 135.0
LARGE = 70.0


def dial(
    *,
    channel: str,
    radius: float,
    full_scale: int,
    step: int,
    minor: int,
    name: str = "",
    labels: int = 0,
    redline: float = 0.0,
    pegs: tuple[float, ...] = (),
    bar_to: int = 0,
    x: float = 0.0,
    y: float = 0.0,
    stem: str = "",
    value: float = 0.0,
    bar: bool = False,
) -> dict[str, Any]:
    """Return all that the dial partial draws; with `bar` the scale given is in bar, values and marks stay in psi."""
    unit = PSI_PER_BAR if bar else 1.0
    large = radius > LARGE
    face = radius - max(3.5, radius * 0.09)
    rim, long_tick, short_tick = face - 2, face * 0.13, face * 0.075
    size = radius * (0.15 if large else 0.225)

    def angle(v: float) -> float:
        return -SWEEP + 2 * SWEEP * min(max(v, 0.0), full_scale * 1.02) / full_scale

    def pointing(at_psi: float) -> float:
        return angle(at_psi / unit)

    printed = range(0, full_scale + 1, labels or step) if radius > 34 else (0, full_scale)
    text_at = rim - long_tick - size * (0.8 if large else 0.74 if radius > 34 else 0.7)
    return {
        "ch": channel, "name": name, "x": short(x), "y": short(y), "r": short(radius), "rf": short(face),
        "rh": short(max(3.0, radius * 0.085)), "max": short(full_scale * unit), "stem": stem, "a0": short(pointing(value)),
        "minor": "".join(spoke(rim, rim - short_tick, angle(v)) for v in range(0, full_scale + 1, minor)),
        "major": "".join(spoke(rim, rim - long_tick, angle(v)) for v in range(0, full_scale + 1, step)),
        "labels": [_label(v, text_at, angle(v), size * 0.36) for v in printed],
        "red": arc(rim - 1.5, pointing(redline), SWEEP) if redline else "",
        "pegs": [_peg(rim, long_tick, pointing(v), 4.5 if large else 3.2) for v in pegs],
        "fs": short(size), "fsb": short(radius * (0.105 if large else 0.14)),
        "fsn": short(radius * (0.115 if large else 0.17)), "ny": short(radius * (0.62 if large else 0.325)),
        "sy": short(radius * 0.78), "sub": "psi / bar" if large and bar_to else "",
        "needle": _needle(radius, rim - short_tick), "glass": arc(face * 0.86, -62, 8),
        **(_bar_ring(radius, face, full_scale, angle) if large and bar_to else {"bars": [], "bartick": ""}),
    }  # fmt: skip


def _label(value: int, radius: float, angle: float, drop: float) -> dict[str, Any]:
    x, y = polar(radius, angle)
    return {"t": value, "x": short(x), "y": short(y + drop)}


def _peg(rim: float, long_tick: float, angle: float, width: float) -> str:
    """Draw the little brass set mark that stands at cut-in or cut-out."""
    (x, y), (tip_x, tip_y) = polar(rim - 0.5, angle), polar(rim - long_tick - 1, angle)
    dx, dy = width * math.cos(math.radians(angle)), width * math.sin(math.radians(angle))
    return f"M{short(x - dx)} {short(y - dy)}L{short(x + dx)} {short(y + dy)}L{short(tip_x)} {short(tip_y)}z"


def _needle(radius: float, length: float) -> str:
    tail, half = radius * 0.26, max(1.7, radius * 0.045)
    return (
        f"M{short(-half)} {short(tail)}L{short(-half * 0.55)} {short(-length * 0.55)}L0 {short(-length)}"
        f"L{short(half * 0.55)} {short(-length * 0.55)}L{short(half)} {short(tail)}"
        f"Q0 {short(tail * 1.25)} {short(-half)} {short(tail)}z"
    )


def _bar_ring(radius: float, face: float, full_scale: int, angle: Any) -> dict[str, Any]:
    ring, top = face * 0.5, int(full_scale / PSI_PER_BAR)
    step = 2 if top < 16 else 4
    ticks = "".join(
        spoke(ring, ring - (6 if v % step == 0 else 3.5), angle(v * PSI_PER_BAR)) for v in range(top + 1)
    )
    return {
        "bartick": ticks + arc(ring, -SWEEP, SWEEP),
        "bars": [
            _label(v, ring - radius * 0.155, angle(v * PSI_PER_BAR), radius * 0.038)
            for v in range(0, top + 1, step)
        ],
    }
