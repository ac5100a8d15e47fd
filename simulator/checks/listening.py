"""Checks by ear: while it pumps, at the stop, when all is quiet."""

import math
from collections.abc import Callable, Mapping

import numpy as np

from simulator import instruments as seen
from simulator.checks import senses
from simulator.checks.hand import (
    Job,
    bleed_to,
    get_pumping,
    is_pumping,
    let_it_stop,
    need_power,
    piloted,
    put_back_outlet,
    stop_by_lever,
    wait_for_pressure,
)
from simulator.checks.spread import PSI
from simulator.flows import flows
from simulator.pumping import pumping

ENOUGH_PRESSURE = 60.0 * PSI  # below it a small leak is not loud enough to judge [Pa]
FILLING_LIMIT = 600.0  # to get there from empty [s]
FILLS_QUICKLY = 60.0  # from cut-in to cut-out [s]
ROOM_SHARE = 0.7  # of cut-in: bled so far before it is listened to [-]
FED = 15.0  # outlet open before hoses are listened to [s]
LISTENED, LEAST_LISTENED = 10.0, 3.0  # at one place [s]
AFTER_STOP = 60.0  # how long one listens after the stop [s]
VENT_WITHIN = 15.0  # of the stop a vent opens: at once, or as oil pressure or speed falls [s]
KNOCKS = 0.8  # knock that is heard [-]
SETTLED_AFTER = 600.0  # a machine that long at rest is settled [s]
SETTLED_AGAIN_CHARGE = 120.0  # to listen at one more place [s]
EMPTY = 5.0 * PSI  # nothing left to hear [Pa]
STANDING_RPM = 5.0  # slower it stands still [rpm]
SQUEAL_SLIP = 0.03  # a belt that slips more squeals [-]; common practice, no source
GROWL_SHARE = 1.3  # of full-load current: a motor so overdriven growls [-]; common practice, no source

RELIEFS = ("lp-tank-relief", "lp-interstage-relief", "lp-head-line-relief")
VENTS = ("lp-unloader-port", "lp-pump-vent", "lp-dump-port")

_NOT_PUMPING = {"stalls": "hums-only", "dead-silent": "dead-silent", "stays-off": "stays-off"}


def listen_run(job: Job) -> str:
    """Hold the tube to one place while the machine pumps."""
    need_power(job.session)
    began = pump_for_a_while(job)
    if isinstance(began, str):
        return _NOT_PUMPING[began]
    if job.place in _SOUNDS:
        return _SOUNDS[job.place](job, began)
    sound = _hiss(job.air_at(job.place, began))
    return "relief-blows" if sound == "blow" and job.place in RELIEFS else sound


def _motor(job: Job, began: float) -> str:
    """Listen at the motor: overdriven it growls, worn bearings rumble."""
    rig = job.session.rig
    if rig.has_engine:
        return "usual-sound"
    overdriven = job.mean("motor_current", began) > GROWL_SHARE * rig.electric_motor.full_load_current
    if overdriven:
        return "growl"
    return "rumble" if seen.motor_rumbles(job.physical) else "usual-sound"


def _belt(job: Job, _began: float) -> str:
    """Listen at the belt."""
    return "squeal" if belt_slip(job) > SQUEAL_SLIP else "usual-sound"


def _filter(job: Job, began: float) -> str:
    """Listen at the intake filter."""
    return "chuff" if job.air_at(job.place, began) > senses.PUFFS else "usual-sound"


def _breather(job: Job, began: float) -> str:
    """Listen at the breather."""
    return "chuff" if job.air_at(job.place, began) > senses.puffs(job.session.rig) else "usual-sound"


def _crank(job: Job, _began: float) -> str:
    """Listen at the crankcase and the flywheel's hub."""
    if job.physical["drive.key_state"] == "loose":
        return "clack"
    return "knock" if job.seen("pump.knock_level") > KNOCKS else "usual-sound"


def _hiss(air: float) -> str:
    """Name what so much air sounds like over the pump. [L/min]"""
    if air > senses.BLOW:
        return "blow"
    return "hiss" if air > senses.HEARD_WHILE_PUMPING else "usual-sound"


def feed_shop_line(job: Job) -> None:
    """Open the outlet so that hoses and couplers are under pressure."""
    if not job.session.hands.outlet_open:
        job.session.operate("open-outlet")
        job.session.run(FED)


def _hiss_at_outlet(job: Job, _began: float) -> str:
    """Listen at the hoses with the outlet open, then leave it as it was."""
    was_open = job.session.hands.outlet_open
    feed_shop_line(job)
    began = job.session.clock
    job.session.run(FED)
    sound = _hiss(job.air_at("lp-outlet", began))
    put_back_outlet(job, was_open)
    return sound


# What is listened for where it is more than a hiss.
_SOUNDS: Mapping[str, Callable[[Job, float], str]] = {
    "lp-outlet": _hiss_at_outlet,
    "motor": _motor,
    "belt": _belt,
    "flywheel": _crank,
    "lp-intake": _filter,
    "lp-breather": _breather,
}


