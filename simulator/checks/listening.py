"""Checks by ear: while it pumps, at the stop, when all is quiet."""

import numpy as np

from simulator.checks import senses
from simulator.checks.hand import (
    Job,
    get_pumping,
    is_pumping,
    need_power,
    stop_by_lever,
    wait_for_pressure,
    wait_for_stop,
)
from simulator.checks.spread import PSI

ENOUGH_PRESSURE = 60.0 * PSI  # below it a small leak is not loud enough to judge [Pa]
FILLING_LIMIT = 600.0  # to get there from empty [s]
LISTENED = 10.0  # at one place [s]
AFTER_STOP = 60.0  # how long one listens after the stop [s]
SETTLED_AFTER = 600.0  # a machine that long at rest is settled [s]
SETTLED_AGAIN_CHARGE = 120.0  # to listen at one more place [s]
EMPTY = 5.0 * PSI  # nothing left to hear [Pa]
SQUEAL_SLIP = 0.03  # a belt that slips more squeals [-]; common practice, no source
GROWL_SHARE = 1.3  # of full-load current: a motor so overdriven growls [-]; common practice, no source

_NOT_PUMPING = {"stalls": "hums-only", "dead-silent": "dead-silent", "stays-off": "stays-off"}


def listen_run(job: Job) -> str:
    """Hold the tube to one place while the machine pumps."""
    need_power(job.session)
    began = pump_for_a_while(job)
    if isinstance(began, str):
        return _NOT_PUMPING[began]
    if job.place == "motor":
        overdriven = job.mean("motor_current", began) > GROWL_SHARE * job.session.rig.motor.full_load_current
        return "growl" if overdriven else "usual-sound"
    if job.place == "belt":
        return "squeal" if belt_slip(job) > SQUEAL_SLIP else "usual-sound"
    air = job.air_at(job.place, began)
    if job.place in ("lp-intake", "lp-breather"):
        return "chuff" if air > senses.PUFFS else "usual-sound"
    if air > senses.BLOW:
        return "relief-blows" if job.place == "lp-tank-relief" else "blow"
    return "hiss" if air > senses.HEARD_WHILE_PUMPING else "usual-sound"


def pump_for_a_while(job: Job) -> float | str:
    """Get it pumping against some pressure for as long as one listens.

    Returns
    -------
    float or str
        When the listening began [s], or why it does not pump.
    """
    for _ in range(2):
        started = get_pumping(job)
        if started != "pumping":
            return started
        if not wait_for_pressure(job, ENOUGH_PRESSURE, FILLING_LIMIT) and not is_pumping(job):
            continue
        began = job.session.clock
        job.session.run(LISTENED)
        if is_pumping(job):
            return began
    return began if job.mean("pump_speed_rpm", began) > 0.0 else "stalls"


def belt_slip(job: Job) -> float:
    """Lag of the flywheel behind the motor, as a share. [-]"""
    motor = job.now("motor_speed_rpm")
    return 1.0 - job.now("pump_speed_rpm") * job.session.rig.drive.ratio / motor if motor > 0.0 else 0.0


def stop_and_wait(job: Job, seconds: float) -> float | None:
    """Let it run to its stop, or stop it by the lever, and stay a while.

    Returns
    -------
    float or None
        When the contacts opened [s]; None when it could not be got to run.
    """
    need_power(job.session)
    began = job.session.clock
    if not is_pumping(job) and get_pumping(job) != "pumping":
        return None
    if wait_for_stop(job) != "cut-out":
        stop_by_lever(job)
    stopped = job.happened("contacts-open", began)
    job.session.run(seconds)
    return stopped if stopped is not None else job.session.clock - seconds


def listen_stop(job: Job) -> str:
    """Listen at one place from the stop on."""
    stopped = stop_and_wait(job, AFTER_STOP)
    if stopped is None:
        return "never-ran"
    late = job.air_at(job.place, job.session.clock - 15.0)
    if job.place == "lp-unloader-port":
        return _psst(senses.litres_per_minute(job.peak("leak:lp-unloader-port", stopped, stopped + 5.0)), late)
    if late > senses.HEARD_BY_THE_MACHINE:
        return "hiss-goes-on"
    early = job.air_at(job.place, stopped, stopped + 3.0)
    return "sigh" if early > senses.HEARD_WHILE_PUMPING else "no-air"


def _psst(peak: float, late: float) -> str:
    """Name the blow at the unloader port from its loudest and what is left a minute later. [L/min]"""
    if late > senses.BLOW:
        return "blows-on"
    if late > senses.HEARD_BY_THE_MACHINE:
        return "psst-goes-on"
    if peak < senses.PAPER_STIRS:
        return "no-psst"
    return "feeble-psst" if peak < senses.FEEBLE else "psst-then-silent"


def listen_settled(job: Job) -> str:
    """Listen at one place when the machine has stood for ten minutes."""
    session = job.session
    if session.hands.lever_on:
        session.operate("stop")
    at_rest = _seconds_at_rest(job)
    if at_rest >= SETTLED_AFTER:
        job.charge = SETTLED_AGAIN_CHARGE
    else:
        session.run(SETTLED_AFTER - at_rest)
    began = session.clock
    session.run(LISTENED)
    if job.now("receiver_gauge_pressure") < EMPTY:
        return "nothing-left"
    air = job.air_at(job.place, began)
    if air > senses.BLOW:
        return "strong-blow"
    return "faint-hiss" if air > senses.HEARD_IN_QUIET else "silent"


def _seconds_at_rest(job: Job) -> float:
    """How long the contacts have been open, as anyone would know who stood by. [s]"""
    since = 0.0
    for event in job.session.events:
        if event.what == "contacts-open":
            since = event.t
    return job.session.clock - since


def vent_time(job: Job) -> str:
    """Time the loud part of the blow at the unloader port."""
    stopped = stop_and_wait(job, AFTER_STOP)
    if stopped is None:
        return "never-ran"
    times, flows = job.session.channel("leak:lp-unloader-port", stopped, job.session.clock)
    loud = times[flows * senses.litres_per_minute(1.0) > senses.PSST_ENDS]
    if not len(loud):
        return "none"
    if loud[-1] > np.max(times) - 1.0:
        return "endless"
    seconds = job.instruments.stopwatch(float(loud[-1]) - stopped)
    expected = float(job.session.rig.reference["vent_at_stop_s"])
    job.note("vent_time", "Blow at the stop", seconds, "duration", f"sheet: {expected:g} s")
    return "drawn-out" if seconds > 2.0 * expected + 1.0 else "about-right"
