"""What a pump displaces and delivers, and how long it takes to fill a receiver."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from simulator import air, heat
from simulator.calculators.asking import Input
from simulator.calculators.calculator import Calculator, Sweep, Worked, must
from simulator.calculators.common_inputs import ALTITUDE, PSI, duration, free_air, gauge, percent, receiver
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping

EXPANSION_EXPONENT = 1.25  # of the air left in the clearance; common practice [-]


def displacement(cylinders: float, bore: float, stroke: float, speed_rpm: float) -> float:
    """Volume that the first-stage pistons sweep in a time.

    Parameters
    ----------
    cylinders : float
        Of the first stage, single-acting. [-]
    bore : float
        [m]
    stroke : float
        [m]
    speed_rpm : float
        Of the crank. [rpm]

    Returns
    -------
    float
        [m³/s]

    References
    ----------
    Geometry: ``n·π/4·bore²·stroke·rpm``.

    Examples
    --------
    >>> round(displacement(2, 0.06985, 0.0508, 1051.0) * 60e3, 1)
    409.2
    """
    return cylinders * pi / 4.0 * bore * bore * stroke * speed_rpm / 60.0


def delivered_free_air(
    displacement: float, delivery_factor: float, clearance_ratio: float, pressure_ratio: float
) -> float:
    """Free air that a pump delivers of what it displaces.

    Parameters
    ----------
    displacement : float
        Of the first stage. [m³/s]
    delivery_factor : float
        Share left after heating at the inlet and leakage. [-]
    clearance_ratio : float
        Clearance volume over swept volume. [-]
    pressure_ratio : float
        Of the first stage, absolute over absolute. [-]

    Returns
    -------
    float
        At the conditions of the intake. [m³/s]

    References
    ----------
    Volumetric efficiency as `simulator.heat.volumetric_efficiency`; the delivery factor
    is common practice.

    Examples
    --------
    >>> round(delivered_free_air(409.2, 0.93, 0.06, 9.506), 0)
    265.0
    """
    share: float = heat.volumetric_efficiency(clearance_ratio, pressure_ratio, EXPANSION_EXPONENT)
    return displacement * delivery_factor * share


def pump_up_time(
    receiver_volume: float, pressure_rise: float, ambient_pressure: float, free_air: float
) -> float:
    """Time to raise a receiver's pressure with a steady flow of free air.

    Parameters
    ----------
    receiver_volume : float
        [m³]
    pressure_rise : float
        From the start to the end, by the gauge. [Pa]
    ambient_pressure : float
        Absolute pressure at the intake. [Pa]
    free_air : float
        Delivered, at the conditions of the intake. [m³/s]

    Returns
    -------
    float
        With the air in the receiver back at the intake's temperature. [s]

    References
    ----------
    Balance of the air in the receiver as an ideal gas: ``V·(p2 - p1)/(pa·Q)``.

    Examples
    --------
    80 gal from empty to 150 psi with 15 cfm:

    >>> round(pump_up_time(0.30283, 1_034_214.0, 101_325.0, 0.0070792), 0)
    437.0
    """
    return receiver_volume * pressure_rise / (ambient_pressure * free_air)


def _displacement(given: Mapping[str, float]) -> Worked:
    swept = displacement(given["cylinders"], given["bore"], given["stroke"], given["speed"])
    ambient = air.standard_pressure(given["altitude"])
    end = ambient + given["pressure"]
    first_stage_end = heat.interstage_pressure(ambient, end) if given["stages"] == 2.0 else end
    ratio = first_stage_end / ambient
    clearance = given["clearance"] / 100.0
    delivered = delivered_free_air(swept, given["delivery_factor"] / 100.0, clearance, ratio)
    must(
        holds=delivered > 0.0,
        field="clearance",
        words="With so much clearance the air left in it fills the whole stroke at this pressure. Check clearance and pressure.",
    )
    figures = {
        "free_air": Figure("free air delivered", delivered, "air_flow"),
        "displacement": Figure("displacement", swept, "air_flow"),
        "efficiency": Figure("delivered of what is displaced", 100.0 * delivered / swept, "percent"),
        "pressure_ratio": Figure("pressure ratio of the first stage", round(ratio, 2)),
    }
    remark = "Displacement is what stickers like to print; a receiver fills with the free air delivered."
    return Worked(figures, (remark,))


def _pump_up(given: Mapping[str, float]) -> Worked:
    start, end = given["start"], given["end"]
    must(holds=end > start, field="end", words="The end must lie above the start.")
    ambient = air.standard_pressure(given["altitude"])
    time = pump_up_time(given["receiver"], end - start, ambient, given["free_air"])
    figures = {
        "time": Figure("pump-up time", time, "duration"),
        "air": Figure("free air put in", given["receiver"] * (end - start) / ambient, "air_volume"),
    }
    return Worked(
        figures, (_HOT, "Outlet shut: with tools or leaks drawing air it takes longer, or never gets there.")
    )


def _measured(given: Mapping[str, float]) -> Worked:
    start, end = given["start"], given["end"]
    must(holds=end > start, field="end", words="The end must lie above the start.")
    ambient = air.standard_pressure(given["altitude"])
    flow = given["receiver"] * (end - start) / (ambient * given["time"])
    figures = {
        "free_air": Figure("free air delivered", flow, "air_flow"),
        "air": Figure("free air put in", flow * given["time"], "air_volume"),
    }
    return Worked(figures, (_HOT, "Outlet shut and leaks found first: what leaks away is not counted."))


_HOT = "While the air is still hot the gauge runs ahead: the mark is reached 5 to 12 per cent sooner, and the pressure falls back as the air cools (common practice)."
_BALANCE = "Balance of the air in the receiver as an ideal gas; receiver back at the intake's temperature"
_TIME = (
    "t = V·(p2 - p1) / (pa·Q)",
    "V receiver, p2 - p1 rise by the gauge, pa air pressure at the intake, Q free air",
)

DISPLACEMENT = Calculator(
    slug="displacement",
    title="Displacement and free air",
    question="How much air does this pump sweep, and how much of it arrives?",
    formula=(
        "D = n·π/4·bore²·stroke·rpm",
        "Q = D·f·(1 + c - c·r^(1/1.25))",
        "n first-stage cylinders, f delivery factor, c clearance, r absolute pressure ratio of the first stage; two stages share the ratio, r = √(p2/p1)",
    ),
    source="Eastop and McConkey, Applied Thermodynamics, reciprocating compressors; delivery factor and exponent 1.25 are common practice",
    standing=Standing.PUBLISHED,
    inputs=(
        Input("cylinders", "number of first-stage cylinders", "count", "2", 1.0, 8.0),
        Input("bore", "bore of a first-stage cylinder", "small_length", "2.75 in", 0.01, 0.5),
        Input("stroke", "stroke", "small_length", "2 in", 0.01, 0.5),
        Input(
            "speed", "speed of the pump", "speed_rpm", "1050 rpm", 50.0, 5000.0, hint="flywheel, not motor"
        ),
        Input("stages", "stages", "", "1", choices={"1": 1.0, "2": 2.0}),
        gauge("pressure", "receiver pressure", "125 psi"),
        percent("clearance", "clearance of swept volume", "6 %", 0.0, 30.0),
        percent("delivery_factor", "delivery factor", "93 %", 30.0, 100.0),
        ALTITUDE,
    ),
    work=_displacement,
    example={
        "cylinders": "2",
        "bore": "2-3/4 in",
        "stroke": "2 in",
        "speed": "1051 rpm",
        "pressure": "125 psi",
    },
    example_answer="14.5 cfm swept, 9.4 cfm of free air at 125 psi",
    sweep=Sweep(
        "pressure", "free_air", 0.0, 200.0 * PSI, "Free air against receiver pressure", lines="stages"
    ),
)

PUMP_UP = Calculator(
    slug="pump-up",
    title="Pump-up time",
    question="How long should this receiver take from one pressure to another?",
    formula=_TIME,
    source=_BALANCE,
    standing=Standing.PUBLISHED,
    inputs=(
        receiver(),
        gauge("start", "pressure at the start", "0 psi"),
        gauge("end", "pressure at the end", "125 psi"),
        free_air("11 cfm"),
        ALTITUDE,
    ),
    work=_pump_up,
    example={"receiver": "80 gal", "start": "0 psi", "end": "150 psi", "free_air": "15 cfm"},
    example_answer="7 min 17 s",
    sweep=Sweep("end", "time", 0.0, 200.0 * PSI, "Pump-up time against the pressure reached"),
)

MEASURED_FREE_AIR = Calculator(
    slug="measured-free-air",
    title="Free air from a timed pump-up",
    question="What does the pump really deliver?",
    formula=("Q = V·(p2 - p1) / (pa·t)", _TIME[1]),
    source=_BALANCE,
    standing=Standing.PUBLISHED,
    inputs=(
        receiver(),
        gauge("start", "pressure at the start", "95 psi"),
        gauge("end", "pressure at the end", "125 psi"),
        duration("time", "time it took", "100 s"),
        ALTITUDE,
    ),
    work=_measured,
    example={"receiver": "25 gal", "start": "85 psi", "end": "102 psi", "time": "35 s"},
    example_answer="6.6 cfm, from a machine sold as 10 cfm at 90 psi",
)

CALCULATORS = (DISPLACEMENT, PUMP_UP, MEASURED_FREE_AIR)