def pump_for_a_while(job: Job) -> float | str:
    """Get it pumping against some pressure for as long as one listens, or until it stops.

    Returns
    -------
    float or str
        When the listening began [s], or why it does not pump.
    """
    started: str = "stalls"
    for _ in range(2):
        _make_room(job)
        started = get_pumping(job)
        if started != "pumping":
            return started
        wait_for_pressure(job, ENOUGH_PRESSURE, FILLING_LIMIT)
        began = job.session.clock
        while is_pumping(job) and job.session.clock < began + LISTENED:
            job.session.run(1.0)
        if job.session.clock >= began + LEAST_LISTENED:
            return began
    return "stalls"


def _make_room(job: Job) -> None:
    """Bleed a machine that fills in no time, so that it pumps for as long as one listens."""
    rig = job.session.rig
    if float(rig.reference["recover_s"]) < FILLS_QUICKLY:
        bleed_to(job, ROOM_SHARE * rig.switch.cut_in)


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
    if not is_pumping(job) and get_pumping(job) != "pumping":
        return None
    stopped = let_it_stop(job)
    job.session.run(seconds)
    return stopped


def listen_stop(job: Job) -> str:
    """Listen at one place from the stop on; at an engine, from the moment it unloads."""
    need_power(job.session)
    if not is_pumping(job) and get_pumping(job) != "pumping":
        return "never-ran"
    steady = _steady_at_filter(job)
    stopped = let_it_stop(job)
    if job.place not in VENTS:
        stop_by_lever(job)  # what an idling engine breathes is not what goes on after a stop
    job.session.run(AFTER_STOP)
    late = job.air_at(job.place, job.session.clock - 15.0)
    if job.place in VENTS:
        peak = job.peak_air(job.place, stopped, stopped + VENT_WITHIN)
        return _whoosh(peak, late) if piloted(job.session) else _psst(peak, late)
    if late > senses.HEARD_BY_THE_MACHINE:
        return "hiss-goes-on"
    standing = _standstill(job, stopped)
    early = steady or job.air_at(job.place, standing, standing + 3.0)
    return "sigh" if early > senses.HEARD_WHILE_PUMPING else "no-air"


def _steady_at_filter(job: Job) -> float:
    """What leaves the filter steadily up to the stop: a valve's kicks come with the crank and end with it. [L/min]"""
    if job.place != "lp-intake":
        return 0.0
    state, modes = job.session.snapshot.state, job.session.snapshot.modes
    hands, parameters = job.session.hands.positions(), job.session.parameters
    pumped = pumping(state, hands, parameters)
    return senses.litres_per_minute(flows(state, modes, hands, parameters, pumped).gasket_back)


def _whoosh(peak: float, late: float) -> str:
    """Name the blow at the dump port of an engine that idles: what the pump still takes in goes out there. [L/min]"""
    if late > senses.BLOW:
        return "whoosh-while-idling"
    return "no-psst" if peak < senses.FEEBLE else "psst-then-silent"


def _standstill(job: Job, stopped: float) -> float:
    """Moment the flywheel came to rest after the stop. [s]"""
    times, speeds = job.session.channel("pump_speed_rpm", stopped, job.session.clock)
    turning = times[speeds > STANDING_RPM]
    return float(turning[-1]) if len(turning) else stopped


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
    at_rest = _seconds_at_rest(job)
    if session.hands.lever_on:
        session.operate("stop")
    if at_rest >= SETTLED_AFTER:
        job.charge = SETTLED_AGAIN_CHARGE
    else:
        session.run(SETTLED_AFTER - at_rest)
    was_open = session.hands.outlet_open
    if job.place == "lp-outlet":
        feed_shop_line(job)
    began = session.clock
    session.run(LISTENED)
    put_back_outlet(job, was_open)
    if job.now("receiver_gauge_pressure") < EMPTY:
        return "nothing-left"
    air = job.air_at(job.place, began)
    if air > senses.BLOW:
        return "strong-blow"
    return "faint-hiss" if air > senses.HEARD_IN_QUIET else "silent"


def _seconds_at_rest(job: Job) -> float:
    """How long the pump has stood, as anyone would know who stood by; a cold machine for ever. [s]"""
    times, speeds = job.session.channel("pump_speed_rpm")
    ran = times[speeds > STANDING_RPM]
    return job.session.clock - float(ran[-1]) if len(ran) else math.inf


def vent_time(job: Job) -> str:
    """Time the loud part of the blow where this machine vents."""
    stopped = stop_and_wait(job, AFTER_STOP)
    if stopped is None:
        return "never-ran"
    times, flows = job.session.channel(f"leak:{job.place}", stopped, job.session.clock)
    loud = times[flows * senses.litres_per_minute(1.0) > _ends(job)]
    if not len(loud):
        return "none"
    if loud[-1] > np.max(times) - 1.0:
        return "endless"
    seconds = job.instruments.stopwatch(float(loud[-1]) - stopped)
    expected = float(job.session.rig.reference["vent_at_stop_s"])
    job.note("vent_time", "Blow at the stop", seconds, "duration")
    job.note("sheet", "The sheet's time", expected, "duration")
    return "drawn-out" if seconds > 2.0 * expected + 1.0 else "about-right"


def _ends(job: Job) -> float:
    """Air at which an ear calls a vent over: two stages have a long soft part that is not counted. [L/min]"""
    return senses.PSST_ENDS if job.session.rig.stages == 1 else senses.LOUD_PART_ENDS
