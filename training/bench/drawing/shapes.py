"""Small geometry shared by the drawings. Angles are in degrees, clockwise from straight up."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Circle:
    """A circle in picture units."""

    x: float
    y: float
    r: float


def short(value: float) -> str:
    """Write a coordinate with one decimal and no idle zeros.

    >>> short(12.0), short(12.34)
    ('12', '12.3')
    """
    return f"{value:.1f}".rstrip("0").rstrip(".")


def polar(radius: float, angle: float) -> tuple[float, float]:
    """Return the point at `radius` and `angle` from the origin."""
    turn = math.radians(angle)
    return radius * math.sin(turn), -radius * math.cos(turn)


def spoke(outer: float, inner: float, angle: float) -> str:
    """Draw a straight mark between two radii."""
    (x1, y1), (x2, y2) = polar(outer, angle), polar(inner, angle)
    return f"M{short(x1)} {short(y1)}L{short(x2)} {short(y2)}"


def arc(radius: float, start: float, end: float) -> str:
    """Draw part of a circle clockwise from `start` to `end`."""
    (x1, y1), (x2, y2) = polar(radius, start), polar(radius, end)
    large = int(end - start > 180)
    r = short(radius)
    return f"M{short(x1)} {short(y1)}A{r} {r} 0 {large} 1 {short(x2)} {short(y2)}"


def hull(small: Circle, large: Circle, margin: float = 0.0) -> str:
    """Close a path round two circles: the belt, or with a margin the guard over it."""
    r1, r2 = small.r + margin, large.r + margin
    dx, dy = large.x - small.x, large.y - small.y
    base, off = math.atan2(dy, dx), math.acos((r1 - r2) / math.hypot(dx, dy))

    def on(circle: Circle, radius: float, angle: float) -> str:
        return f"{short(circle.x + radius * math.cos(angle))} {short(circle.y + radius * math.sin(angle))}"

    return (
        f"M{on(small, r1, base - off)}L{on(large, r2, base - off)}"
        f"A{short(r2)} {short(r2)} 0 1 1 {on(large, r2, base + off)}"
        f"L{on(small, r1, base + off)}A{short(r1)} {short(r1)} 0 0 1 {on(small, r1, base - off)}z"
    )
