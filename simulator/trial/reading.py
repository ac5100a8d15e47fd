"""The figures, read off the record of a trial the way a person with good instruments and no error would."""

import math
from typing import NamedTuple

import numpy as np

from simulator import air
from simulator.components.receiver import WATER_DENSITY
from simulator.figures import PLACES, Reading
from simulator.rig import Rig
from simulator.session import Session
from simulator.trace import CHANNELS, Trace
from simulator.trial.filling import NEAR_CUT_OUT, PSI, Fill
from simulator.trial.leaving import Stretch

NEAR = 5.0 * PSI  # over which what is read near cut-out is averaged [Pa]
AMPS_MID = 40.0 * PSI  # [Pa]
VENTED = 2.0 * PSI  # [Pa]
VENTED_IDLING = 12.0 * PSI  # of a pump that goes on turning, unloaded: its dump port keeps some back [Pa]
RUN_UP = 3.0  # after a start the current is not yet that of pumping [s]
TURNS = 5.0  # a pump slower than this stands [rpm]
UP_TO_SPEED = 0.95  # of the speed it then has [-]
RUNS = 0.45  # of rated speed: a motor that stays below has not got going [-]
SLOW, SLOWER_BY = 2.0, 1.0  # a start takes more than so many times as long, and so much longer [-, s]
AROUND_HALF = 10.0 * PSI  # of cut-out, over which the output is averaged [Pa]
# Places at which the receiver loses what the pump has given it.
_OF_THE_RECEIVER = ("lp-shell", "lp-drain", "lp-tank-relief", "lp-switch-cover")
NO_FLOW = 180.0  # after the shop line is charged its pressure is read [s]
FREE_AIR_L_MIN = 60_000.0 / air.FREE_AIR_DENSITY  # of a mass flow in kg/s
ZERO_C = 273.15
# Lines of a supply on which a clamp or a voltmeter is put, by the kind of motor.
_AMPS = {
    "single-phase": ("motor_current",),
    "three-phase": ("motor_current", "motor_current_2", "motor_current_3"),
}
_VOLTS = {
    "single-phase": ("motor_terminal_voltage",),
    "three-phase": ("motor_terminal_voltage", "motor_terminal_voltage_2", "motor_terminal_voltage_3"),
}


class Yardstick(NamedTuple):
    """What a sound machine did, that others are measured by."""

    pump_up: float = math.nan  # [s]
    free_air: float = math.nan  # at half of cut-out [m³/s]
    start_time: float = math.nan  # [s]


class _Record:
    """A stretch of a trace, read by straight lines between samples."""

    def __init__(self, trace: Trace, begin: float, end: float) -> None:
        self.trace, self.begin, self.end = trace, begin, end
        inside = (trace.time > begin) & (trace.time < end)
        self.time = np.concatenate([[begin], trace.time[inside], [end]])

    def values(self, channel: str) -> np.ndarray:
        return np.asarray(np.interp(self.time, self.trace.time, self.trace.channel(channel)))

    def mean(self, channel: str) -> float:
        """Over time."""
        values = self.values(channel)
        length = self.end - self.begin
        return float(np.trapezoid(values, self.time) / length) if length > 0.0 else float(values[-1])

    def part(self, begin: float, end: float) -> "_Record":
        return _Record(self.trace, begin, end)

    def first(self, channel: str, mark: float) -> float:
        """When a rising channel first reaches a mark; infinite if never. [s]"""
        values = self.values(channel)
        there = np.flatnonzero(values >= mark)
        if not there.size:
            return math.inf
        i = int(there[0])
        if i == 0:
            return self.begin
        share = (mark - values[i - 1]) / (values[i] - values[i - 1])
        return float(self.time[i - 1] + share * (self.time[i] - self.time[i - 1]))


