"""Checks with clamp and voltmeter."""

import numpy as np

from simulator.checks.hand import (
    NO_CURRENT,
    RUN_LIMIT,
    Job,
    Started,
    bleed_to,
    get_pumping,
    is_pumping,
    need_power,
    shut_outlet,
    stop_by_lever,
    wait_for_stop,
)
from simulator.checks.spread import PSI

# Limits of a judgement; common practice, no source.
LATE_RUN_UP = 2.5  # a start that lasts longer is late [s]
STARTED_SHARE = 2.0  # of full-load current: below it the start is over [-]
STILL_HIGH_SHARE = 1.8  # of full-load current some seconds after the start [-]
LOW_INRUSH_SHARE = 0.85  # of what locked rotor takes at this supply [-]
AS_THE_SHEET = 0.07  # departure from the sheet that means nothing [-]
NEAR_NO_LOAD = 0.68  # of the sheet [-]
VERY_HIGH = 1.5  # of full-load current [-]
GOOD_START_VOLTS = 0.88  # of the plate's [-]
POOR_START_VOLTS = 0.78  # of the plate's [-]
GOOD_RUN_VOLTS = 0.96  # of the plate's [-]
LEAST_RUN_VOLTS = 0.90  # of the plate's: the usual limit of motor makers [-]
DROP_LIMIT = 0.5  # [V]
DROP_NOTED = 0.2  # [V]
CLEARLY_QUICKER = 0.75  # of the time the start took before [-]
BEFORE_STOP = 3.0  # near cut-out: the last seconds before the contacts open [s]
REARM = 8.0 * PSI  # bled below cut-in, so that it starts for certain [Pa]

_NO_START = {"dead-silent": "no-current", "stays-off": "stays-off"}


def fresh_start(job: Job, *, below: float = 0.0) -> Started:
    """Stop the machine and try a start from rest at cut-in, or a little below it.

    Parameters
    ----------
    job : Job
        The check being taken.
    below : float
        How far the receiver is bled under the plate's cut-in before; nought to start where the switch closes. [Pa]

    Returns
    -------
    str
        See `get_pumping`.
    """
    need_power(job.session)
    shut_outlet(job)
    stop_by_lever(job)
    job.session.run(5.0)
    if below > 0.0:
        bleed_to(job, job.session.rig.switch.cut_in - below)
    return get_pumping(job)


def last_start(job: Job, since: float) -> float:
    """Moment the contacts closed for the last start. [s]"""
    closed = [event.t for event in job.session.events if event.what == "contacts-closed" and event.t >= since]
    return closed[-1] if closed else since


def amps_start(job: Job) -> str:
    """Hold the peak at a start and time how soon it falls."""
    motor = job.session.rig.motor
    began = job.session.clock
    started = fresh_start(job)
    if started in _NO_START:
        return _NO_START[started]
    closed = last_start(job, began)
    times, amps = job.session.channel("motor_current", closed, job.session.clock)
    peak = job.note("peak", "Inrush, peak hold", job.instruments.clamp(float(np.max(amps))), "current")
    high = times[amps > STARTED_SHARE * motor.full_load_current]
    lasted = float(high[-1]) - closed if len(high) else 0.0
    job.note("lasted", "Until it fell away", job.instruments.stopwatch(lasted), "duration")
    if started == "stalls":
        return "stays-locked"
    if amps[-1] > STILL_HIGH_SHARE * motor.full_load_current:
        return "stays-very-high"
    if lasted < LATE_RUN_UP:
        return "short-inrush"
    return "low-long-inrush" if peak < LOW_INRUSH_SHARE * motor.locked_rotor_current else "long-inrush"


def amps_run(job: Job) -> str:
    """Read the running current just after cut-in and near cut-out."""
    motor = job.session.rig.motor
    began = job.session.clock
    started = fresh_start(job)
    if started != "pumping":
        return _NO_START.get(started, "stalls-at-start")
    _note_amps(job, "at_cut_in", "Near cut-in", job.session.clock)
    ended = wait_for_stop(job, RUN_LIMIT)
    stopped = job.happened("contacts-open", began + 1.0) if ended == "cut-out" else None
    at = (stopped or job.happened("protector-tripped", began) or job.session.clock) - 0.2
    top = _note_amps(job, "near_cut_out", "Near cut-out", at)
    if ended == "trip":
        return "trips-at-plate-amps" if top <= 1.03 * motor.full_load_current else "trips-on-the-way"
    gauge = job.mean("receiver_gauge_pressure", at - BEFORE_STOP, at)
    sheet = job.note("sheet", "The sheet's figure there", job.from_sheet("motor_A", gauge), "current")
    return _against_sheet(top, sheet, motor.full_load_current)


def _note_amps(job: Job, name: str, title: str, at: float) -> float:
    return job.note(
        name, title, job.instruments.clamp(job.mean("motor_current", at - BEFORE_STOP, at)), "current"
    )


