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
DEGREE = 6
Polynomial = tuple[float, float, float, float, float, float, float]


class CycleAverages(NamedTuple):
    """Averages over a turn as polynomials in ln(pressure ratio), lowest power first."""

    leak_out: Polynomial  # mean choked-flow factor out of the cylinder, per intake pressure
    leak_back: Polynomial  # mean choked-flow factor from the head into the cylinder, per intake pressure
    leak_work: Polynomial  # work done on air by the time it leaks, share of full compression
    leak_heat: Polynomial  # temperature of the leaking air over that of the intake


def _cylinder_pressure(pressure_ratio: float, clearance_ratio: float, exponent: float) -> np.ndarray:
    """Pressure over intake pressure through one turn from top dead centre, shape (720,)."""
    angle = (np.arange(720) + 0.5) * (2 * np.pi / 720)
    volume = clearance_ratio + (1 - np.cos(angle)) / 2
    expanding = pressure_ratio * (clearance_ratio / volume) ** exponent
    compressing = ((1 + clearance_ratio) / volume) ** exponent
    down = angle < np.pi
    return np.asarray(np.where(down, np.maximum(expanding, 1.0), np.minimum(compressing, pressure_ratio)))


def _nozzle_factor(ratio: np.ndarray) -> np.ndarray:
    """Flow over choked flow of a nozzle with this downstream over upstream pressure."""
    k = air.GAMMA
    choke = (2 / (k + 1)) ** (k / (k - 1))
    r = np.clip(ratio, choke, 1.0)
    peak = choke ** (2 / k) - choke ** ((k + 1) / k)
    return np.asarray(np.sqrt(np.maximum(r ** (2 / k) - r ** ((k + 1) / k), 0.0) / peak))


# Kept: every session of a rig asks for the same two figures, and the fit takes tens of milliseconds.
@cache
def cycle_averages(clearance_ratio: float, exponent: float) -> CycleAverages:
    """Average what leaks over one turn and fit it over the pressure ratio.

    Parameters
    ----------
    clearance_ratio : float
        Clearance volume over swept volume. [-]
    exponent : float
        Polytropic exponent of compression and re-expansion. [-]

    Returns
    -------
    CycleAverages
        Polynomials in ln(pressure ratio), valid from 1 to `LARGEST_RATIO`.

    References
    ----------
    Isentropic nozzle law (ISO 9300) on the pressure of an ideal polytropic cycle with clearance, as in any
    textbook of thermodynamics; common practice.
    """
    ratios = np.exp(np.linspace(0.002, math.log(LARGEST_RATIO), 80))
    rows = []
    for r in ratios:
        x = _cylinder_pressure(r, clearance_ratio, exponent)
        heat_up = x ** ((exponent - 1) / exponent)
        out = x * _nozzle_factor(1 / x) / np.sqrt(heat_up)
        back = np.where(x < r, r * _nozzle_factor(x / r), 0.0)
        weight = out / max(out.sum(), 1e-12)
        work = (x ** (1 / 3.5) - 1) / (r ** (1 / 3.5) - 1)
        rows.append((out.mean(), back.mean(), (weight * work).sum(), (weight * heat_up).sum()))
    fitted = np.polynomial.polynomial.polyfit(np.log(ratios), np.array(rows), DEGREE)
    polynomials = [tuple(float(c) for c in column) for column in fitted.T]
    return CycleAverages(*polynomials)  # type: ignore[arg-type]