def pumping(filled: Fill, hot: Trace | None, yardstick: Yardstick) -> dict[str, Reading]:
    """Figures of a machine that pumps.

    Parameters
    ----------
    filled : Fill
        From empty to the end of pumping.
    hot : Trace or None
        Long pumping near cut-out.
    yardstick : Yardstick
        Of the sound machine.

    Returns
    -------
    dict
        Figures of `simulator.figures.FIGURES["pumping"]` that the rig has.
    """
    machine = filled.machine
    record = _Record(machine.trace, filled.began, machine.clock)
    near = _near_cut_out(record, machine)
    long = hot if hot is not None else machine.trace
    happened = {event.what for event in machine.events}
    at_40 = record.first("receiver_gauge_pressure", AMPS_MID)
    found: dict[str, Reading] = {
        "pump_up": machine.clock - filled.began if filled.ended_by == "control" else math.inf,
        "stops": _yes(filled.ended_by == "control"),
        "top_pressure": float(record.values("receiver_gauge_pressure").max()) / PSI,
        "output": _output(filled, yardstick),
        "rpm": near.mean("pump_speed_rpm"),
        "over_receiver": (near.mean("head_line_gauge_pressure") - near.mean("receiver_gauge_pressure")) / PSI,
        "crankcase": near.mean("crankcase_gauge_pressure") / 1000.0,
        "relief_lifts": _yes("relief-popped" in happened),
        "line_pump": _hot(long, "head_line_temperature"),
        "line_tank": _hot(long, "line_temperature_at_receiver"),
        **_heads(machine, long),
        **_leaks(near),
    }
    if not machine.rig.has_engine:
        found |= {
            "amps": max(near.mean(channel) for channel in _AMPS[machine.rig.motor.kind]),
            "amps_mid": max(_at(record, near, channel, at_40) for channel in _AMPS[machine.rig.motor.kind]),
            "volts": min(near.mean(channel) for channel in _VOLTS[machine.rig.motor.kind]),
            "winding": _hot(long, "winding_temperature"),
            "trips_hot": _yes(any(event.what == "protector-tripped" for event in long.events)),
        }
    if machine.rig.stages == 2:
        found |= {
            "interstage": near.mean("interstage_gauge_pressure") / PSI,
            "interstage_swing": near.mean("interstage_swing") / PSI,
            "interstage_relief_lifts": _yes("interstage-relief-popped" in happened),
            "interstage_out": _hot(long, "intercooler_temperature"),
        }
    if machine.rig.pump.oil_pressure > 0.0:
        found["oil_pressure"] = near.mean("oil_gauge_pressure") / PSI
    return found


def _yes(answer: bool) -> str:
    return "yes" if answer else "no"


def _at(record: _Record, near: _Record, channel: str, time: float) -> float:
    """Read a channel at a time; near cut-out, or what came nearest to it, if that time never came."""
    return near.mean(channel) if math.isinf(time) else float(record.trace.at(channel, time))


def _near_cut_out(record: _Record, machine: Session) -> _Record:
    """Pumping over the last psi before cut-out or, of a machine that never gets there, at its highest pressure."""
    turning, live = record.values("pump_speed_rpm") > TURNS, record.values("motor_live") > 0.5
    begin, end = record.begin, record.end
    for times in (record.time[turning & live], record.time[live]):
        if times.size:
            begin, end = float(times[0]), float(times[-1])
            break
    begin = min(begin + RUN_UP, end)
    pumped = record.part(begin, end)
    highest = float(pumped.values("receiver_gauge_pressure").max())
    top = machine.rig.switch.cut_out - NEAR_CUT_OUT
    if highest >= top:
        end = max(pumped.first("receiver_gauge_pressure", top), begin)
    begin = min(pumped.first("receiver_gauge_pressure", min(highest, top) - NEAR), end)
    return record.part(begin, end)


