"""Sheaves: which one gives a speed, and which speed one gives."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from simulator import electric
from simulator.calculators.asking import Input
from simulator.calculators.calculator import Calculator, Sweep, Worked
from simulator.calculators.common_inputs import FOOT, INCH
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping

FASTEST_BELT = 6500.0 * FOOT / 60.0  # of ordinary cast-iron sheaves; common practice, from memory [m/s]
LARGEST_CHANGE = 0.02  # of the pump's speed that may pass as the same speed; common practice [-]


def belt_speed(diameter: float, speed_rpm: float) -> float:
    """Speed of a belt on a sheave.

    Parameters
    ----------
    diameter : float
        Pitch diameter. [m]
    speed_rpm : float
        Of that sheave. [rpm]

    Returns
    -------
    float
        [m/s]

    References
    ----------
    Geometry: ``π·d·rpm``.

    Examples
    --------
    A 3.4 in sheave at 1725 rpm:

    >>> round(belt_speed(0.08636, 1725.0) * 196.8504, 1)
    1535.5
    """
    return pi * diameter * speed_rpm / 60.0


def driver_diameter_for(driver_speed_rpm: float, driven_speed_rpm: float, driven_diameter: float) -> float:
    """Pitch diameter of the motor's sheave that turns the pump at a speed.

    Parameters
    ----------
    driver_speed_rpm : float
        Of the motor at load, as on its plate. [rpm]
    driven_speed_rpm : float
        Wanted of the pump. [rpm]
    driven_diameter : float
        Pitch diameter of the flywheel. [m]

    Returns
    -------
    float
        [m]

    References
    ----------
    Equal belt speed on both pitch circles; common practice.

    Examples
    --------
    >>> round(driver_diameter_for(1725.0, 451.15, 0.3302), 5)
    0.08636
    """
    return driven_diameter * driven_speed_rpm / driver_speed_rpm


def _size(given: Mapping[str, float]) -> Worked:
    motor, pump, flywheel = given["motor_speed"], given["pump_speed"], given["flywheel"]
    sheave = driver_diameter_for(motor, pump, flywheel)
    speed = belt_speed(flywheel, pump)
    figures = {
        "sheave": Figure("pitch diameter of the motor's sheave", sheave, "small_length"),
        "ratio": Figure("motor turns for one of the pump", round(motor / pump, 3)),
        "belt_speed": Figure("belt speed", speed, "belt_speed"),
    }
    return Worked(figures, (*_belt(speed), _PITCH))


def _speed(given: Mapping[str, float]) -> Worked:
    motor, sheave, flywheel = given["motor_speed"], given["sheave"], given["flywheel"]
    pump: float = electric.sheave_speed_rpm(motor, sheave, flywheel)
    speed = belt_speed(sheave, motor)
    change = pump / given["plate_speed"] - 1.0
    figures = {
        "pump_speed": Figure("speed of the pump", pump, "speed_rpm"),
        "belt_speed": Figure("belt speed", speed, "belt_speed"),
        "change": Figure("against the plate's speed, and so are output and power", 100.0 * change, "percent"),
    }
    faster = (
        (
            "Faster than the plate: reeds break, heads overheat and the motor is overloaded. A service factor is no reserve for it.",
        )
        if change > LARGEST_CHANGE
        else ()
    )
    return Worked(figures, (*faster, *_belt(speed), _PITCH))


def _belt(speed: float) -> tuple[str, ...]:
    if speed <= FASTEST_BELT:
        return ()
    return (
        "The belt runs faster than ordinary cast-iron sheaves bear (about 6500 ft/min, 33 m/s; from memory): they can burst.",
    )


_PITCH = "Pitch diameters, on which the belt's cord runs, not outside diameters. Measure the speed afterwards: belts slip 1 to 2 per cent."
_GUARD = "Lock and tag before the guard comes off; guard back before the motor turns."
_FORMULA = ("n_motor·d_motor = n_pump·d_pump", "belt speed = π·d·n; d pitch diameters")
_SOURCE = "Equal belt speed on both pitch circles; common practice"
_MOTOR_SPEED = Input(
    "motor_speed", "motor's speed at load", "speed_rpm", "1725 rpm", 100.0, 7200.0, hint="on its plate"
)
_FLYWHEEL = Input("flywheel", "pitch diameter of the flywheel", "small_length", "13 in", INCH, 2.0)

SIZE = Calculator(
    slug="sheave-size",
    title="Motor sheave for a pump speed",
    question="Which motor sheave turns the pump at its plate speed?",
    formula=_FORMULA,
    source=_SOURCE,
    standing=Standing.COMMON_PRACTICE,
    inputs=(
        _MOTOR_SPEED,
        Input("pump_speed", "speed wanted of the pump", "speed_rpm", "", 50.0, 5000.0, hint="on its plate"),
        _FLYWHEEL,
    ),
    work=_size,
    example={"motor_speed": "3450 rpm", "pump_speed": "1050 rpm", "flywheel": "11 in"},
    example_answer="3.35 in, belt at 3024 ft/min",
    caution=_GUARD,
)

SPEED = Calculator(
    slug="sheave-speed",
    title="Pump speed from two sheaves",
    question="How fast do these sheaves turn the pump?",
    formula=_FORMULA,
    source=_SOURCE,
    standing=Standing.COMMON_PRACTICE,
    inputs=(
        _MOTOR_SPEED,
        Input("sheave", "pitch diameter of the motor's sheave", "small_length", "3.4 in", 0.01, 1.0),
        _FLYWHEEL,
        Input("plate_speed", "pump's speed by its plate", "speed_rpm", "", 50.0, 5000.0),
    ),
    work=_speed,
    example={"motor_speed": "1725 rpm", "sheave": "3.4 in", "flywheel": "13 in", "plate_speed": "450 rpm"},
    example_answer="451 rpm, belt at 1535 ft/min",
    caution=_GUARD,
    sweep=Sweep("sheave", "pump_speed", 2.0 * INCH, 12.0 * INCH, "Pump speed against the motor's sheave"),
)

CALCULATORS = (SIZE, SPEED)
