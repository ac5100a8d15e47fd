"""What leaks: from the fall of a shut receiver, from the times of a cycle, and through a hole of a size."""

from __future__ import annotations

from math import log, pi, sqrt
from typing import TYPE_CHECKING

from simulator import air, flow
from simulator.calculators.asking import Input
from simulator.calculators.calculator import Calculator, Sweep, Worked, must
from simulator.calculators.common_inputs import ALTITUDE, INCH, duration, free_air, gauge, receiver
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping


def mean_leak(receiver_volume: float, pressure_fall: float, time: float, ambient_pressure: float) -> float:
    """Free air that left a shut receiver, averaged over the test.

    Parameters
    ----------
    receiver_volume : float
        [m³]
    pressure_fall : float
        By the gauge. [Pa]
    time : float
        [s]
    ambient_pressure : float
        Absolute. [Pa]

    Returns
    -------
    float
        [m³/s]

    References
    ----------
    Balance of the receiver: ``V·(p1 - p2)/(pa·t)``.

    Examples
    --------
    >>> round(mean_leak(2.83168, 344_738.0, 300.0, 101_353.0) * 2118.88, 2)
    68.03
    """
    return receiver_volume * pressure_fall / (ambient_pressure * time)


def start_leak_factor(start_pressure: float, end_pressure: float) -> float:
    """Leak at the start of a bleed-down over its mean, for a hole that chokes throughout.

    Parameters
    ----------
    start_pressure : float
        Absolute. [Pa]
    end_pressure : float
        Absolute, below the start. [Pa]

    Returns
    -------
    float
        Above 1. [-]

    References
    ----------
    A choked leak follows the absolute pressure, which then falls exponentially:
    ``a1·ln(a1/a2)/(a1 - a2)``. Worksheets of the trade print 1.0, 1.12 and 1.25 for falls
    of 10, 20 and 50 psi.

    Examples
    --------
    >>> round(start_leak_factor(114.7, 94.7), 3)
    1.099
    """
    return start_pressure * log(start_pressure / end_pressure) / (start_pressure - end_pressure)


def orifice_free_air(
    diameter: float,
    discharge_coefficient: float,
    gauge_pressure: float,
    temperature: float,
    ambient_pressure: float,
) -> float:
    """Free air that escapes to the room through a round hole.

    Parameters
    ----------
    diameter : float
        [m]
    discharge_coefficient : float
        0.61 to 0.65 for a sharp edge, 0.97 for a well-rounded one. [-]
    gauge_pressure : float
        Before the hole. [Pa]
    temperature : float
        Of the air before the hole, and of the air counted. [K]
    ambient_pressure : float
        Absolute. [Pa]

    Returns
    -------
    float
        At the room's pressure and that temperature. [m³/s]

    References
    ----------
    Isentropic nozzle law, `simulator.flow.orifice_mass_flow`.

    Examples
    --------
    1/16 in at 100 psi, coefficient 1:

    >>> round(orifice_free_air(0.0015875, 1.0, 689_476.0, 294.26, 101_353.0) * 2118.88, 2)
    6.51
    """
    area = discharge_coefficient * flow.disc_area(diameter)
    mass: float = flow.orifice_mass_flow(
        area, ambient_pressure + gauge_pressure, temperature, ambient_pressure
    )
    return mass / air.density(ambient_pressure, temperature)


def _equivalent_diameter(leak: float, gauge_pressure: float, ambient: float) -> float:
    """Sharp hole, coefficient as the rigs have it, that leaks as much. [m]."""
    per_area = orifice_free_air(
        sqrt(4.0 / pi), flow.LEAK_COEFFICIENT, gauge_pressure, air.FREE_AIR_TEMPERATURE, ambient
    )
    return sqrt(4.0 / pi * leak / per_area)


def _rate(given: Mapping[str, float]) -> Worked:
    start, end = given["start"], given["end"]
    must(
        holds=end < start,
        field="end",
        words="The end must lie below the start: a leak only lowers the pressure.",
    )
    ambient = air.standard_pressure(given["altitude"])
    mean = mean_leak(given["receiver"], start - end, given["time"], ambient)
    at_start = mean * start_leak_factor(ambient + start, ambient + end)
    figures = {
        "leak": Figure("leak at the pressure of the start", at_start, "air_flow"),
        "mean": Figure("leak averaged over the test", mean, "air_flow"),
        "fall": Figure("fall of pressure in a minute", (start - end) / given["time"] * 60.0, "pressure_drop"),
        "hole": Figure(
            "one hole that leaks as much", _equivalent_diameter(at_start, start, ambient), "small_length"
        ),
    }
    remarks = ["Let the receiver cool first, 15 minutes after a fill: cooling air falls without a leak."]
    if (ambient + end) * flow.CRITICAL_RATIO < ambient:
        remarks.append(
            "The test ran so low that the leak no longer chokes: the figure at the start is a little high."
        )
    return Worked(figures, tuple(remarks))


