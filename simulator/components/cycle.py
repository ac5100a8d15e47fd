"""What leaks from and into a cylinder, averaged over a turn.

Worked out once per cylinder over a full turn of an ideal polytropic cycle with clearance, and kept as polynomials
in the logarithm of the pressure ratio.
"""

import math
from functools import cache
from typing import NamedTuple

import numpy as np

from simulator import air

LARGEST_RATIO = 16.0
ROD_RATIO = 0.25  # crank radius over rod: a rod twice as long as the stroke, common practice
# Exponent of the air in the cylinder, which has little time to give heat to the wall: from the cycle-resolved
# cylinder. The rig's exponent is that of the whole pump, its head and chambers included.
CYLINDER_EXPONENT = 1.38
# Air that first-stage rings let in again while the cylinder draws: what the breather does not see. From the same. [-]
RING_INDRAWN = 0.15
DEGREE = 6
Polynomial = tuple[float, float, float, float, float, float, float]


class CycleAverages(NamedTuple):
    """Averages over a turn as polynomials in ln(pressure ratio), lowest power first."""

    ring_out: Polynomial  # mean choked-flow factor past the rings, net, per intake pressure
    ring_lost: Polynomial  # the part of it that delivery misses
    leak_out: Polynomial  # the same back through the intake reed
    leak_lost: Polynomial
    leak_back: Polynomial  # mean choked-flow factor from the head into the cylinder, per intake pressure
    back_drawing: Polynomial  # the part of it that takes the room of fresh air while the cylinder draws
    back_expanding: Polynomial  # the part that delays the drawing
    leak_heat: Polynomial  # temperature of the leaking air over that of the intake


def _cylinder_pressure(
    pressure_ratio: float, clearance_ratio: float, exponent: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Pressure over intake pressure through one turn from top dead centre, and where air expands and is drawn in."""
    angle = (np.arange(720) + 0.5) * (2 * np.pi / 720)
    lean = np.sqrt(1 - (ROD_RATIO * np.sin(angle)) ** 2)
    volume = clearance_ratio + (1 - np.cos(angle) + (1 - lean) / ROD_RATIO) / 2
    expanding = pressure_ratio * (clearance_ratio / volume) ** exponent
    compressing = ((1 + clearance_ratio) / volume) ** exponent
    down = angle < np.pi
    x = np.where(down, np.maximum(expanding, 1.0), np.minimum(compressing, pressure_ratio))
    return np.asarray(x), down & (expanding > 1.0), down & (expanding <= 1.0)


def _nozzle_factor(ratio: np.ndarray) -> np.ndarray:
    """Flow over choked flow of a nozzle with this downstream over upstream pressure."""
    k = air.GAMMA
    choke = (2 / (k + 1)) ** (k / (k - 1))
    r = np.clip(ratio, choke, 1.0)
    peak = choke ** (2 / k) - choke ** ((k + 1) / k)
    return np.asarray(np.sqrt(np.maximum(r ** (2 / k) - r ** ((k + 1) / k), 0.0) / peak))


# Kept: every session of a rig asks for the same few figures, and the fit takes tens of milliseconds.
@cache
def cycle_averages(clearance_ratio: float, stage: int) -> CycleAverages:
    """Average what leaks over one turn and fit it over the pressure ratio.

    Parameters
    ----------
    clearance_ratio : float
        Clearance volume over swept volume. [-]
    stage : int
        The rings of the second stage leak into a crankcase far below its intake pressure, the whole turn long.

    Returns
    -------
    CycleAverages
        Polynomials in ln(pressure ratio), valid from 1 to `LARGEST_RATIO`.

    References
    ----------
    Isentropic nozzle law (ISO 9300) on the pressure of an ideal polytropic cycle with clearance, as in any
    textbook of thermodynamics; common practice. What a leak costs depends on when it flows: air that leaves while
    the clearance expands makes room for as much fresh air, air that falls back while the piston compresses is
    pushed out again. Held to `simulator.cylinder`.
    """
    n = CYLINDER_EXPONENT
    ratios = np.exp(np.linspace(0.002, math.log(LARGEST_RATIO), 80))
    rows = []
    for r in ratios:
        x, expanding, drawing = _cylinder_pressure(r, clearance_ratio, n)
        up = ~(expanding | drawing)
        heat_up = x ** ((n - 1) / n)
        out = x * _nozzle_factor(1 / x) / np.sqrt(heat_up)
        ring = x / np.sqrt(heat_up) if stage == 2 else out
        back = np.where(x < r, r * _nozzle_factor(x / r), 0.0)
        weight = out / max(out.sum(), 1e-12)
        rows.append(
            (
                ring.mean() - (RING_INDRAWN if stage == 1 else 0.0),
                (ring * up).mean(),
                out.mean(),
                (out * up).mean(),
                back.mean(),
                (back * drawing).mean(),
                (back * expanding).mean(),
                (weight * heat_up).sum(),
            )
        )
    fitted = np.polynomial.polynomial.polyfit(np.log(ratios), np.array(rows), DEGREE)
    polynomials = [tuple(float(c) for c in column) for column in fitted.T]
    return CycleAverages(*polynomials)  # type: ignore[arg-type]
