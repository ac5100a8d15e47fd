"""Small things that every judgement of a part needs: sameness, the figures that are known, blanks on a parts card."""

from __future__ import annotations

from simulator import units
from simulator.replacement.verdict import Figure

SAME = 1e-6  # share by which two figures may part and still be the same, for rounding between units
BLANK = "______ (read it first)"


def below(value: float, limit: float) -> bool:
    """Whether a value lies below a limit, rounding between units aside."""
    return value < limit * (1.0 - SAME)


def above(value: float, limit: float) -> bool:
    """Whether a value lies above a limit, rounding between units aside."""
    return value > limit * (1.0 + SAME)


def figures(*known: tuple[str, float | None, str]) -> tuple[Figure, ...]:
    """Those of the figures that are known: title, value in SI, quantity."""
    return tuple(Figure(title, value, quantity) for title, value, quantity in known if value is not None)


def shown(value: float | None, quantity: str, system: units.System) -> str:
    """A value with its unit, or a blank to be filled in."""
    return BLANK if value is None else units.show(value, quantity, system)
