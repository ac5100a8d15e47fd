"""Checks with a gauge between the stages: what a two-stage machine tells of itself for nothing."""

import numpy as np

from simulator.checks.gauging import FITTED_AT_ZERO
from simulator.checks.hand import (
    RUN_LIMIT,
    Job,
    bleed_to,
    get_pumping,
    is_pumping,
    let_it_stop,
    need_power,
    restore,
    stop_by_lever,
    wait_for_pressure,
    wait_for_stop,
)
from simulator.checks.spread import PSI

# Limits of a judgement; common practice, no source, where none is named. The figures they part are those of the
# signatures worked out by hand for the sheet: 40 psig sound, 33 and less for a weak first stage, 44-48 for a fouled
# cooler, 47 and more for a weak second stage.
WORTH_READING = 60.0 * PSI  # receiver pressure below which the interstage merely follows [Pa]
LAST = 10.0  # of pumping, over which the needle is watched [s]
NEAR_ZERO, LOW, RAISED, HIGH = 0.2, 0.88, 1.06, 1.22  # of the sheet's figure [-]
SWINGS = PSI  # peak to peak, with a snubber [Pa]
CLIMBS = 1.07  # rise from half way to the end, over the sheet's rise [-]
SOON, WATCHED = 15.0, 180.0  # after the stop [s]
AT_ZERO, RISES, STANDS = 3.0 * PSI, 3.0 * PSI, 0.6  # [Pa], [Pa], [-]


def _made_ready(job: Job) -> None:
    """Fit the gauge at zero and give power back; nothing to do where a gauge is fitted for good."""
    if job.session.hands.locked:
        job.session.run(FITTED_AT_ZERO)
        restore(job)
    need_power(job.session)


def interstage_run(job: Job) -> str:
    """Pump up and watch level and swing of the interstage needle near cut-out."""
    session = job.session
    _made_ready(job)
    stop_by_lever(job)
    bleed_to(job, WORTH_READING - PSI)
    began = session.clock
    if get_pumping(job) != "pumping":
        return "never-ran"
    if not wait_for_pressure(job, WORTH_READING, RUN_LIMIT):
        if not is_pumping(job):
            return "never-ran"
        stop_by_lever(job)
        return "too-little-to-read"
    half_way = _both_now(job)
    job.note("half_way", "Interstage, receiver lately past 60 psig", half_way[0], "gauge_pressure")
    ended = wait_for_stop(job)
    stopped = (job.stopped_at(began) if ended == "cut-out" else None) or session.clock
    if ended != "cut-out":
        stop_by_lever(job)
    return _level(job, began, half_way, stopped - 0.2)


def _both_now(job: Job) -> tuple[float, float]:
    """Interstage as the dial shows it, and the sheet's figure for this receiver pressure. [Pa]"""
    at = job.session.clock
    shown = _dial(job, job.mean("interstage_gauge_pressure", at - 3.0, at))
    return shown, PSI * job.from_sheet("interstage_psig", job.mean("receiver_gauge_pressure", at - 3.0, at))


def _level(job: Job, began: float, half_way: tuple[float, float], at: float) -> str:
    """Name the level near the end of pumping against the sheet's for that receiver pressure."""
    level = job.note(
        "level",
        "Interstage near the end",
        _dial(job, job.mean("interstage_gauge_pressure", at - LAST, at)),
        "gauge_pressure",
    )
    swing = job.note("swing", "Swing of its needle", _swing(job, at), "pressure_drop")
    receiver = job.mean("receiver_gauge_pressure", at - LAST, at)
    sheet = job.note(
        "sheet",
        "The sheet's figure there",
        PSI * job.from_sheet("interstage_psig", receiver),
        "gauge_pressure",
    )
    lifted = job.happened("interstage-relief-popped", began) is not None
    if not lifted and level <= RAISED * sheet:
        if level < NEAR_ZERO * sheet:
            return "near-zero"
        return "low" if level < LOW * sheet else "as-the-sheet"
    if swing > SWINGS:
        return "high-and-swinging"
    if lifted:
        return "climbs-till-relief-lifts"
    if level / half_way[0] > CLIMBS * sheet / half_way[1]:
        return "high-and-climbing"
    return "high-and-steady" if level > HIGH * sheet else "a-little-high"


def _dial(job: Job, gauge_pressure: float) -> float:
    return job.instruments.reference(gauge_pressure)


def _swing(job: Job, at: float) -> float:
    """Peak-to-peak swing an eye makes out of the needle. [Pa]"""
    return max(job.instruments.rounded(job.mean("interstage_swing", at - LAST, at)), 0.0)


def interstage_stopped(job: Job) -> str:
    """Watch the interstage needle for three minutes from the stop."""
    session = job.session
    _made_ready(job)
    if not is_pumping(job) and get_pumping(job) != "pumping":
        return "never-ran"
    stopped = let_it_stop(job)
    stop_by_lever(job)
    level = job.mean("interstage_gauge_pressure", max(stopped - 1.0, 0.0), stopped)
    session.run(max(stopped + WATCHED - session.clock, 0.0))
    times, values = session.channel("interstage_gauge_pressure", stopped, session.clock)
    soon, late = (float(np.interp(t, times, values)) for t in (stopped + SOON, stopped + WATCHED))
    job.note("at_stop", "Interstage at the stop", _dial(job, level), "gauge_pressure")
    soon = job.note("soon", "A quarter of a minute later", _dial(job, soon), "gauge_pressure")
    late = job.note("late", "Three minutes after the stop", _dial(job, late), "gauge_pressure")
    top = float(np.max(values[times >= stopped]))
    if max(late, top if late > AT_ZERO else 0.0) > max(soon, level) + RISES or late > soon + RISES:
        return "rises"  # even where the interstage relief has let it down again
    if late > STANDS * level and late > AT_ZERO:
        return "stays-up"
    if late > AT_ZERO:
        return "sinks-slowly"
    return "falls-in-minutes" if soon > 2.0 * AT_ZERO else "falls-with-the-blow"
