"""Checks with clamp and voltmeter on the live machine."""

from collections.abc import Sequence

import numpy as np

from simulator import instruments as seen
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
from simulator.checks.words import CannotTake

# Limits of a judgement; common practice, no source.
LATE_RUN_UP = 2.5  # a start that lasts longer is late [s]
STARTED_SHARE = 2.0  # of full-load current: below it the start is over [-]
STILL_HIGH_SHARE = 1.8  # of full-load current some seconds after the start [-]
LOW_INRUSH_SHARE = 0.85  # of what locked rotor takes at this supply [-]
START_LEAD_SHARE = 0.05  # of locked-rotor current: a start winding that takes less is not fed [-]
START_LEAD_LEFT = 3.0  # run so long, the start winding should be out [s]
HIGH_OF_SHEET, LOW_OF_SHEET = 0.07, 0.05  # departures that mean nothing [-]
NEAR_NO_LOAD = 0.68  # of the sheet [-]
VERY_HIGH = 1.5  # of full-load current [-]
GOOD_START_VOLTS = 0.88  # of the plate's [-]
POOR_START_VOLTS = 0.78  # of the plate's [-]
HUMMING_VOLTS = 0.82  # of the plate's, with the rotor locked [-]
GOOD_RUN_VOLTS = 0.96  # of the plate's [-]
LEAST_RUN_VOLTS = 0.90  # of the plate's: the usual limit of motor makers [-]
NO_VOLTS = 0.1  # of the plate's [-]
LINE_THERE = 0.7  # of the best pair: less, and one line is missing [-]
UNEQUAL_VOLTS = 0.01  # beyond it a motor must be spared (NEMA MG 1, part 14, from memory) [-]
AMPS = ("motor_current", "motor_current_2", "motor_current_3")
VOLTS = ("motor_terminal_voltage", "motor_terminal_voltage_2", "motor_terminal_voltage_3")
LINE_PAIRS = ("Line 1 to line 2", "Line 2 to line 3", "Line 3 to line 1")
DROP_LIMIT = 0.5  # [V]
DROP_NOTED = 0.2  # [V]
COIL_CURRENT = 0.2  # of a starter's coil, all that a pilot switch carries [A]
CLEARLY_QUICKER = 0.75  # of the time the start took before [-]
NEEDLE_SEEN = 0.15  # error of an eye that judges how long a needle stands high [s]
SEEN_QUICKER = 0.4  # an eye tells no smaller difference [s]
CLAMPED = 1.0  # a clamp settles in so long [s]
BEFORE_STOP = 3.0  # near cut-out: the last seconds before the contacts open [s]
REARM = 8.0 * PSI  # bled below cut-in, so that it starts for certain [Pa]
LIVE_DEAD = 1.0  # after the lever is at OFF nothing moves any more [s]

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
    """Hold the peak at a start and time how soon it falls; on a single-phase motor clamp the start lead as well."""
    motor = job.session.rig.electric_motor
    began = job.session.clock
    started = fresh_start(job)
    if started in _NO_START:
        return _NO_START[started]
    closed = last_start(job, began)
    times, amps = job.session.channel("motor_current", closed, job.session.clock)
    peak = job.note("peak", "Inrush, peak hold", job.instruments.clamp(float(np.max(amps))), "current")
    high = times[amps > STARTED_SHARE * motor.full_load_current]
    lasted = float(high[-1]) - closed if len(high) else 0.0
    job.note("lasted", "Until it fell away", _by_needle(job, lasted), "duration")
    lead = _start_lead(job, closed, started) if motor.kind == "single-phase" else ""
    if lead:
        return lead
    if started == "stalls":
        return "stays-locked"
    if amps[-1] > STILL_HIGH_SHARE * motor.full_load_current:
        return "stays-very-high"
    if lasted < LATE_RUN_UP:
        return "short-inrush"
    return "low-long-inrush" if peak < LOW_INRUSH_SHARE * motor.locked_rotor_current else "long-inrush"


def _start_lead(job: Job, closed: float, started: Started) -> str:
    """Clamp the start winding's lead over the same start; what is odd about it, or nothing."""
    motor = job.session.rig.electric_motor
    times, amps = job.session.channel("start_winding_current", closed, job.session.clock)
    peak = job.instruments.clamp(float(np.max(amps)))
    job.note("start_lead", "Start winding's lead, peak hold", peak, "current")
    limit = START_LEAD_SHARE * motor.locked_rotor_current
    if peak < limit and started == "stalls":
        return "start-lead-dead"
    late = amps[times > closed + START_LEAD_LEFT]
    stays = started == "pumping" and len(late) and float(np.min(late)) > limit
    return "start-lead-stays" if stays else ""


