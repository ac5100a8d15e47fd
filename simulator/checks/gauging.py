"""Checks with gauge and manometer."""

import numpy as np

from simulator import instruments as seen
from simulator.checks.hand import (
    RUN_LIMIT,
    Job,
    bleed_to,
    called_for,
    get_pumping,
    is_pumping,
    need_power,
    restore,
    shut_outlet,
    stop_by_lever,
    wait_for_pressure,
    wait_for_stop,
)
from simulator.checks.listening import pump_for_a_while
from simulator.checks.spread import PSI
from simulator.checks.words import CannotTake

# Limits of a judgement; common practice, no source.
OFF_THE_PLATE = 5.0 * PSI  # [Pa]
GAUGES_AGREE = 6.0 * PSI  # both instruments' errors together [Pa]
DEAF_BELOW = 15.0 * PSI  # under cut-in a control should long have answered [Pa]
RELIEF_TOLERANCE = 0.05  # of the tag: 3 percent, and the gauge [-]
LET_OUT = 15.0 * PSI  # between two readings of two gauges [Pa]
STANDS_ABOVE = 10.0 * PSI  # head line over receiver while pumping [Pa]
ROSE = 3.0 * PSI  # a receiver that gets some air at least [Pa]
LEAPS = 60.0 * PSI  # the same, with nowhere to go [Pa]
STILL_UP, NEARLY_DOWN = 0.6, 0.06  # of cut-out, some seconds after the stop [-]
RECEIVER_FALLING = 3.0 * PSI  # in a minute after the stop, outlet shut [Pa]
HALF_WAY = 60.0 * PSI  # the first reading of a pump-up from empty [Pa]
DEADHEAD_WATCHED = 30.0  # a line with nowhere to go has leapt long before [s]
FITTED_AT_ZERO = 600.0  # to fit a tee, or a gauge in a plug [s]
RAISED, HIGH = 500.0, 5000.0  # crankcase: two and twenty inches of water [Pa]
OFF_THE_SCALE = 10_000.0  # a water manometer a metre high is blown out [Pa]
NEEDLE_BEHIND = 200.0  # the longest a needle can lag [s]
OIL_HOT = 90.0  # of running before a machine that does not load is given up [s]
OIL_NEEDLE = 1.0 * PSI  # of an oil gauge of small span, by eye [Pa]
OIL_READ = 5.0  # the needle is watched so long before the stop [s]
LOW_OIL, NO_OIL = 25.0 * PSI, 3.0 * PSI  # hot, gauge [Pa]
LOADS_WITHIN, VENTS_WITHIN = 8.0, 8.0  # of start and stop [s]; common practice, no source
RING_PULLED, RING_WATCHED = 2.0, 8.0  # [s]
RING_LIFTS = 0.75  # least share of its set pressure at which the ring is pulled [-]
LIFTED_AIR = 60.0  # a relief held open passes more [L/min]
LEFT_HISSING = 1.0  # after the ring was let go [L/min]


def fitted_gauge(job: Job) -> float:
    """What the receiver's own gauge shows at this moment, its own faults in it, before an eye reads it. [Pa]"""
    session = job.session
    times, pressures = session.channel("receiver_gauge_pressure", session.clock - NEEDLE_BEHIND)
    if not len(times):
        times, pressures = np.array([session.clock]), np.array([job.now("receiver_gauge_pressure")])
    stuck_at = float(session.channel("receiver_gauge_pressure")[1][0])
    return float(seen.receiver_gauge(job.physical, times, pressures, stuck_at)[-1])


def tank_gauge(job: Job) -> str:
    """Read the gauge fitted on the manifold."""
    rig = job.session.rig
    shown = job.instruments.fitted_dial(fitted_gauge(job), moving=is_pumping(job))
    job.note("shown", "Receiver gauge", shown, "gauge_pressure")
    if shown <= PSI:
        return "at-zero"
    if shown > rig.receiver.maximum_pressure + OFF_THE_PLATE:
        return "over-vessel-plate"
    if shown > rig.switch.cut_out + OFF_THE_PLATE:
        return "above-cut-out"
    return "below-cut-in" if shown < rig.switch.cut_in - OFF_THE_PLATE else "in-the-band"


