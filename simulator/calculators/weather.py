"""What the place does to the air: thin air at a height, and the water that it carries in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator import air
from simulator.calculators.asking import Input
from simulator.calculators.calculator import Calculator, Sweep, Worked
from simulator.calculators.common_inputs import ALTITUDE, FOOT, PSI, duration, free_air, gauge, percent
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping

WATER_DENSITY = 1000.0  # [kg/m³]
MOTOR_ALTITUDE = 1000.0  # up to which a motor's plate holds; NEMA MG 1, from memory [m]


def dry_air_flow(
    free_air: float, temperature: float, vapour_pressure: float, absolute_pressure: float
) -> float:
    """Dry air in a flow of moist free air.

    Parameters
    ----------
    free_air : float
        [m³/s]
    temperature : float
        [K]
    vapour_pressure : float
        Of the water in it. [Pa]
    absolute_pressure : float
        [Pa]

    Returns
    -------
    float
        [kg/s]

    References
    ----------
    Ideal gas at the partial pressure of the dry air.

    Examples
    --------
    >>> round(dry_air_flow(1.0, 293.15, 1169.0, 101_325.0), 3)
    1.19
    """
    partial: float = air.density(absolute_pressure - vapour_pressure, temperature)
    return free_air * partial


def condensate_ratio(
    vapour_pressure: float, ambient_pressure: float, receiver_temperature: float, receiver_pressure: float
) -> float:
    """Water that falls out of a kilogram of dry air on its way into the receiver.

    Parameters
    ----------
    vapour_pressure : float
        Of the water at the intake. [Pa]
    ambient_pressure : float
        Absolute, at the intake. [Pa]
    receiver_temperature : float
        [K]
    receiver_pressure : float
        Absolute. [Pa]

    Returns
    -------
    float
        Never negative. [kg/kg]

    References
    ----------
    ASHRAE Handbook Fundamentals, psychrometrics chapter: humidity ratio taken in, less the
    most that saturated air holds in the receiver.

    Examples
    --------
    >>> round(condensate_ratio(2224.0, 101_325.0, 310.93, 790_829.0), 5)
    0.00876
    """
    taken_in: float = air.humidity_ratio(vapour_pressure, ambient_pressure)
    saturation: float = air.saturation_pressure(receiver_temperature)
    if saturation >= receiver_pressure:
        return 0.0
    held: float = air.humidity_ratio(saturation, receiver_pressure)
    return max(0.0, taken_in - held)


def _altitude(given: Mapping[str, float]) -> Worked:
    altitude = given["altitude"]
    pressure, temperature = air.standard_pressure(altitude), air.standard_temperature(altitude)
    density = air.density(pressure, temperature)
    figures = {
        "pressure": Figure("air pressure", pressure, "absolute_pressure"),
        "temperature": Figure("temperature of the standard atmosphere", temperature, "temperature"),
        "density": Figure(
            "density against the sea",
            100.0 * density / air.density(air.STANDARD_PRESSURE, air.STANDARD_TEMPERATURE),
            "percent",
        ),
        "pump_up": Figure(
            "pump-up time against the sea", 100.0 * air.STANDARD_PRESSURE / pressure, "percent"
        ),
        "ratio": Figure(
            "pressure ratio to reach the gauge pressure", (pressure + given["pressure"]) / pressure
        ),
    }
    remarks = [
        "The pump takes in the same volume of thinner air: cut-out by the gauge comes later, and the head runs hotter."
    ]
    if altitude > MOTOR_ALTITUDE:
        remarks.append(
            "Above 1000 m (3300 ft) a motor cools worse than its plate counts on (NEMA MG 1, from memory): ask for its derating."
        )
    return Worked(figures, tuple(remarks))


def _condensate(given: Mapping[str, float]) -> Worked:
    ambient = air.standard_pressure(given["altitude"])
    inside = ambient + given["pressure"]
    vapour = air.saturation_pressure(given["intake_temperature"]) * given["humidity"] / 100.0
    dry = dry_air_flow(given["free_air"], given["intake_temperature"], vapour, ambient)
    total = dry * given["time"] / WATER_DENSITY
    taken_in = total * air.humidity_ratio(vapour, ambient)
    falls_out = total * condensate_ratio(vapour, ambient, given["receiver_temperature"], inside)
    figures = {
        "condensate": Figure("water left in the receiver", falls_out, "volume"),
        "taken_in": Figure("water taken in", taken_in, "volume"),
        "carried_on": Figure("water carried on into the shop line", taken_in - falls_out, "volume"),
    }
    remarks = [
        "Count the time that the pump runs, not the day.",
        "Drain daily, from the lowest point, standing aside.",
    ]
    if falls_out == 0.0:
        remarks.append(
            "None falls out: the air in the receiver is warm enough to hold it all, and it falls out in the shop line instead."
        )
    return Worked(figures, tuple(remarks))


HEIGHT = Calculator(
    slug="altitude",
    title="Thin air at a height",
    question="What does the height of the place do to pressure, output and pump-up?",
    formula=("T = T0 - 0.0065·H, p = p0·(T/T0)^5.255876, H = r·z/(r + z)",),
    source="ISO 2533:1975 and US Standard Atmosphere, 1976",
    standing=Standing.PUBLISHED,
    inputs=(
        Input("altitude", "height of the place above the sea", "altitude", "5000 ft", -500.0, 4500.0),
        gauge("pressure", "pressure by the gauge", "125 psi"),
    ),
    work=_altitude,
    example={"altitude": "5000 ft"},
    example_answer="12.23 psia; a pump-up takes a fifth longer",
    sweep=Sweep("altitude", "pressure", 0.0, 10_000.0 * FOOT, "Air pressure against height"),
)

CONDENSATE = Calculator(
    slug="condensate",
    title="Water in the receiver",
    question="How much water falls out, and how often must the drain be opened?",
    formula=(
        "w = 0.62198·e / (p - e), kg of water per kg of dry air",
        "water = dry air·(w at the intake - w saturated in the receiver), never below nothing",
        "e from Buck's equation",
    ),
    source="Buck (1981, revised 1996); ASHRAE Handbook Fundamentals, psychrometrics chapter",
    standing=Standing.PUBLISHED,
    inputs=(
        free_air("11 cfm"),
        duration("time", "time that the pump runs", "4 h"),
        Input("intake_temperature", "temperature at the intake", "temperature", "75 °F", 253.15, 333.15),
        percent("humidity", "relative humidity at the intake", "75 %", 0.0, 100.0),
        Input("receiver_temperature", "temperature in the receiver", "temperature", "100 °F", 273.15, 373.15),
        gauge("pressure", "receiver pressure", "100 psi"),
        ALTITUDE,
    ),
    work=_condensate,
    example={
        "free_air": "500 cfm",
        "time": "24 h",
        "intake_temperature": "75 °F",
        "humidity": "75 %",
        "pressure": "100 psi",
    },
    example_answer="55 gal of the 87 gal taken in",
    sweep=Sweep(
        "pressure", "condensate", 0.0, 200.0 * PSI, "Water left in the receiver against its pressure"
    ),
)

CALCULATORS = (HEIGHT, CONDENSATE)