def amps_run(job: Job) -> str:
    """Read the running current just after cut-in and near cut-out."""
    motor = job.session.rig.electric_motor
    began = job.session.clock
    started = fresh_start(job)
    if started != "pumping":
        return _NO_START.get(started, "stalls-at-start")
    _note_amps(job, "at_cut_in", "Near cut-in", job.session.clock)
    if _start_lead_carries(job):
        stop_by_lever(job)
        return "start-lead-stays"
    ended = wait_for_stop(job, RUN_LIMIT)
    stopped = job.happened("contacts-open", began + 1.0) if ended == "cut-out" else None
    at = (stopped or job.happened("protector-tripped", began) or job.session.clock) - 0.2
    top = _note_amps(job, "near_cut_out", "Near cut-out", at)
    if ended == "trip":
        return "trips-at-plate-amps" if top <= 1.03 * motor.full_load_current else "trips-on-the-way"
    gauge = job.mean("receiver_gauge_pressure", at - BEFORE_STOP, at)
    sheet = job.note("sheet", "The sheet's figure there", job.from_sheet("motor_A", gauge), "current")
    return _against_sheet(top, sheet, motor.full_load_current)


def _start_lead_carries(job: Job) -> bool:
    """Clamp the start winding's lead of a running single-phase motor, which should carry nothing."""
    motor = job.session.rig.electric_motor
    if motor.kind != "single-phase":
        return False
    amps = job.mean("start_winding_current", job.session.clock - CLAMPED)
    if amps < START_LEAD_SHARE * motor.locked_rotor_current:
        return False
    job.note("start_lead", "Start winding's lead", job.instruments.clamp(amps), "current")
    return True


def _note_amps(job: Job, name: str, title: str, at: float) -> float:
    return job.note(name, title, job.instruments.clamp(_amps(job, at - BEFORE_STOP, at)), "current")


def _amps(job: Job, since: float, until: float | None = None) -> float:
    """Current of the line that takes most, as a mean over a time. [A]"""
    return max(job.mean(channel, since, until) for channel in AMPS)


def lowest_volts(job: Job, since: float, until: float) -> np.ndarray:
    """Lowest volts at the check's place at each sample of a time; at the motor of its three pairs. [V]"""
    channels = ("supply_voltage",) if job.place == "supply" else VOLTS
    return np.asarray(np.min([job.session.channel(channel, since, until)[1] for channel in channels], axis=0))


def _against_sheet(amps: float, sheet: float, full_load: float) -> str:
    if amps > VERY_HIGH * full_load:
        return "very-high"
    if amps > (1.0 + HIGH_OF_SHEET) * sheet:
        return "high"
    if amps < NEAR_NO_LOAD * sheet:
        return "near-no-load"
    return "low" if amps < (1.0 - LOW_OF_SHEET) * sheet else "as-the-sheet"


def volts_idle(job: Job) -> str:
    """Lever at OFF, read the volts at the disconnect between all lines."""
    need_power(job.session)
    stop_by_lever(job)
    job.session.run(LIVE_DEAD)
    rated = job.session.rig.electric_motor.rated_voltage
    between = [
        job.instruments.volts(volts)
        for volts in seen.idle_volts(job.physical, job.now("supply_voltage"), three_phase=_three_phase(job))
    ]
    titles = LINE_PAIRS if len(between) > 1 else ("At the disconnect",)
    for i, volts in enumerate(between):
        job.note(f"volts_{i + 1}", titles[i], volts, "voltage")
    mean = sum(between) / len(between)
    if max(between) < NO_VOLTS * rated:
        return "no-volts"
    if min(between) < LINE_THERE * max(between):
        return "one-line-missing"
    if unbalance(between) > UNEQUAL_VOLTS:
        return "unequal"
    if mean < LEAST_RUN_VOLTS * rated:
        return "low"
    return "right" if mean >= GOOD_RUN_VOLTS * rated else "lowish"


def _three_phase(job: Job) -> bool:
    return job.session.rig.motor.kind == "three-phase"


def unbalance(values: Sequence[float]) -> float:
    """Worst deviation from the mean over the mean, as motor makers count it (NEMA MG 1, part 14, from memory). [-]"""
    mean = sum(values) / len(values)
    return max(abs(value - mean) for value in values) / mean if mean > 0.0 else 0.0


def volts_start(job: Job) -> str:
    """Hold the lowest volts during a start."""
    began = job.session.clock
    started = fresh_start(job)
    if started == "stays-off":
        return "stays-off"
    closed = last_start(job, began)
    until = min(closed + 8.0, job.session.clock)
    volts = lowest_volts(job, closed, until)
    _, amps = job.session.channel("motor_current", closed, until)
    if not np.any(amps > NO_CURRENT):
        return "no-volts" if job.place == "motor-lead" else "holds-up"
    volts = volts[amps > NO_CURRENT]
    lowest = job.note(
        "lowest", "Lowest during the start", job.instruments.volts(float(np.min(volts))), "voltage"
    )
    rated = job.session.rig.electric_motor.rated_voltage
    if lowest < NO_VOLTS * rated:
        return "no-volts"
    if lowest >= GOOD_START_VOLTS * rated:
        return "holds-up"
    return "sags" if lowest >= POOR_START_VOLTS * rated else "sags-deep"


