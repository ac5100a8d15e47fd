"""How large a receiver must be: to bridge a surge, and to spare the motor its starts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator import air
from simulator.calculators.asking import Input
from simulator.calculators.calculator import Calculator, Sweep, Worked, must
from simulator.calculators.common_inputs import ALTITUDE, CFM, duration, free_air, gauge
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping

HOUR = 3600.0


def surge_volume(
    surge: float, drawn: float, free_air: float, pressure_fall: float, ambient_pressure: float
) -> float:
    """Receiver that bridges a draw greater than the supply.

    Parameters
    ----------
    surge : float
        How long it lasts. [s]
    drawn : float
        Free air drawn meanwhile. [m³/s]
    free_air : float
        Free air supplied meanwhile. [m³/s]
    pressure_fall : float
        From the start to the least that the tools bear. [Pa]
    ambient_pressure : float
        Absolute. [Pa]

    Returns
    -------
    float
        [m³]

    References
    ----------
    Balance of the receiver: ``V = t·(q_out - q_in)·pa/(p1 - p2)``.

    Examples
    --------
    350 cfm drawn and 250 cfm supplied for 5 min, 100 to 60 psi:

    >>> round(surge_volume(300.0, 0.165179, 0.117985, 275_790.0, 101_353.0), 2)
    5.2
    """
    return surge * (drawn - free_air) * ambient_pressure / pressure_fall


def least_volume_for_starts(
    free_air: float, starts_an_hour: float, pressure_band: float, ambient_pressure: float
) -> float:
    """Least receiver that never starts the motor more often than allowed, whatever is drawn.

    Parameters
    ----------
    free_air : float
        Delivered by the pump. [m³/s]
    starts_an_hour : float
        Most that the motor bears. [1/h]
    pressure_band : float
        Cut-out less cut-in. [Pa]
    ambient_pressure : float
        Absolute. [Pa]

    Returns
    -------
    float
        [m³]

    References
    ----------
    A cycle lasts ``V·dp/pa·(1/d + 1/(Q - d))`` at a draw d; it is shortest at ``d = Q/2``,
    ``4·V·dp/(pa·Q)``.

    Examples
    --------
    >>> round(least_volume_for_starts(0.005, 10.0, 206_843.0, 101_325.0), 3)
    0.22
    """
    return free_air * ambient_pressure * HOUR / (4.0 * pressure_band * starts_an_hour)


def _surge(given: Mapping[str, float]) -> Worked:
    start, end, drawn, supplied = given["start"], given["end"], given["drawn"], given["free_air"]
    must(holds=end < start, field="end", words="The least pressure must lie below the start.")
    must(
        holds=drawn > supplied,
        field="drawn",
        words="The pump supplies at least as much as is drawn: there is no surge to bridge.",
    )
    ambient = air.standard_pressure(given["altitude"])
    volume = surge_volume(given["time"], drawn, supplied, start - end, ambient)
    refill = (
        "No receiver helps where the pump is too small for the mean draw: it must refill between the surges."
    )
    return Worked(
        {
            "volume": Figure("receiver's volume", volume, "volume"),
            "stored": Figure("free air taken from store", given["time"] * (drawn - supplied), "air_volume"),
        },
        (refill,),
    )


def _starts(given: Mapping[str, float]) -> Worked:
    cut_in, cut_out = given["cut_in"], given["cut_out"]
    must(holds=cut_in < cut_out, field="cut_in", words="Cut-in must lie below cut-out.")
    ambient = air.standard_pressure(given["altitude"])
    volume = least_volume_for_starts(given["free_air"], given["starts"], cut_out - cut_in, ambient)
    return Worked(
        {
            "volume": Figure("least receiver", volume, "volume"),
            "cycle": Figure(
                "shortest cycle, at half the pump's flow drawn", HOUR / given["starts"], "duration"
            ),
        },
        ("Water in the receiver takes its volume away: drain it before judging the starts.",),
    )


SURGE = Calculator(
    slug="receiver-size",
    title="Receiver for a surge",
    question="How large a receiver bridges a draw that the pump cannot follow?",
    formula=(
        "V = t·(q_out - q_in)·pa / (p1 - p2)",
        "t length of the surge, q free air, pa air pressure, p1 - p2 fall that is borne",
    ),
    source="Receiver-sizing worksheet of the trade (balance of the receiver)",
    standing=Standing.PUBLISHED,
    inputs=(
        duration("time", "length of the surge", "5 min"),
        Input("drawn", "free air drawn in the surge", "air_flow", "25 cfm", 0.01 * CFM, 10_000.0 * CFM),
        Input("free_air", "free air supplied meanwhile", "air_flow", "10 cfm", 0.0, 10_000.0 * CFM),
        gauge("start", "pressure at the start", "125 psi"),
        gauge("end", "least pressure that the tools bear", "90 psi"),
        ALTITUDE,
    ),
    work=_surge,
    example={"time": "5 min", "drawn": "350 cfm", "free_air": "250 cfm", "start": "100 psi", "end": "60 psi"},
    example_answer="1374 gal (5.2 m³)",
    sweep=Sweep("time", "volume", 10.0, 600.0, "Receiver against length of the surge"),
)

STARTS = Calculator(
    slug="receiver-starts",
    title="Receiver for starts per hour",
    question="How large a receiver keeps the motor within its starts per hour at any draw?",
    formula=(
        "V = Q·pa / (4·(p_out - p_in)·n)",
        "Q free air, n starts per hour allowed; the worst draw is half of Q",
    ),
    source="Balance of the receiver over a cycle, at the draw that makes it shortest; common practice",
    standing=Standing.COMMON_PRACTICE,
    inputs=(
        free_air("11 cfm"),
        Input("starts", "starts per hour that the motor bears", "count", "12", 1.0, 60.0),
        gauge("cut_in", "cut-in", "95 psi"),
        gauge("cut_out", "cut-out", "125 psi"),
        ALTITUDE,
    ),
    work=_starts,
    example={"free_air": "10.6 cfm", "starts": "10", "cut_in": "95 psi", "cut_out": "125 psi"},
    example_answer="58 gal (220 L)",
    sweep=Sweep("starts", "volume", 1.0, 30.0, "Least receiver against starts per hour"),
)

CALCULATORS = (SURGE, STARTS)
