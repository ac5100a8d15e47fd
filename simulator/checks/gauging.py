"""Checks with gauges, thermometer, tachometer, manometer and rule."""

import math

from simulator import instruments as seen
from simulator.checks.electrical import fresh_start
from simulator.checks.hand import (
    RUN_LIMIT,
    Job,
    bleed_to,
    get_pumping,
    is_pumping,
    need_power,
    shut_outlet,
    stop_by_lever,
    wait_for_pressure,
    wait_for_stop,
)
from simulator.checks.listening import belt_slip, pump_for_a_while
from simulator.checks.spread import PSI
from simulator.checks.words import CannotTake

# Limits of a judgement; common practice, no source.
OFF_THE_PLATE = 5.0 * PSI  # [Pa]
GAUGES_AGREE = 6.0 * PSI  # both instruments' errors together [Pa]
LET_OUT = 15.0 * PSI  # between two readings of two gauges [Pa]
STANDS_ABOVE = 10.0 * PSI  # head line over receiver while pumping [Pa]
LEAPS = 60.0 * PSI  # the same, with nowhere to go [Pa]
STILL_UP, NEARLY_DOWN = 0.6, 0.06  # of cut-out, some seconds after the stop [-]
RECEIVER_FALLING = 3.0 * PSI  # in a minute after the stop, outlet shut [Pa]
HALF_WAY = 60.0 * PSI  # the first reading of a pump-up from empty [Pa]
HEAD_DIFFERENCE = 5.0  # between two heads alike [K]
HEAD_MARGIN = 4.0  # above the range the sheet gives for ten minutes [K]
HOT_MARGIN = 12.0  # of a line, above the sheet's range [K]
COOL_MARGIN = 20.0  # below the sheet's range [K]
ROOM_OF_SHEET = 20.0 + 273.15  # [K]
HEATED = 600.0  # pumped before heads are compared [s]
HOT_ROOM = 35.0 + 273.15  # [K]
CASE_SHARE = 0.6  # of the winding's rise that shows on the case [-]
HOT_CASE = 90.0 + 273.15  # [K]
SLIPS = 0.03  # [-]
OFF_SPEED = 0.04  # [-]
SLACK, VERY_SLACK = 1.25, 2.0  # deflection over the rule [-]
RAISED, HIGH = 500.0, 5000.0  # crankcase: two and twenty inches of water [Pa]
CUPFUL = 0.5  # [kg]


def tank_gauge(job: Job) -> str:
    """Read the gauge fitted on the manifold."""
    rig = job.session.rig
    shown = job.instruments.fitted_dial(job.now("receiver_gauge_pressure"), moving=is_pumping(job))
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
        return "fitted-does-not-move"
    difference = (before[0] - before[1] + after[0] - after[1]) / 2.0
    if difference > GAUGES_AGREE:
        return "fitted-reads-high"
    return "fitted-reads-low" if difference < -GAUGES_AGREE else "agree"


def _both_gauges(job: Job, name: str) -> tuple[float, float]:
    true = job.now("receiver_gauge_pressure")
    fitted = job.note(f"fitted_{name}", "Fitted gauge", job.instruments.fitted_dial(true), "gauge_pressure")
    proven = job.note(f"proven_{name}", "Proven gauge", job.instruments.reference(true), "gauge_pressure")
    return fitted, proven


def head_line_gauge(job: Job) -> str:
    """Fit a gauge at zero, restore power, pump up, read head line against receiver, running and stopped."""
    session = job.session
    session.run(600.0)
    _restore(job)
    if get_pumping(job) != "pumping":
        return "never-ran"
    if not wait_for_pressure(job, HALF_WAY, RUN_LIMIT):
        return "stays-below" if is_pumping(job) else "never-ran"
    over = _note_pair(job, "running", "while pumping")
    ended = wait_for_stop(job)
    if over > LEAPS:
        stop_by_lever(job)
        return "leaps-past-receiver"
    if ended != "cut-out":
        stop_by_lever(job)
    return _after_stop(job, over)


def _restore(job: Job) -> None:
    """Give power back after work at zero: valves shut, lock off, isolator in."""
    session = job.session
    if session.hands.head_vent_open:
        session.operate("shut-head-vent")
    shut_outlet(job)
    if session.hands.locked:
        session.operate("unlock")
    if session.hands.isolated:
        session.operate("restore")


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


