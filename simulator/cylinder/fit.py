"""The two figures of a cylinder that no plate gives, found from those that it does give.

Port area decides what the valves cost, warmth of the intake chamber how much air fits in. They are chosen so that a
sound cylinder at one pressure ratio delivers what the delivery factor says and takes the power that the indicated
efficiency says. What it does at other ratios, or with a fault, is then its own affair.
"""

import math
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from simulator import air, heat
from simulator.cylinder.build import Bore, Surroundings, Throats, assemble
from simulator.cylinder.card import Card, settle

FEWEST_SHARE, MOST_SHARE = 0.04, 0.2  # of port to piston area
LEAST_WARMING, MOST_WARMING = 0.02, 1.5
NEAR = 2e-3  # both figures are met this closely, relative
TRIES = 8


@dataclass(frozen=True)
class Plate:
    """What plate and handbook say of a sound cylinder."""

    delivery_factor: float
    expansion_exponent: float
    indicated_efficiency: float


@dataclass(frozen=True)
class Duty:
    """At what a cylinder works."""

    speed: float  # [rad/s]
    inlet_pressure: float  # absolute [Pa]
    inlet_temperature: float  # [K]
    pressure_ratio: float
    cooling_temperature: float  # of the air round it [K]


def plate_flow(bore: Bore, plate: Plate, duty: Duty, pressure_ratio: float) -> float:
    """Mass flow that the plate promises at a pressure ratio.

    Parameters
    ----------
    bore : Bore
        The cylinder.
    plate : Plate
        Delivery factor and exponent.
    duty : Duty
        Speed and inlet.
    pressure_ratio : float
        [-]

    Returns
    -------
    float
        [kg/s]

    References
    ----------
    Eastop and McConkey, Applied Thermodynamics, reciprocating compressors, times the delivery factor.
    """
    filled = plate.delivery_factor * heat.volumetric_efficiency(
        bore.clearance_ratio, pressure_ratio, plate.expansion_exponent
    )
    swept = bore.swept_volume * duty.speed / (2.0 * math.pi)
    return float(filled * swept * air.density(duty.inlet_pressure, duty.inlet_temperature))


def plate_power(bore: Bore, plate: Plate, duty: Duty, pressure_ratio: float) -> float:
    """Indicated power that the plate promises at a pressure ratio.

    Parameters
    ----------
    bore : Bore
        The cylinder.
    plate : Plate
        All three figures.
    duty : Duty
        Speed and inlet.
    pressure_ratio : float
        [-]

    Returns
    -------
    float
        [W]

    References
    ----------
    Isentropic work over the indicated efficiency, `simulator.heat.compression_work`.
    """
    work = heat.compression_work(duty.inlet_temperature, pressure_ratio) / plate.indicated_efficiency
    return float(plate_flow(bore, plate, duty, pressure_ratio) * work)


def alone(bore: Bore, duty: Duty) -> Card:
    """Card of one cylinder by itself between a filter and a line.

    Parameters
    ----------
    bore : Bore
        The cylinder.
    duty : Duty
        At what it works.

    Returns
    -------
    Card
        Of its settled turn.
    """
    around = Surroundings(
        speed=duty.speed,
        line_pressure=duty.inlet_pressure * duty.pressure_ratio,
        room_pressure=duty.inlet_pressure,
        room_temperature=duty.inlet_temperature,
        crankcase_pressure=min(duty.inlet_pressure, air.STANDARD_PRESSURE),
        cooling_temperature=duty.cooling_temperature,
    )
    return settle(assemble([replace(bore, stage=1, lead=0.0)], around)).cards[0]


# Kept: every card of a rig asks for the same few cylinders, and a fit takes some tenths of a second.
@cache
def fitted(bore: Bore, plate: Plate, duty: Duty) -> Throats:
    """Find port share and warming by the plate.

    Parameters
    ----------
    bore : Bore
        A sound cylinder.
    plate : Plate
        What it should do.
    duty : Duty
        Where it should do it.

    Returns
    -------
    Throats
        As near as the bounds let it come.

    References
    ----------
    Newton's method for two equations, the slopes by a small step; common practice.
    """
    at = np.log([0.11, 0.2])
    bounds = np.log([FEWEST_SHARE, LEAST_WARMING]), np.log([MOST_SHARE, MOST_WARMING])
    best, best_miss = at, math.inf
    for _ in range(TRIES):
        missed = _missed(at, bore, plate, duty)
        if float(np.max(np.abs(missed))) < best_miss:
            best, best_miss = at, float(np.max(np.abs(missed)))
        if best_miss < NEAR:
            break
        step = 0.1
        slopes = np.array(
            [(_missed(at + step * unit, bore, plate, duty) - missed) / step for unit in np.eye(2)]
        ).T
        move, *_ = np.linalg.lstsq(slopes, -missed, rcond=1e-3)
        at = np.clip(at + np.clip(move, -0.7, 0.7), *bounds)
    return _throats(best)


def _throats(at: np.ndarray) -> Throats:
    share, warming = np.exp(at)
    return Throats(float(share), float(warming))


def _missed(at: np.ndarray, bore: Bore, plate: Plate, duty: Duty) -> np.ndarray:
    """How far mass and power are from the plate's, relative."""
    card = alone(replace(bore, throats=_throats(at)), duty)
    ratio = card.discharge_pressure / duty.inlet_pressure
    return np.array(
        [
            card.delivered / plate_flow(bore, plate, duty, ratio) - 1.0,
            card.indicated_power / plate_power(bore, plate, duty, ratio) - 1.0,
        ]
    )
