"""Checks by watch and gauge: settings, pump-up, falls, on-time."""

import math

import numpy as np

from simulator.checks.catalogue import find_check
from simulator.checks.electrical import REARM, fresh_start
from simulator.checks.gauging import fitted_gauge
from simulator.checks.hand import (
    RUN_LIMIT,
    STARTED_SPEED_SHARE,
    Ended,
    Job,
    bleed_to,
    called_for,
    get_pumping,
    is_pumping,
    known_good,
    need_power,
    no_tool_in_use,
    piloted,
    shut_outlet,
    stop_by_lever,
    wait_for_pressure,
    wait_for_stop,
)
from simulator.checks.spread import PSI
from simulator.checks.words import CannotTake
from simulator.rig import Rig
from simulator.session import Session

# Limits of a judgement; common practice, no source, where none is named.
SETTING_TOLERANCE = 5.0 * PSI  # a switch repeats within 3 psi, the gauge adds its own [Pa]
SHORT_MARK = 5.0 * PSI  # the upper mark lies so far under cut-out [Pa]
SLOW, VERY_SLOW, FAST = 1.1, 1.6, 0.8  # of the sheet's time [-]
NO_RISE = 3.0 * PSI  # a needle that has not moved so far in two minutes does not rise [Pa]
NO_RISE_AFTER = 120.0  # [s]
COOLING_WAIT, HOLDING_WAIT = 900.0, 600.0  # [s]
TIGHT, TIGHT_SMALL = 2.0 * PSI, 4.0 * PSI  # in ten minutes: pass; of a small receiver [Pa]
FAST_FALL = 15.0 * PSI  # in ten minutes [Pa]
SMALL_RECEIVER = 0.04  # ten gallons [m³]
ENOUGH_TO_TIME = 60.0 * PSI  # below it a fall says nothing [Pa]
EMPTY = 5.0 * PSI  # [Pa]
SHORT_WAIT = 300.0  # [s]
CHARGED_SHARE = 0.7  # of the regulator's setting: a line that does not get there leaks [-]
LINE_TIGHT = 4.0 * PSI  # of the shop line in five minutes, outlet shut [Pa]
CHARGE_LINE = 30.0  # outlet held open to charge the shop line [s]
HALF_RISE = 5.0 * PSI  # either side of cut-in, timed with the element in and out [Pa]
CLEARLY_FASTER = 0.92  # time without the element over time with it [-]
LOGGED = 1800.0  # half an hour [s]
MUCH_ON_TIME, NO_REST = 0.6, 0.97  # share of the time [-]
SHORT_CYCLE = 75.0  # from start to start [s]

_NO_START = {"stalls": "stalls-at-start", "dead-silent": "dead-silent", "stays-off": "stays-off"}


def cut_in_out(job: Job) -> str:
    """Bleed slowly until it starts, shut the drain, wait for the stop."""
    need_power(job.session)
    session = job.session
    shut_outlet(job)
    if is_pumping(job) and wait_for_stop(job) != "cut-out":
        return _why_no_stop(job, "limit")
    began = session.clock
    started = get_pumping(job)
    if started == "pumping" and job.started_at(began) is None:
        wait_for_stop(job)
        began = session.clock
        started = get_pumping(job)
    if started != "pumping":
        return _NO_START[started]
    cut_in = _note_setting(job, "cut_in", "Cut-in", job.started_at(began) or began)
    running = session.clock
    ended = wait_for_stop(job)
    if ended != "cut-out":
        reason = _why_no_stop(job, ended, running)
        stop_by_lever(job)
        return reason
    cut_out = _note_setting(job, "cut_out", "Cut-out", job.stopped_at(running) or session.clock)
    if job.happened("relief-popped", running) is not None:
        return "relief-first"
    return _settings(cut_in - session.rig.switch.cut_in, cut_out - session.rig.switch.cut_out)


def _note_setting(job: Job, name: str, title: str, at: float) -> float:
    times, values = job.session.channel("receiver_gauge_pressure", at - 2.0, at + 2.0)
    true = float(np.interp(at, times, values))
    return job.note(name, title, job.instruments.reference(true, moving=True), "gauge_pressure")


def _settings(low: float, high: float) -> str:
    """Name a pair of settings from how far each lies off its plate. [Pa]"""
    limit = SETTING_TOLERANCE
    codes = {
        (0, 0): "as-set",
        (0, 1): "cut-out-high",
        (1, 1): "both-high",
        (1, 0): "cut-in-high",
        (1, -1): "cut-in-high",
        (-1, -1): "both-low",
        (-1, 0): "cut-in-low",
        (-1, 1): "cut-in-low",
        (0, -1): "cut-out-low",
    }
    return codes[_sign(low, limit), _sign(high, limit)]


def _sign(value: float, limit: float) -> int:
    return 0 if abs(value) <= limit else (1 if value > 0.0 else -1)