def head_temps(job: Job) -> str:
    """Keep it pumping ten minutes near cut-out and read the same spot on each head."""
    session = job.session
    rig = session.rig
    if fresh_start(job) != "pumping":
        return "never-ran"
    before = job.now("head_temperature")
    until = session.clock + HEATED
    while session.clock < until:
        if not wait_for_pressure(job, rig.switch.cut_out - 3.0 * PSI, until - session.clock):
            break
        bleed_to(job, rig.switch.cut_out - 12.0 * PSI)
    if not is_pumping(job):
        return "never-ran"
    one = job.note("head_1", "Head over cylinder 1", _spot(job, "head_temperature_1"), "temperature")
    two = job.note("head_2", "Head over cylinder 2", _spot(job, "head_temperature_2"), "temperature")
    low, high = _expected_heads(job, before)
    if abs(one - two) > HEAD_DIFFERENCE:
        return "one-cooler" if max(one, two) < (low + high) / 2.0 else "one-hotter"
    if min(one, two) > high + HEAD_MARGIN:
        return "both-hot"
    return "both-cool" if max(one, two) < low - COOL_MARGIN else "both-as-usual"


def _expected_heads(job: Job, before: float) -> tuple[float, float]:
    """Range the heads should stand in: the sheet's is for long pumping, ten minutes go part of the way there.

    A head warms as a first-order body (common practice, no source).
    """
    pump, room = job.session.rig.pump, job.seen("cooling.ambient_c") + 273.15
    left = math.exp(-HEATED * pump.head_heat_loss / pump.head_heat_capacity)
    low, high = (room + (celsius + 273.15 - ROOM_OF_SHEET) for celsius in job.session.rig.reference["head_C"])
    return low + (before - low) * left, high + (before - high) * left


def _spot(job: Job, channel: str) -> float:
    return job.instruments.thermometer(job.now(channel))


def line_temps(job: Job) -> str:
    """Read one place with the thermometer as the machine stands."""
    reference = job.session.rig.reference
    room = job.seen("cooling.ambient_c") + 273.15
    if job.place == "lp-intake":
        shown = job.note("air", "Air drawn in", job.instruments.thermometer(room), "temperature")
        return "room-hot" if shown > HOT_ROOM else "as-usual"
    if job.place == "motor":
        case = room + CASE_SHARE * (job.now("winding_temperature") - room)
        shown = job.note("case", "Motor case", job.instruments.thermometer(case), "temperature")
        return "hotter" if shown > HOT_CASE else "as-usual"
    at_pump = job.place == "line-pump-end"
    channel, range_key = (
        ("head_line_temperature", "line_pump_end_C")
        if at_pump
        else ("line_temperature_at_receiver", "line_tank_end_C")
    )
    shown = job.note("line", "Head line", _spot(job, channel), "temperature")
    return "hotter" if shown > reference[range_key][1] + 273.15 + HOT_MARGIN else "as-usual"


def pump_rpm(job: Job) -> str:
    """Read flywheel and motor speed while it pumps."""
    need_power(job.session)
    if isinstance(pump_for_a_while(job), str):
        return "not-turning"
    rig = job.session.rig
    pump = job.note(
        "flywheel", "Flywheel", job.instruments.tachometer(job.now("pump_speed_rpm")), "speed_rpm"
    )
    motor = job.note("motor", "Motor", job.instruments.tachometer(job.now("motor_speed_rpm")), "speed_rpm")
    if belt_slip(job) > SLIPS:
        return "belt-slips"
    if abs(motor / rig.motor.rated_speed_rpm - 1.0) > 3.0 * OFF_SPEED:
        return "motor-off-speed"
    if pump > (1.0 + OFF_SPEED) * rig.pump.speed_rpm:
        return "flywheel-fast"
    return "both-slow" if pump < (1.0 - OFF_SPEED) * rig.pump.speed_rpm else "on-plate"


def belt_tension(job: Job) -> str:
    """Press the belt at mid-span with the section's force."""
    rule = job.session.rig.drive.deflection
    deflection = job.instruments.rule(seen.belt_deflection(job.physical, rule))
    job.note("deflection", "Deflection at mid-span", deflection, "small_length")
    job.note("rule", "Deflection by the rule", rule, "small_length")
    if deflection > VERY_SLACK * rule:
        return "very-slack"
    return "slack" if deflection > SLACK * rule else "as-the-rule"


def crankcase_manometer(job: Job) -> str:
    """Read the crankcase's mean pressure while it pumps."""
    need_power(job.session)
    began = pump_for_a_while(job)
    if isinstance(began, str):
        return "never-ran"
    pressure = job.mean("crankcase_gauge_pressure", began)
    job.note("crankcase", "Crankcase", pressure, "crankcase_pressure")
    if pressure > HIGH:
        return "high"
    return "raised" if pressure > RAISED else "healthy"


def drain_water(job: Job) -> str:
    """Crack the drain and catch the water."""
    if job.now("receiver_gauge_pressure") < PSI:
        return "nothing-comes"
    session = job.session
    before = job.now("receiver_water")
    was_open = session.hands.drain_open
    if not was_open:
        session.operate("open-drain")
    session.run(3.0)
    if not was_open:
        session.operate("shut-drain")
    caught = before - job.now("receiver_water")
    job.note("water", "Water caught", caught / 1000.0, "water_volume")
    return "litres" if caught > CUPFUL else "cupful"