def reference_gauge(job: Job) -> str:
    """Couple a proven gauge and compare both at two pressures."""
    if job.now("receiver_gauge_pressure") < 2.0 * LET_OUT:
        raise CannotTake("There is too little pressure to compare two gauges. Pump up first.")
    before = _both_gauges(job, "first")
    bleed_to(job, job.now("receiver_gauge_pressure") - LET_OUT)
    after = _both_gauges(job, "second")
    if before[0] - after[0] < LET_OUT / 3.0 < (before[1] - after[1]) / 2.0:
        return _still_needle(job, before, after)
    difference = (before[0] - before[1] + after[0] - after[1]) / 2.0
    if difference > GAUGES_AGREE:
        return "fitted-reads-high"
    return "fitted-reads-low" if difference < -GAUGES_AGREE else _by_proven_gauge(job)


def _by_proven_gauge(job: Job) -> str:
    """With a gauge that can be believed: does the control answer at cut-in, and does the relief lift where it should?

    Without power, or where the machine does not pump, there is nothing more to see.
    """
    session, rig = job.session, job.session.rig
    if session.hands.isolated or session.hands.locked or session.hands.element_out:
        return "agree"
    shut_outlet(job)
    began = session.clock
    if get_pumping(job) != "pumping":
        asleep = job.now("receiver_gauge_pressure") < rig.switch.cut_in - DEAF_BELOW and not called_for(job)
        return "agree-control-deaf" if asleep and session.hands.lever_on else "agree"
    wait_for_stop(job)
    popped = job.happened("relief-popped", began)
    if popped is None:
        return "agree"
    at = job.mean("receiver_gauge_pressure", popped - 1.0, popped)
    proven = job.note(
        "at_pop", "Proven gauge as the relief pops", job.instruments.reference(at), "gauge_pressure"
    )
    return (
        "agree-relief-early"
        if proven < (1.0 - RELIEF_TOLERANCE) * rig.relief.set_pressure
        else "agree-relief-at-tag"
    )


def _still_needle(job: Job, before: tuple[float, float], after: tuple[float, float]) -> str:
    """Wait by a needle that did not follow: a choked one creeps to where it belongs."""
    job.session.run(NEEDLE_BEHIND)
    job.charge += NEEDLE_BEHIND
    late = _both_gauges(job, "late")
    follows = abs(late[0] - after[0]) > LET_OUT / 3.0
    return "fitted-lags" if follows else "fitted-does-not-move"


def _both_gauges(job: Job, name: str) -> tuple[float, float]:
    true = job.now("receiver_gauge_pressure")
    shown = job.instruments.fitted_dial(fitted_gauge(job))
    fitted = job.note(f"fitted_{name}", "Fitted gauge", shown, "gauge_pressure")
    proven = job.note(f"proven_{name}", "Proven gauge", job.instruments.reference(true), "gauge_pressure")
    return fitted, proven


def head_line_gauge(job: Job) -> str:
    """Fit a gauge at zero, restore power, pump up, read head line against receiver, running and stopped."""
    session = job.session
    session.run(FITTED_AT_ZERO)
    restore(job)
    began, at_start = session.clock, job.now("receiver_gauge_pressure")
    started = get_pumping(job)
    peak_over = job.peak("head_line_gauge_pressure", began) - job.now("receiver_gauge_pressure")
    if started != "pumping":
        return _leapt(job, at_start) if peak_over > LEAPS else "never-ran"
    if not wait_for_pressure(job, HALF_WAY, RUN_LIMIT):
        over = job.peak("head_line_gauge_pressure", began) - job.now("receiver_gauge_pressure")
        if over > LEAPS:
            return _leapt(job, at_start)
        return "stays-below" if is_pumping(job) else "never-ran"
    over = _note_pair(job, "running", "while pumping")
    ended = wait_for_stop(job)
    if over > LEAPS:
        return _leapt(job, at_start)
    if ended != "cut-out":
        stop_by_lever(job)
    return _after_stop(job, over)


def _leapt(job: Job, at_start: float) -> str:
    """Stop a machine whose line has leapt, and say whether the receiver rose at all."""
    rose = job.now("receiver_gauge_pressure") - at_start > ROSE
    stop_by_lever(job)
    return "stands-above-receiver" if rose else "leaps-past-receiver"


def _note_pair(job: Job, name: str, when: str) -> float:
    """Read head line and receiver together; how far the head line stands above. [Pa]"""
    pumping = is_pumping(job)
    head = job.instruments.dial(job.now("head_line_gauge_pressure"), moving=pumping)
    receiver = job.instruments.fitted_dial(job.now("receiver_gauge_pressure"), moving=pumping)
    job.note(f"head_line_{name}", f"Head line {when}", head, "gauge_pressure")
    job.note(f"receiver_{name}", f"Receiver {when}", receiver, "gauge_pressure")
    return head - receiver