def _cycle(given: Mapping[str, float]) -> Worked:
    share = given["on"] / (given["on"] + given["off"])
    figures = {
        "leak": Figure("leak", share * given["free_air"], "air_flow"),
        "share": Figure("share of the pump's free air", 100.0 * share, "percent"),
    }
    return Worked(figures, ("All tools off and the outlet open to the shop line: the whole shop is tested.",))


def _orifice(given: Mapping[str, float]) -> Worked:
    ambient = air.standard_pressure(given["altitude"])
    ratio = ambient / (ambient + given["pressure"])
    leak = orifice_free_air(
        given["diameter"], given["coefficient"], given["pressure"], given["temperature"], ambient
    )
    choked = ratio <= flow.CRITICAL_RATIO
    how = (
        "The flow chokes: it rises with the absolute pressure."
        if choked
        else "The flow does not choke: it depends on both pressures."
    )
    return Worked({"free_air": Figure("free air lost", leak, "air_flow")}, (how,))


RATE = Calculator(
    slug="leak-rate",
    title="Leak rate from the fall of a shut receiver",
    question="How much does a machine leak that stands shut and cold?",
    formula=(
        "Q_mean = V·(p1 - p2) / (pa·t)",
        "Q_start = Q_mean·a1·ln(a1/a2) / (a1 - a2), a absolute pressures: a choked leak follows them",
    ),
    source="Bleed-down formula of government leak guidance; the factor is worked out, and within 5 % of the 1.0, 1.12 and 1.25 that worksheets print",
    standing=Standing.PUBLISHED,
    inputs=(
        receiver(),
        gauge("start", "pressure at the start", "120 psi"),
        gauge("end", "pressure at the end", "118 psi"),
        duration("time", "time between", "10 min"),
        ALTITUDE,
    ),
    work=_rate,
    example={
        "receiver": "100 ft³",
        "start": "100 psi",
        "end": "50 psi",
        "time": "5 min",
    },
    example_answer="68 cfm averaged, 89 cfm at 100 psi",
)

CYCLE = Calculator(
    slug="leak-cycle",
    title="Leak share from the times of a cycle",
    question="Nothing is in use and the machine still starts: how much is lost?",
    formula=("share = t_on / (t_on + t_off)", "Q = share·free air delivered"),
    source="Government leak guidance, cycle test",
    standing=Standing.PUBLISHED,
    inputs=(
        duration("on", "time pumping", "1 min"),
        duration("off", "time stopped", "10 min"),
        free_air("11 cfm"),
    ),
    work=_cycle,
    example={"on": "8 min", "off": "48 min", "free_air": "900 cfm"},
    example_answer="14.3 %, 128.6 cfm",
)

ORIFICE = Calculator(
    slug="orifice",
    title="Air lost through a hole",
    question="How much does a hole of this size lose?",
    formula=(
        "choked: m = C·A·p1·√(k/(R·T))·(2/(k+1))^((k+1)/(2(k-1)))",
        "not choked: m = C·A·p1/√(R·T)·√(2k/(k-1)·(r^(2/k) - r^((k+1)/k))), r = p2/p1; choked while r is at most 0.528",
        "Q = m over the density of the room's air",
    ),
    source="Isentropic nozzle law; within 1 % of the handbook table 'Discharge of Air Through an Orifice'",
    standing=Standing.PUBLISHED,
    inputs=(
        Input("diameter", "diameter of the hole", "small_length", "1/16 in", 1e-5, 0.1),
        gauge("pressure", "pressure before it", "100 psi"),
        Input(
            "coefficient",
            "discharge coefficient",
            "",
            "0.65",
            0.3,
            1.0,
            hint="sharp edge 0.61 to 0.65, rounded 0.97",
        ),
        Input("temperature", "temperature of the air", "temperature", "70 °F", 233.15, 473.15),
        ALTITUDE,
    ),
    work=_orifice,
    example={"diameter": "1/16 in", "pressure": "100 psi", "coefficient": "1"},
    example_answer="6.5 cfm",
    caution="Never feel for a leak with a hand: a jet breaks the skin. Use soap, the ear or a strip of paper.",
    sweep=Sweep("diameter", "free_air", 0.0004, INCH / 4.0, "Air lost against the hole's diameter"),
)

CALCULATORS = (RATE, CYCLE, ORIFICE)