def free_air_at_half(filled: Fill) -> float:
    """Free air that the receiver was given as it passed half of cut-out; none of a machine that does not get there.

    Read from what the receiver holds, as with a watch and a gauge: the flow through the check valve at one instant is
    what is left between two pressures that hardly differ.

    Parameters
    ----------
    filled : Fill
        The machine after pumping up.

    Returns
    -------
    float
        [m³/s]
    """
    machine = filled.machine
    record = _Record(machine.trace, filled.began, machine.clock)
    half = 0.5 * machine.rig.switch.cut_out
    highest = float(record.values("receiver_gauge_pressure").max())
    if highest < half:
        return 0.0
    begin = record.first("receiver_gauge_pressure", half - AROUND_HALF)
    end = record.first("receiver_gauge_pressure", min(half + AROUND_HALF, highest))
    around = record.part(begin, end)
    held = _air_held(around, machine)
    lost = sum(around.mean(f"leak:{place}") for place in _OF_THE_RECEIVER)
    return ((held[-1] - held[0]) / (end - begin) + lost) / air.FREE_AIR_DENSITY


def _air_held(record: _Record, machine: Session) -> list[float]:
    """Air in the receiver at the samples of a record. [kg]"""
    p = machine.parameters
    pressure = record.values("receiver_gauge_pressure") + p.intake.ambient_pressure
    room = p.receiver.volume - record.values("receiver_water") / WATER_DENSITY
    held = pressure * room / (air.GAS_CONSTANT * record.values("receiver_temperature"))
    return [float(mass) for mass in held]


def _output(filled: Fill, yardstick: Yardstick) -> float:
    return 100.0 * free_air_at_half(filled) / yardstick.free_air if yardstick.free_air > 0.0 else 100.0


def _hot(trace: Trace, channel: str) -> float:
    """Last value of a temperature while the pump turned. [°C]"""
    turning = np.flatnonzero(trace.channel("pump_speed_rpm") > TURNS)
    return float(trace.channel(channel)[turning[-1] if turning.size else -1]) - ZERO_C


def _heads(machine: Session, trace: Trace) -> dict[str, Reading]:
    pump = machine.rig.pump
    heads = {pump.head_of(cylinder.slug) for cylinder in pump.cylinders}
    return {
        **{f"head_{n}": _hot(trace, f"head_temperature_{n}") for n in sorted(heads)},
        "head_hottest": _hot(trace, "head_temperature"),
    }


def _leaks(record: _Record) -> dict[str, Reading]:
    """Mean flow out at every place. [L/min of free air]"""
    return {
        name: FREE_AIR_L_MIN * record.mean(name) if name in CHANNELS else 0.0
        for name in (f"leak:{place}" for place in PLACES)
    }


def just_stopped(stopped: Stretch, after: Stretch) -> dict[str, Reading]:
    """Figures of a machine in the first seconds after it has stopped.

    Parameters
    ----------
    stopped : Stretch
        Those seconds.
    after : Stretch
        The same, longer, until the head line has vented if it does.

    Returns
    -------
    dict
        Figures of `simulator.figures.FIGURES["just-stopped"]`.
    """
    machine = stopped.machine
    return {
        "vent_time": _vent_time(
            _Record(after.machine.trace, stopped.began, after.machine.clock), machine.rig
        ),
        "head_line": machine.now()["head_line_gauge_pressure"] / PSI,
        **_leaks(_Record(machine.trace, stopped.began, machine.clock)),
    }


def _vent_time(record: _Record, rig: Rig) -> float:
    """Time until the head line is down for good; infinite if it is not by the end. [s]"""
    mark = VENTED_IDLING if rig.has_engine else VENTED
    line = record.values("head_line_gauge_pressure")
    high = np.flatnonzero(line > mark)
    if not high.size:
        return 0.0
    i = int(high[-1])
    if i == line.size - 1:
        return math.inf
    share = (line[i] - mark) / (line[i] - line[i + 1])
    return float(record.time[i] + share * (record.time[i + 1] - record.time[i])) - record.begin