def _against_sheet(amps: float, sheet: float, full_load: float) -> str:
    if amps > VERY_HIGH * full_load:
        return "very-high"
    if amps > (1.0 + AS_THE_SHEET) * sheet:
        return "high"
    if amps < NEAR_NO_LOAD * sheet:
        return "near-no-load"
    return "low" if amps < (1.0 - AS_THE_SHEET) * sheet else "as-the-sheet"


def volts_start(job: Job) -> str:
    """Hold the lowest volts during a start."""
    began = job.session.clock
    started = fresh_start(job)
    if started == "stays-off":
        return "stays-off"
    closed = last_start(job, began)
    until = min(closed + 8.0, job.session.clock)
    _, volts = job.session.channel(_volts_at(job), closed, until)
    _, amps = job.session.channel("motor_current", closed, until)
    if not np.any(amps > NO_CURRENT):
        return "no-volts" if job.place == "motor-lead" else "holds-up"
    volts = volts[amps > NO_CURRENT]
    lowest = job.note(
        "lowest", "Lowest during the start", job.instruments.volts(float(np.min(volts))), "voltage"
    )
    rated = job.session.rig.motor.rated_voltage
    if lowest < 0.1 * rated:
        return "no-volts"
    if lowest >= GOOD_START_VOLTS * rated:
        return "holds-up"
    return "sags" if lowest >= POOR_START_VOLTS * rated else "sags-deep"


def volts_run(job: Job) -> str:
    """Read the volts while it runs near cut-out."""
    began = job.session.clock
    if fresh_start(job) != "pumping":
        return "never-ran"
    wait_for_stop(job, RUN_LIMIT)
    stopped = job.happened("contacts-open", began + 1.0) or job.happened("protector-tripped", began)
    at = (stopped or job.session.clock) - 0.2
    volts = job.note(
        "volts",
        "Near cut-out",
        job.instruments.volts(job.mean(_volts_at(job), at - BEFORE_STOP, at)),
        "voltage",
    )
    rated = job.session.rig.motor.rated_voltage
    if volts < 0.1 * rated:
        return "no-volts"
    if volts < LEAST_RUN_VOLTS * rated:
        return "low"
    return "right" if volts >= GOOD_RUN_VOLTS * rated else "lowish"


def _volts_at(job: Job) -> str:
    return "supply_voltage" if job.place == "supply" else "motor_terminal_voltage"


def volt_drop_contact(job: Job) -> str:
    """Measure across each pole of the switch with the motor running."""
    need_power(job.session)
    if not is_pumping(job) and get_pumping(job) != "pumping":
        return "no-current"
    job.session.run(BEFORE_STOP)
    amps = job.peak("motor_current", job.session.clock - BEFORE_STOP)
    drop = job.instruments.volts(amps * job.seen("switch.contact_ohm"))
    job.note("drop", "Lost across one pole", drop, "voltage")
    if drop >= DROP_LIMIT:
        return "over-limit"
    return "worth-noting" if drop >= DROP_NOTED else "under-limit"


def capacitor(job: Job) -> str:
    """Measure the start capacitor, discharged and disconnected."""
    low, high = (microfarads * 1e-6 for microfarads in job.session.rig.motor.start_capacitor)
    measured = job.instruments.capacitance((low + high) / 2.0 * job.seen("motor.start_cap_factor"))
    job.note(
        "start", "Start capacitor", measured, "capacitance", f"marked {low * 1e6:g} to {high * 1e6:g} µF"
    )
    run = job.instruments.capacitance(job.session.rig.motor.run_capacitance)
    job.note(
        "run",
        "Run capacitor",
        run,
        "capacitance",
        f"marked {job.session.rig.motor.run_capacitance * 1e6:g} µF",
    )
    if measured < 0.1 * low:
        return "start-open"
    return "start-low" if measured < low else "both-in-range"


def direct_supply(job: Job) -> str:
    """Try a start as it is fed, then one straight from a good outlet."""
    first, first_time = _timed_start(job)
    if first == "stays-off":
        return "stays-off"
    with job.session.fed_directly():
        second, second_time = _timed_start(job)
    stop_by_lever(job)
    job.note("as_fed", "Start as it is fed", job.instruments.stopwatch(first_time), "duration")
    job.note("direct", "Start fed straight", job.instruments.stopwatch(second_time), "duration")
    if second != "pumping":
        return "still-fails"
    if first != "pumping":
        return "starts-now"
    return "starts-easier" if second_time < CLEARLY_QUICKER * first_time else "no-difference"


def _timed_start(job: Job) -> tuple[Started, float]:
    began = job.session.clock
    started = fresh_start(job)
    closed = last_start(job, began)
    times, amps = job.session.channel("motor_current", closed, job.session.clock)
    high = times[amps > STARTED_SHARE * job.session.rig.motor.full_load_current]
    return started, float(high[-1]) - closed if len(high) else 0.0