def _why_no_stop(job: Job, ended: Ended, since: float = 0.0) -> str:
    if ended == "trip":
        return "trips-on-the-way"
    if not called_for(job):
        return "runs-on-after-snap"
    if job.happened("relief-popped", since) is not None:
        return "relief-first"
    if ended == "vessel-plate":
        return "passes-vessel-plate"
    above = job.now("receiver_gauge_pressure") > job.session.rig.switch.cut_out + SETTING_TOLERANCE
    return "never-stops" if above else "never-gets-there"


def pump_up(job: Job) -> str:
    """Outlet shut, time the needle from the cut-in mark to a mark under cut-out."""
    session = job.session
    low, high = session.rig.switch.cut_in, session.rig.switch.cut_out - SHORT_MARK
    started = fresh_start(job, below=REARM)
    if started != "pumping":
        return _NO_START[started]
    began = session.clock
    at_start = fitted_gauge(job)
    reached = wait_for_pressure(job, high + PSI, RUN_LIMIT)
    gained = fitted_gauge(job) - at_start
    if not reached or gained < NO_RISE:
        return _why_short(job, began, gained)
    seconds = job.instruments.stopwatch(_rise_time(session, began, low, high))
    job.note("pump_up", "From mark to mark", seconds, "duration")
    sheet = sheet_pump_up(session.rig, low, high)
    job.note("sheet", "The sheet's time for the same marks", sheet, "duration")
    return _pace(seconds / sheet)


def _rise_time(session: Session, began: float, low: float, high: float) -> float:
    """Time the needle took between two marks. [s]"""
    times, values = session.channel("receiver_gauge_pressure", began - 30.0, session.clock)
    return _crossing(times, values, high) - _crossing(times, values, low)


_sheets: dict[str, float] = {}


def sheet_pump_up(rig: Rig, low: float, high: float) -> float:
    """Time the rig's sheet gives between two marks: taken in this very way when the machine was known good.

    A receiver bled in a hurry is cold and fills faster than the sum of pressure and free air says, so that only
    a time taken alike can be compared.

    Parameters
    ----------
    rig : Rig
        The rig.
    low, high : float
        The marks, gauge. [Pa]

    Returns
    -------
    float
        [s]
    """
    key = f"{rig!r} {low} {high}"
    if key not in _sheets:
        rises = []
        good = known_good(rig, find_check("pump-up"))
        for _ in range(2):  # cold, then warm
            fresh_start(good, below=REARM)
            began = good.session.clock
            wait_for_stop(good)
            good.session.run(15.0)
            rises.append(_rise_time(good.session, began, low, high))
        _sheets[key] = sum(rises) / len(rises)
    return _sheets[key]


def _pace(ratio: float) -> str:
    if ratio > VERY_SLOW:
        return "very-slow"
    if ratio > SLOW:
        return "slow"
    return "fast" if ratio < FAST else "as-the-sheet"


def _crossing(times: np.ndarray, values: np.ndarray, mark: float) -> float:
    """Last moment at which a rising needle passes a mark. [s]"""
    below = np.flatnonzero(values[:-1] < mark)
    if not len(below):
        return float(times[0])
    i = int(below[-1])
    share = (mark - values[i]) / max(values[i + 1] - values[i], 1e-9)
    return float(times[i] + share * (times[i + 1] - times[i]))


def _why_short(job: Job, began: float, gained: float) -> str:
    """Why the needle did not reach the upper mark."""
    if job.happened("protector-tripped", began) is not None:
        return "trips-on-the-way"
    if not is_pumping(job):
        return "stops-short"
    stop_by_lever(job)
    return "no-rise" if gained < NO_RISE else "never-gets-there"


def bleed_down(job: Job) -> str:
    """Locked out, outlet shut: let it cool, read, wait ten minutes, read."""
    session = job.session
    if job.now("receiver_gauge_pressure") < ENOUGH_TO_TIME:
        raise CannotTake(
            "There is too little pressure for a fall to say anything. Pump up to cut-out, isolate and lock, then time it."
        )
    session.operate("stop")
    shut_outlet(job)
    session.run(COOLING_WAIT)
    first = _note_still(job, "first", "After a quarter of an hour")
    session.run(HOLDING_WAIT)
    second = _note_still(job, "second", "Ten minutes later")
    if second < EMPTY:
        return "runs-empty"
    fall = first - second
    if fall > FAST_FALL:
        return "falls-fast"
    return "falls" if fall > _tight(job) else "holds"


def _tight(job: Job) -> float:
    """Fall that passes: the same small leak shows more in a small receiver. [Pa]"""
    return TIGHT_SMALL if job.session.rig.receiver.volume < SMALL_RECEIVER else TIGHT


def _note_still(job: Job, name: str, title: str) -> float:
    shown = job.instruments.reference(job.now("receiver_gauge_pressure"))
    return job.note(name, title, shown, "gauge_pressure")