def volts_run(job: Job) -> str:
    """Read the volts while it runs near cut-out, or while it hums if it will not turn."""
    began = job.session.clock
    started = fresh_start(job)
    if started == "stalls":
        return _volts_while_it_hums(job, last_start(job, began))
    if started != "pumping":
        return "never-ran"
    wait_for_stop(job, RUN_LIMIT)
    stopped = job.happened("contacts-open", began + 1.0) or job.happened("protector-tripped", began)
    at = (stopped or job.session.clock) - 0.2
    running = float(np.mean(lowest_volts(job, at - BEFORE_STOP, at)))
    volts = job.note("volts", "Near cut-out", job.instruments.volts(running), "voltage")
    rated = job.session.rig.electric_motor.rated_voltage
    if volts < NO_VOLTS * rated:
        return "no-volts"
    if volts < LEAST_RUN_VOLTS * rated:
        return "low"
    return "right" if volts >= GOOD_RUN_VOLTS * rated else "lowish"


def _volts_while_it_hums(job: Job, closed: float) -> str:
    hums = float(np.mean(lowest_volts(job, closed + 0.5, closed + BEFORE_STOP)))
    volts = job.note("volts", "While it hums", job.instruments.volts(hums), "voltage")
    holds = volts >= HUMMING_VOLTS * job.session.rig.electric_motor.rated_voltage
    return "hums-volts-hold" if holds else "hums-volts-down"


def volt_drop_contact(job: Job) -> str:
    """Measure across one contact or joint with the motor running, or with the switch closed if it will not run."""
    need_power(job.session)
    before = job.session.clock
    started = "pumping" if is_pumping(job) else get_pumping(job)
    began = last_start(job, before)
    if started == "dead-silent" and seen.is_open(job.physical, job.place):
        volts = job.instruments.volts(job.now("supply_voltage"))
        job.note("drop", "Across it, closed as it should be", volts, "voltage")
        return "stands-open"
    if started not in ("pumping", "stalls"):
        return "no-current"
    if started == "pumping":
        began = job.session.clock
        job.session.run(BEFORE_STOP)
    drop = job.instruments.volts(_drop(job, _amps(job, began, began + BEFORE_STOP)))
    job.note("drop", "Lost across it", drop, "voltage", f"{drop * 1000.0:.0f} mV" if drop < 1.0 else "")
    if drop >= DROP_LIMIT:
        return "over-limit"
    return "worth-noting" if drop >= DROP_NOTED else "under-limit"


def _drop(job: Job, amps: float) -> float:
    """Volts across one contact or joint with the motor's current in it; a pilot switch carries its coil's. [V]"""
    supply, rig = job.session.parameters.supply, job.session.rig
    if job.place == "motor-lead":
        return amps * supply.joint_resistance
    if job.place == "switch" and rig.control == "pilots-starter":
        return COIL_CURRENT * job.seen("switch.contact_ohm")
    in_loop = (
        2 if rig.motor.kind == "single-phase" else 1
    )  # a single phase goes through two poles, there and back
    return amps * supply.contact_resistance / in_loop


def direct_supply(job: Job) -> str:
    """Try a start as it is fed, then one straight from a good outlet."""
    if job.session.rig.supply.feed != "cord" and not seen.has_cord(job.physical):
        raise CannotTake(
            "This machine is wired in, and no cord lies between: there is nothing to unplug. Its supply is for the "
            "electrician."
        )
    first, first_time = _timed_start(job)
    if first == "stays-off":
        return "stays-off"
    with job.session.fed_directly():
        second, second_time = _timed_start(job)
    stop_by_lever(job)
    job.note("as_fed", "Start as it is fed", _by_needle(job, first_time), "duration")
    job.note("direct", "Start fed straight", _by_needle(job, second_time), "duration")
    if second != "pumping":
        return "still-fails"
    if first != "pumping":
        return "starts-now"
    easier = second_time < CLEARLY_QUICKER * first_time and first_time - second_time > SEEN_QUICKER
    return "starts-easier" if easier else "no-difference"


def _by_needle(job: Job, seconds: float) -> float:
    """Judge how long a needle stood high: closer than by thumb and watch. [s]"""
    return max(job.instruments.eye(seconds, NEEDLE_SEEN), 0.1)


def _timed_start(job: Job) -> tuple[Started, float]:
    began = job.session.clock
    started = fresh_start(job)
    closed = last_start(job, began)
    times, amps = job.session.channel("motor_current", closed, job.session.clock)
    high = times[amps > STARTED_SHARE * job.session.rig.electric_motor.full_load_current]
    return started, float(high[-1]) - closed if len(high) else 0.0