def _after_stop(job: Job, over: float) -> str:
    session = job.session
    full = job.now("head_line_gauge_pressure")
    top = job.now("receiver_gauge_pressure")
    session.run(10.0)
    soon = job.now("head_line_gauge_pressure")
    _note_pair(job, "soon", "ten seconds after the stop")
    session.run(50.0)
    late = job.now("head_line_gauge_pressure")
    _note_pair(job, "late", "a minute after the stop")
    falling = top - job.now("receiver_gauge_pressure") > RECEIVER_FALLING
    reference = max(full, top)
    if soon > STILL_UP * reference and falling:
        return (
            "stays-up-receiver-falls" if late > job.now("receiver_gauge_pressure") else "falls-with-receiver"
        )
    if late > STILL_UP * reference:
        return "stays-up-after-stop"
    if late > NEARLY_DOWN * reference and soon - late < 0.3 * soon:
        return "rests-above-zero"
    if soon > NEARLY_DOWN * reference:
        return "falls-slowly-after-stop"
    return "stands-above-receiver" if over > STANDS_ABOVE else "follows-then-zero"


def crankcase_manometer(job: Job) -> str:
    """Read the crankcase's mean pressure while it pumps."""
    need_power(job.session)
    began = pump_for_a_while(job)
    if isinstance(began, str):
        return "never-ran"
    pressure = min(job.mean("crankcase_gauge_pressure", began), OFF_THE_SCALE)
    note = "past the end of the scale" if pressure >= OFF_THE_SCALE else ""
    job.note("crankcase", "Crankcase", pressure, "crankcase_pressure", note)
    if pressure > HIGH:
        return "high"
    return "raised" if pressure > RAISED else "healthy"


def oil_pressure(job: Job) -> str:
    """Read the oil gauge hot, and time how soon it loads after the start and vents after the stop."""
    need_power(job.session)
    session = job.session
    stop_by_lever(job)
    session.run(5.0)
    began = session.clock
    if get_pumping(job, fresh=True) != "pumping":
        return "never-ran"
    called = job.started_at(began) or began
    ended = wait_for_stop(job, OIL_HOT)
    loaded = job.happened("unloader-shut", called)
    if job.air_at("lp-pump-vent", session.clock - OIL_READ) > LIFTED_AIR and is_pumping(job):
        loaded = None  # it went on blowing: what was heard at first was not the valve shutting
    if ended == "limit" and loaded is not None:
        ended = wait_for_stop(job)
    stopped = (job.stopped_at(called) if ended == "cut-out" else None) or session.clock
    stop_by_lever(job)
    session.run(30.0)
    oil = job.mean("oil_gauge_pressure", stopped - OIL_READ, stopped - 0.2)
    pressure = max(job.instruments.eye(oil, OIL_NEEDLE), 0.0)
    job.note("oil", "Oil, hot", pressure, "gauge_pressure")
    if loaded is not None:
        job.note("loads", "From start to loaded", job.instruments.stopwatch(loaded - called), "duration")
    vented = job.peak_air("lp-pump-vent", stopped, stopped + VENTS_WITHIN) > LIFTED_AIR
    if pressure < NO_OIL:
        return "no-pressure"
    if pressure < LOW_OIL:
        return "low-and-late" if loaded is not None else "low-never-loads"
    if loaded is None:
        return "right-never-loads"
    return "right-both-ways" if vented else "right-never-vents"


def _enough_under_the_ring(job: Job) -> None:
    """Pump up till a lifted seat is blown clean.

    Raises
    ------
    CannotTake
        Where it does not get there.
    """
    wanted = RING_LIFTS * job.session.rig.relief.set_pressure
    if job.now("receiver_gauge_pressure") >= wanted:
        return
    need_power(job.session)
    shut_outlet(job)
    if get_pumping(job) == "pumping":
        wait_for_stop(job)
    if job.now("receiver_gauge_pressure") < wanted:
        raise CannotTake(
            "The ring is pulled at three quarters of the set pressure or more: below that dirt stays on the seat. The "
            "receiver does not get there."
        )


def relief_ring(job: Job) -> str:
    """Pull the relief's ring for a moment with pressure under it, and see whether it shuts again."""
    session = job.session
    _enough_under_the_ring(job)
    before = session.clock
    session.operate("pull-ring")
    session.run(RING_PULLED)
    lifted = job.air_at("lp-tank-relief", before)
    session.operate("release-ring")
    session.run(RING_WATCHED)
    left = job.air_at("lp-tank-relief", session.clock - 3.0)
    if lifted < LIFTED_AIR:
        return "ring-stuck" if seen.relief_is_fitted(job.physical) else "no-ring"
    return "does-not-reseat" if left > LEFT_HISSING else "pops-and-shuts"