def isolate_outlet(job: Job) -> str:
    """Charge the shop line, shut the outlet, and see which side of it falls, no tool in use."""
    session = job.session
    if job.now("receiver_gauge_pressure") < ENOUGH_TO_TIME:
        raise CannotTake(
            "There is too little pressure to compare. Pump up to cut-out, isolate and lock, then compare."
        )
    if not session.hands.outlet_open:
        session.operate("open-outlet")
    with no_tool_in_use(session):
        session.run(CHARGE_LINE)
    shut_outlet(job)
    session.run(COOLING_WAIT / 2.0)
    receiver_before = job.now("receiver_gauge_pressure")
    line_before = _line_at_shutting(job)
    session.run(SHORT_WAIT)
    receiver_fall = receiver_before - job.now("receiver_gauge_pressure")
    line_fall = line_before - job.now("regulated_gauge_pressure")
    job.note(
        "receiver_fall",
        "Receiver, fall in five minutes",
        job.instruments.rounded(receiver_fall),
        "pressure_drop",
    )
    job.note(
        "line_fall",
        "Shop line, fall since the outlet was shut",
        job.instruments.rounded(line_fall),
        "pressure_drop",
    )
    never_up = line_before < CHARGED_SHARE * min(session.rig.outlet.regulator_set, receiver_before)
    receiver_falls, line_falls = receiver_fall > _tight(job), line_fall > LINE_TIGHT or never_up
    if receiver_falls:
        return "both-fall" if line_falls else "receiver-falls"
    return "line-falls" if line_falls else "both-hold"


def _line_at_shutting(job: Job) -> float:
    """Pressure the shop line was left with when the outlet was shut. [Pa]"""
    _, values = job.session.channel(
        "regulated_gauge_pressure", job.session.clock - COOLING_WAIT / 2.0, job.session.clock
    )
    return float(values[0])


def filter_out(job: Job) -> str:
    """Time the same rise with the element in and with it out."""
    if fresh_start(job, below=REARM) != "pumping":
        return "does-not-pump"
    with_element = _timed_rise(job)
    stop_by_lever(job)
    job.session.operate("element-out")
    bleed_to(job, job.session.rig.switch.cut_in - HALF_RISE - 5.0 * PSI)
    if get_pumping(job) != "pumping":
        job.session.operate("element-in")
        return "does-not-pump"
    without = _timed_rise(job)
    stop_by_lever(job)
    job.session.operate("element-in")
    for name, title, seconds in (
        ("with", "With the element", with_element),
        ("without", "Without it", without),
    ):
        if math.isfinite(seconds):
            job.note(name, title, job.instruments.stopwatch(seconds), "duration")
    return "climbs-faster" if without < CLEARLY_FASTER * with_element else "no-difference"


def _timed_rise(job: Job) -> float:
    """Time the needle over ten psi round cut-in; endless if it does not get there. [s]"""
    began = job.session.clock
    low, high = (job.session.rig.switch.cut_in + side * HALF_RISE for side in (-1.0, 1.0))
    if not wait_for_pressure(job, high + PSI, 4.0 * NO_RISE_AFTER):
        return math.inf
    times, values = job.session.channel("receiver_gauge_pressure", began - 10.0, job.session.clock)
    return _crossing(times, values, high) - _crossing(times, values, low)


def duty_log(job: Job) -> str:
    """Stand by for half an hour of ordinary work and write down every start and stop."""
    need_power(job.session)
    session = job.session
    if not session.hands.outlet_open:
        session.operate("open-outlet")
    if piloted(session):
        get_pumping(job)
    elif not session.hands.lever_on:
        session.operate("start")
    began = session.clock
    session.run(LOGGED)
    share = job.note("on_time", "On-time", 100.0 * _on_time(job, began), "percent")
    called = "unloader-shut" if piloted(session) else "contacts-closed"
    starts = [event.t for event in session.events if event.what == called and event.t >= began]
    job.note("starts", "Starts in the half hour", float(len(starts)), "count")
    if _did_not_run(job, began):
        return "did-not-run"
    if share > 100.0 * NO_REST:
        return "never-rests"
    if len(starts) > LOGGED / SHORT_CYCLE:
        return "short-cycles"
    return "runs-much" if share > 100.0 * MUCH_ON_TIME else "as-usual"


def _on_time(job: Job, began: float) -> float:
    """Share of the time it pumped: turning, and an engine's pump loaded. [-]"""
    times, speeds = job.session.channel("pump_speed_rpm", began)
    pumped = speeds > STARTED_SPEED_SHARE * job.session.rig.pump.speed_rpm
    if piloted(job.session):
        pumped = pumped & (job.session.channel("unloader_open", began)[1] < 0.5)
    return float(np.trapezoid(pumped.astype(float), times) / (times[-1] - times[0]))


def _did_not_run(job: Job, began: float) -> bool:
    stood_out = any(job.happened(what, began) is not None for what in ("protector-tripped", "engine-stalled"))
    return stood_out or job.peak("pump_speed_rpm", began) <= 0.0
