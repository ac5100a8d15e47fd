"""Drawings of the Teardown: the score's arc and the line of what was done when."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from training.bench.drawing.chart import STEPS_S, clock_words
from training.bench.drawing.shapes import arc, short, spoke

if TYPE_CHECKING:
    from collections.abc import Sequence

    from training.bench.shown import Happened

WIDTH, LEFT, RIGHT, BASE = 1060, 24, 1036, 96
LANES = 3


def score_arc(score: float, pass_score: float) -> dict[str, str]:
    """Draw a score of 100 round three quarters of a circle."""

    def angle(v: float) -> float:
        return -135 + 2.7 * min(max(v, 0.0), 100.0)

    return {
        "track": arc(76, -135, 135),
        "value": arc(76, -135, angle(score)) if score > 0 else "",
        "ticks": "".join(spoke(60, 64 if v % 10 else 55, angle(v)) for v in range(0, 101, 5)),
        "pass": spoke(66, 88, angle(pass_score)),
    }


def timeline(done: Sequence[Happened]) -> dict[str, Any]:
    """Lay what was done along the rig's clock; each mark carries its number in the list below."""
    end = max([one.ended for one in done], default=60.0) or 60.0
    step = next((s for s in STEPS_S if end / s <= 11), 3600)

    def x(t: float) -> float:
        return LEFT + (RIGHT - LEFT) * t / end

    marks, free = [], [float("-inf")] * LANES
    for one in done:
        at = x(one.clock)
        lane = next((n for n in range(LANES) if free[n] + 26 <= at), min(range(LANES), key=lambda n: free[n]))
        free[lane] = at
        marks.append(
            {
                "n": one.number,
                "x": short(at),
                "fx": short(at - 11),
                "y": 8 + 28 * lane,
                "ty": 21 + 28 * lane,
                "w": short(max(x(one.ended) - at, 2.0)),
                "critical": one.critical,
            }
        )
    return {
        "w": WIDTH,
        "left": LEFT,
        "right": RIGHT,
        "base": BASE,
        "marks": marks,
        "ticks": [{"x": short(x(t)), "t": clock_words(t)} for t in range(0, int(end) + 1, step)],
    }