def settled(
    standing: Stretch, cooled: Stretch, watched: Stretch, opened: Stretch, working: Stretch
) -> dict[str, Reading]:
    """Figures of a machine left off.

    Parameters
    ----------
    standing : Stretch
        From the stop for a quarter of an hour.
    cooled : Stretch
        From the stop until its air has cooled.
    watched : Stretch
        The ten minutes after that.
    opened : Stretch
        Ten other minutes, outlet open and shop line charged, no tool in use.
    working : Stretch
        A trigger held instead.

    Returns
    -------
    dict
        Figures of `simulator.figures.FIGURES["settled"]` that the rig has.
    """
    now = cooled.machine.now()
    found: dict[str, Reading] = {
        "settle_drop": _fall(standing),
        "receiver_fall": _fall(watched),
        "receiver_fall_open": _fall(opened),
        "head_line": now["head_line_gauge_pressure"] / PSI,
        "regulated": float(opened.machine.trace.at("regulated_gauge_pressure", opened.began + NO_FLOW)) / PSI,
        "tool": working.machine.now()["tool_gauge_pressure"] / PSI,
        **{
            name: FREE_AIR_L_MIN * now[name] if name in now else 0.0
            for name in (f"leak:{place}" for place in PLACES)
        },
    }
    if cooled.machine.rig.stages == 2:
        found["interstage"] = now["interstage_gauge_pressure"] / PSI
    return found


def _fall(stretch: Stretch) -> float:
    """Receiver pressure lost over a stretch. [psi]"""
    before = float(stretch.machine.trace.at("receiver_gauge_pressure", stretch.began))
    return (before - stretch.machine.now()["receiver_gauge_pressure"]) / PSI


def restart(bled: Stretch, again: Stretch, yardstick: Yardstick) -> dict[str, Reading]:
    """Figures of a start at cut-in.

    Parameters
    ----------
    bled : Stretch
        Bled to cut-in.
    again : Stretch
        From the closing of the contacts, or the key.
    yardstick : Yardstick
        Of the sound machine.

    Returns
    -------
    dict
        Figures of `simulator.figures.FIGURES["restart"]` that the rig has.
    """
    machine = again.machine
    record = _Record(machine.trace, again.began, machine.clock)
    speed = record.values("motor_speed_rpm")
    rated = machine.rig.motor.rated_speed_rpm
    runs = float(speed.max()) >= RUNS * rated
    started = (
        record.first("motor_speed_rpm", UP_TO_SPEED * float(speed.max())) - again.began if runs else math.inf
    )
    found: dict[str, Reading] = {
        "outcome": _outcome(machine, record, started, yardstick.start_time),
        "cut_in": bled.machine.now()["receiver_gauge_pressure"] / PSI,
        "start_time": started,
    }
    motor = machine.rig.motor.kind
    if motor == "engine":
        return found
    live = record.values("motor_live") > 0.5
    found["amps_peak"] = max(float(record.values(channel).max()) for channel in _AMPS[motor])
    found["volts_low"] = min(
        (float(record.values(channel)[live].min()) for channel in _VOLTS[motor] if live.any()), default=0.0
    )
    if motor == "single-phase":
        found["start_winding_amps"] = float(record.values("start_winding_current").max())
    return found


def _outcome(machine: Session, record: _Record, started: float, sound: float) -> str:
    """Say how a start went; the flywheel that a hand cannot turn is told from one that only stalls."""
    if machine.values.get("pump.locked") in ("yes", True):
        return "will not turn"
    speed = record.values("motor_speed_rpm")
    if not (record.values("motor_live") > 0.5).any() and speed.max() < TURNS:
        return "dead"
    tripped = any(event.what == "protector-tripped" and event.t >= record.begin for event in machine.events)
    if tripped:
        return "stalls" if math.isinf(started) else "trips"
    if math.isinf(started):
        return "stalls"
    return "slow" if started > max(SLOW * sound, sound + SLOWER_BY) else "starts"
