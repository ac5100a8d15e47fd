"""Checks with the spot thermometer: heads after ten minutes' work, and what the air passes on its way."""

import math
from collections.abc import Mapping, Sequence

from simulator.checks.electrical import fresh_start
from simulator.checks.hand import Job, bleed_to, is_pumping, known_good, wait_for_pressure
from simulator.checks.listening import pump_for_a_while
from simulator.checks.spread import PSI
from simulator.checks.words import CannotTake
from simulator.rig import Rig

# Limits of a judgement; common practice, no source.
HEAD_DIFFERENCE = 5.0  # between two heads, each against what it should be [K]
HEAD_MARGIN = 8.0  # all heads above what they should be [K]
COOL_MARGIN = 20.0  # all heads below [K]
HOT_MARGIN = 12.0  # of a line, above the sheet's range [K]
ZERO_CELSIUS = 273.15
ROOM_OF_SHEET = 20.0 + ZERO_CELSIUS  # [K]
HEATED = 600.0  # pumped before heads are compared [s]
HOT_ROOM = 35.0 + ZERO_CELSIUS  # [K]
CASE_SHARE = 0.6  # of the winding's rise that shows on the case [-]
HOT_CASE = 90.0 + ZERO_CELSIUS  # [K]

# Place: recorded channel, key of the sheet's range, what is read.
_LINES = {
    "line-pump-end": ("head_line_temperature", "line_pump_end_C", "Head line"),
    "line-tank-end": ("line_temperature_at_receiver", "line_tank_end_C", "Head line"),
    "lp-intercooler": ("intercooler_temperature", "interstage_out_C", "Intercooler, outlet"),
}


def heads_of(rig: Rig) -> dict[int, str]:
    """Heads of a rig: number and title of the cylinder below, the first stage before the second."""
    heads = {rig.pump.head_of(cylinder.slug): cylinder.title for cylinder in rig.pump.cylinders}
    return dict(sorted(heads.items()))


def head_temps(job: Job) -> str:
    """Keep it pumping ten minutes near cut-out and read the same spot on each head."""
    rig = job.session.rig
    if fresh_start(job) != "pumping":
        return "never-ran"
    before = _temperatures(job)
    if not _heat(job):
        return "never-ran"
    expected = _expected(job, before)
    excess = {}
    for n, title in heads_of(rig).items():
        shown = job.instruments.thermometer(job.now(f"head_temperature_{n}"))
        excess[n] = job.note(f"head_{n}", f"Head over {title}", shown, "temperature") - expected[n]
    return _compared([excess[n] for n in excess if n <= 2], [excess[n] for n in excess if n > 2])


def _temperatures(job: Job) -> dict[int, float]:
    return {n: job.now(f"head_temperature_{n}") for n in heads_of(job.session.rig)}


def _heat(job: Job) -> bool:
    """Keep it pumping near cut-out against a cracked drain; says whether it went on all the time."""
    session, cut_out = job.session, job.session.rig.switch.cut_out
    until = session.clock + HEATED
    while session.clock < until:
        if not wait_for_pressure(job, cut_out - 3.0 * PSI, until - session.clock):
            break
        bleed_to(job, cut_out - 12.0 * PSI)
    return is_pumping(job)


_sheets: dict[str, tuple[dict[int, float], dict[int, float]]] = {}


def _sheet(job: Job) -> tuple[dict[int, float], dict[int, float]]:
    """Temperatures before and after the same ten minutes, taken when the machine was known good. [K]"""
    key = repr(job.session.rig)
    if key not in _sheets:
        good = known_good(job.session.rig, job.check)
        fresh_start(good)
        before = _temperatures(good)
        _heat(good)
        _sheets[key] = before, _temperatures(good)
    return _sheets[key]


def _expected(job: Job, before: Mapping[int, float]) -> dict[int, float]:
    """What each head should stand at after the ten minutes, in this room and from where it started. [K]

    A head warms as a first-order body (common practice, no source): what it was ahead of the sheet's at the start
    dies away, what the room is ahead of the sheet's does not.
    """
    pump = job.session.rig.pump
    sheet_before, sheet_after = _sheet(job)
    warmer = job.seen("cooling.ambient_c") + ZERO_CELSIUS - ROOM_OF_SHEET
    expected = {}
    for n, after in sheet_after.items():
        loss = pump.head_heat_loss if n <= 2 else pump.second_head_heat_loss
        left = math.exp(-HEATED * loss / pump.head_heat_capacity)
        expected[n] = after + warmer + (before[n] - sheet_before[n] - warmer) * left
    return expected


def _compared(first: Sequence[float], second: Sequence[float]) -> str:
    """Name what the heads tell, each given as its excess over what it should be. [K]"""
    for stage in (first, second):
        if stage and max(stage) - min(stage) > HEAD_DIFFERENCE:
            return "one-hotter" if max(stage) >= -min(stage) else "one-cooler"
    low, high = sum(first) / len(first), sum(second) / len(second) if second else 0.0
    if second and abs(high - low) > 2.0 * HEAD_DIFFERENCE:
        if high > low:
            return "second-stage-hotter" if high >= -low else "first-stage-cooler"
        return "first-stage-hotter" if low >= -high else "second-stage-cooler"
    every = [*first, *second]
    if min(every) > HEAD_MARGIN:
        return "both-hot"
    return "both-cool" if max(every) < -COOL_MARGIN else "both-as-usual"


def line_temps(job: Job) -> str:
    """Read one place with the thermometer: a line with the machine pumping, if it will, the rest as it stands."""
    room = job.seen("cooling.ambient_c") + ZERO_CELSIUS
    if job.place == "lp-intake":
        shown = job.note("air", "Air drawn in", job.instruments.thermometer(room), "temperature")
        return "room-hot" if shown > HOT_ROOM else "as-usual"
    if job.place == "motor":
        return _case(job, room)
    if not (job.session.hands.isolated or job.session.hands.locked or is_pumping(job)):
        pump_for_a_while(job)
    channel, range_key, title = _LINES[job.place]
    shown = job.note("line", title, job.instruments.thermometer(job.now(channel)), "temperature")
    high = job.session.rig.reference[range_key][1] + ZERO_CELSIUS
    return "hotter" if shown > high + HOT_MARGIN else "as-usual"


def _case(job: Job, room: float) -> str:
    """Read the motor's case, which shows a part of what the winding is above the room."""
    if job.session.rig.has_engine:
        raise CannotTake("An engine's case tells nothing: it is hot all over. Read the pump's side instead.")
    case = room + CASE_SHARE * (job.now("winding_temperature") - room)
    shown = job.note("case", "Motor case", job.instruments.thermometer(case), "temperature")
    return "hotter" if shown > HOT_CASE else "as-usual"
