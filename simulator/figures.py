"""What a trial of a machine is read for: states, figures, the trade's units, and how well a reader can tell."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

State = Literal["pumping", "just-stopped", "settled", "restart"]
STATES: tuple[State, ...] = ("pumping", "just-stopped", "settled", "restart")
Reading = float | str
# State to figure to what was read, in the figure's unit; a figure that a rig does not have is not there.
Figures = Mapping[State, Mapping[str, Reading]]

# Places where air can come out: those of the channels, and those where no machine of ours leaks.
PLACES = (
    "lp-intake", "lp-breather", "lp-head-joint", "lp-head-line", "lp-intercooler", "lp-interstage-relief",
    "lp-head-line-relief", "lp-check-body", "lp-unloader-port", "lp-unloader-tube", "lp-pump-vent", "lp-dump-port",
    "lp-switch-cover", "lp-switch-nipple", "lp-gauge", "lp-tank-relief", "lp-shell", "lp-ports", "lp-drain",
    "lp-regulator-bonnet", "lp-outlet", "lp-hose", "lp-head-vent", "lp-crank-seal",
)  # fmt: skip


@dataclass(frozen=True)
class Kind:
    """What a figure is: its quantity at the door to units, the trade's unit and the SI one, a reader's error.

    The errors are those of a dial gauge, a clamp, an infrared thermometer, a stopwatch and an ear; common practice,
    no source.
    """

    quantity: str
    unit: str
    si: str
    error: float  # [unit]


PRESSURE = Kind("gauge_pressure", "psi", "Pa", 2.0)
DIFFERENCE = Kind("pressure_drop", "psi", "Pa", 2.0)
CRANKCASE = Kind("crankcase_pressure", "kPa", "Pa", 0.1)
DURATION = Kind("duration", "s", "s", 1.0)
CURRENT = Kind("current", "A", "A", 0.3)
VOLTAGE = Kind("voltage", "V", "V", 2.0)
TEMPERATURE = Kind("temperature", "°C", "K", 3.0)
SPEED = Kind("speed_rpm", "rpm", "rpm", 10.0)
SHARE = Kind("percent", "%", "%", 3.0)
AIR = Kind("air_flow", "L/min", "m³/s", 1.0)


@dataclass(frozen=True)
class Figure:
    """One thing a trial is read for: a number of some kind, or one of some words."""

    title: str
    kind: Kind | None = None
    words: tuple[str, ...] = ()


_YES_NO = ("yes", "no")
OUTCOMES = ("starts", "slow", "stalls", "trips", "dead", "will not turn")

_LEAKS = {f"leak:{place}": Figure(f"Air out at {place}", AIR) for place in PLACES}

FIGURES: Mapping[State, Mapping[str, Figure]] = {
    "pumping": {
        "pump_up": Figure("From empty to cut-out", DURATION),
        "stops": Figure("Stops by itself", words=_YES_NO),
        "top_pressure": Figure("Highest receiver pressure, left alone", PRESSURE),
        "output": Figure("Free air at half of cut-out, of a sound machine's", SHARE),
        "amps": Figure("Current near cut-out", CURRENT),
        "amps_mid": Figure("Current at low pressure", CURRENT),
        "volts": Figure("Volts at the motor near cut-out", VOLTAGE),
        "rpm": Figure("Pump speed near cut-out", SPEED),
        "interstage": Figure("Interstage pressure near cut-out", PRESSURE),
        "interstage_swing": Figure("Swing of the interstage needle", DIFFERENCE),
        "over_receiver": Figure("Head line over receiver near cut-out", DIFFERENCE),
        "crankcase": Figure("Crankcase near cut-out", CRANKCASE),
        "oil_pressure": Figure("Oil pressure near cut-out", PRESSURE),
        "relief_lifts": Figure("Tank relief lifts", words=_YES_NO),
        "interstage_relief_lifts": Figure("Interstage relief lifts", words=_YES_NO),
        "head_1": Figure("First head of the first stage, hot", TEMPERATURE),
        "head_2": Figure("Second head of the first stage, hot", TEMPERATURE),
        "head_3": Figure("First head of the second stage, hot", TEMPERATURE),
        "head_4": Figure("Second head of the second stage, hot", TEMPERATURE),
        "head_hottest": Figure("Hottest head", TEMPERATURE),
        "line_pump": Figure("Head line at the pump, hot", TEMPERATURE),
        "line_tank": Figure("Head line at the receiver, hot", TEMPERATURE),
        "interstage_out": Figure("Air out of the intercooler, hot", TEMPERATURE),
        "winding": Figure("Motor's winding, hot", TEMPERATURE),
        "trips_hot": Figure("Trips in long pumping", words=_YES_NO),
        **_LEAKS,
    },
    "just-stopped": {
        "vent_time": Figure("Head line vents in", DURATION),
        "head_line": Figure("Head line after 15 s", PRESSURE),
        **_LEAKS,
    },
    "settled": {
        "settle_drop": Figure("Lost by cooling in a quarter of an hour", DIFFERENCE),
        "receiver_fall": Figure("Receiver, fall in ten minutes", DIFFERENCE),
        "receiver_fall_open": Figure("The same with the outlet open, tools off", DIFFERENCE),
        "head_line": Figure("Head line", PRESSURE),
        "interstage": Figure("Interstage pressure", PRESSURE),
        "regulated": Figure("Shop line after three minutes of no flow", PRESSURE),
        "tool": Figure("At the tool, its trigger held", PRESSURE),
        **_LEAKS,
    },
    "restart": {
        "outcome": Figure("How it starts at cut-in", words=OUTCOMES),
        "cut_in": Figure("Receiver pressure at cut-in", PRESSURE),
        "start_time": Figure("Time to full speed", DURATION),
        "amps_peak": Figure("Highest current", CURRENT),
        "volts_low": Figure("Lowest volts at the motor", VOLTAGE),
        "start_winding_amps": Figure("Current of the start winding", CURRENT),
    },
}


def alike(state: State, name: str, one: Reading, other: Reading) -> bool:
    """Whether a reader would call two readings of a figure the same: within 3 %, or within the reader's error.

    Parameters
    ----------
    state : str
        One of `STATES`.
    name : str
        A figure of that state.
    one, other : float or str
        Readings. [the figure's unit]

    Returns
    -------
    bool
        True for equal words too.

    References
    ----------
    Common practice, no source.
    """
    kind = FIGURES[state][name].kind
    if isinstance(one, str) or isinstance(other, str) or kind is None:
        return one == other
    if math.isinf(one) or math.isinf(other):
        return one == other
    return abs(one - other) <= max(0.03 * abs(other), kind.error)
