"""A sheave, a belt, a whole drive: does the pump turn as it should, and does everything hold."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulator import units
from simulator.replacement import belts
from simulator.replacement.drive_plates import DRIVE_LINES, belt_centre, laid_over
from simulator.replacement.drive_sheave import sheave
from simulator.replacement.rules import Rule
from simulator.replacement.swap import small_words
from simulator.replacement.tables import table
from simulator.replacement.verdict import Figure, Judgement, Standing, judge

if TYPE_CHECKING:
    from collections.abc import Iterator

    from simulator.replacement.drive_plates import DrivePlate
    from simulator.replacement.verdict import Reason

_LIMITS = table("drives")["limits"]
HIGHEST = float(_LIMITS["belt_speed_highest_m_s"])
LOWEST = float(_LIMITS["belt_speed_lowest_m_s"])
GOOD_WRAP = math.radians(float(_LIMITS["wrap_good_deg"]))
LEAST_WRAP = math.radians(float(_LIMITS["wrap_least_deg"]))
SAME_SPEED = float(_LIMITS["same_speed"])
SLOWEST = float(_LIMITS["slowest_share"])
TAKE_UP = float(_LIMITS["take_up_mm"]) / 1000.0
_BELTS = table("drives")["belts"]

PUMP_SPEED = Rule(
    "pump-speed",
    "motor sheave",
    "The pump turns at its plate's speed; never past its limit: valves break, it overheats and overloads the motor.",
    "motor speed x motor sheave = pump speed x flywheel, on pitch diameters",
    Standing.COMMON_PRACTICE,
)
SECTION = Rule(
    "section",
    "belt",
    "The belt is of the section of its grooves, and not light duty.",
    _BELTS["source"],
    Standing(_BELTS["standing"]),
)
COUNT = Rule(
    "belts",
    "belts",
    "As many belts as before, of one matched set.",
    "the drive was sized for them; trade rule",
    Standing.COMMON_PRACTICE,
)
LENGTH = Rule(
    "belt-length",
    "belt",
    "The belt comes taut inside the motor's slide, with some left to go on and to stretch.",
    f"geometry of an open belt; lengths by {_BELTS['source']}",
    Standing(_BELTS["standing"]),
)
WRAP = Rule(
    "wrap",
    "centre distance",
    "The belt holds the small sheave over 120 degrees or more.",
    str(_LIMITS["source"]),
    Standing(_LIMITS["standing"]),
)
BELT_SPEED = Rule(
    "belt-speed",
    "motor sheave",
    "No faster than a cast-iron rim may turn, 33 m/s.",
    str(_LIMITS["belt_speed_highest_source"]),
    Standing(_LIMITS["belt_speed_highest_standing"]),
)
CAUTIONS = (
    "Disconnect, lock and tag, bleed to zero and block the flywheel before the guard comes off; no run without the guard.",
    "Slide the motor in and lay the belts on by hand; no levers, no fingers in the run.",
)


def fit_drive(old: DrivePlate, new: DrivePlate) -> Judgement:
    """Judge whether parts of a belt drive may take the place of what is there.

    Parameters
    ----------
    old : DrivePlate
        The drive as it is, or as the machine's maker made it.
    new : DrivePlate
        What is on offer; lines it leaves out stay as they are.

    Returns
    -------
    Judgement
        Reasons in order of danger, open questions, changes, and what exactly to ask for.
    """
    after = laid_over(old, new)
    rooms = (_pump_speed, _section, _count, _length, _wrap, _belt_speed)
    reasons = [reason for room in rooms for reason in room(old, after)]
    reasons += sheave(old, after)
    return judge("drive", reasons, parts_card(old), CAUTIONS)


def ask(rule: Rule, *lines: str) -> Reason:
    """Leave open what nobody has looked up."""
    titles = ", ".join(DRIVE_LINES[line].title for line in lines)
    looks = " ".join(dict.fromkeys(DRIVE_LINES[line].look for line in lines))
    return rule.asks(f"Not known: {titles}.", f"What is the {titles}? {looks}")


def _pump_speed(old: DrivePlate, after: DrivePlate) -> Iterator[Reason]:
    turns, plate = after.turns, old.pump_speed or old.turns
    if turns is None:
        lacking = [
            line
            for line, value in (
                ("motor sheave", after.driver),
                ("flywheel", after.driven),
                ("motor speed", after.motor_speed),
            )
            if value is None
        ]
        yield ask(PUMP_SPEED, *lacking)
        return
    if plate is None:
        yield ask(PUMP_SPEED, "pump speed")
        return
    yield _against(turns, plate, after.pump_speed_limit)


def _against(turns: float, plate: float, limit: float | None) -> Reason:
    change = turns / plate - 1
    figures = (
        Figure("pump as it would be", turns, "speed_rpm"),
        Figure("pump by its plate", plate, "speed_rpm"),
    )
    said = f"The pump would turn {turns:.0f} rpm for the plate's {plate:.0f} ({change:+.0%})."
    if limit is not None and turns > limit * (1 + 1e-9):
        return PUMP_SPEED.refuses(
            f"{said} Its limit is {limit:.0f} rpm.", *figures, Figure("limit", limit, "speed_rpm")
        )
    if change > SAME_SPEED and limit is None:
        return PUMP_SPEED.refuses(f"{said} No higher limit is known than the plate's speed.", *figures)
    if change > SAME_SPEED:
        return PUMP_SPEED.changes(
            f"{said} It asks {change:.0%} more power of the motor; a service factor is no reserve for that.",
            "Measure the motor's amps near cut-out: at or under its plate, or the old sheave goes back on.",
            *figures,
        )
    if change < SLOWEST - 1:
        return PUMP_SPEED.asks(
            f"{said} Splash oil needs a least speed.",
            "What is the least speed of the pump? Ask its maker.",
            *figures,
        )
    if change < -SAME_SPEED:
        return PUMP_SPEED.changes(
            f"{said} It gives {-change:.0%} less air.",
            "Tell the customer that the machine will fill more slowly.",
            *figures,
        )
    return PUMP_SPEED.fits(said, *figures)


def _section(old: DrivePlate, after: DrivePlate) -> Iterator[Reason]:
    groove = after.section
    if groove is None or after.belt is None:
        yield ask(SECTION, "section" if groove is None else "belt")
        return
    if old.section is not None and groove.name not in (old.section.name, *old.section.takes):
        yield SECTION.refuses(
            f"Its grooves are {groove.name}, the flywheel's {old.section.name}: no belt runs well in both."
        )
        return
    belt = after.belt.section
    figures = (
        Figure("width of the belt at its top", belt.width, "small_length"),
        Figure("depth of the belt", belt.depth, "small_length"),
    )
    if belt.name not in groove.takes:
        light = belt.light_duty and groove.name in belt.takes
        why = (
            "goes in, but it is a light-duty belt, too weak for a compressor" if light else "does not belong"
        )
        yield SECTION.refuses(f"A {belt.name} belt in {groove.name} grooves {why}.", *figures)
    else:
        yield SECTION.fits(f"A {belt.name} belt runs in {groove.name} grooves.", *figures)


def _count(old: DrivePlate, after: DrivePlate) -> Iterator[Reason]:
    if old.belts is None or after.belts is None:
        yield ask(COUNT, "belts")
        return
    if after.grooves is not None and after.belts > after.grooves:
        yield COUNT.refuses(f"{after.belts} belts do not run in {after.grooves} grooves.")
    elif after.belts < old.belts:
        yield COUNT.refuses(
            f"{after.belts} for {old.belts} belts: each would carry more than it was chosen for, slip and burn."
        )
    else:
        matched = ", one matched set" if after.belts > 1 else ""
        yield COUNT.fits(f"{after.belts} for {old.belts}{matched}.")


def _length(old: DrivePlate, after: DrivePlate) -> Iterator[Reason]:
    if after.belt is None or after.driver is None or after.driven is None:
        return  # asked for already
    centre = belt_centre(after)
    if centre is None:
        yield LENGTH.refuses(f"{after.belt.name} is too short to go round both sheaves.")
        return
    figures = (
        Figure("pitch length of the belt", after.belt.pitch_length, "small_length"),
        Figure("distance at which it is taut", centre, "small_length"),
    )
    said = f"{after.belt.name} comes taut with the shafts {small_words(centre)} apart."
    low, high = after.least_centre_distance, after.most_centre_distance
    if low is not None and high is not None:
        yield _in_slide(after, centre, (low, high), said, figures)
    elif old.centre_distance is None:
        yield ask(LENGTH, "centre distance")
    elif abs(centre - old.centre_distance) <= TAKE_UP:
        yield LENGTH.fits(f"{said} Now they are {small_words(old.centre_distance)} apart.", *figures)
    else:
        yield LENGTH.asks(
            f"{said} Now they are {small_words(old.centre_distance)} apart.",
            f"How far does the motor slide? {DRIVE_LINES['least centre distance'].look} {DRIVE_LINES['most centre distance'].look}",
            *figures,
        )


def _in_slide(
    after: DrivePlate, centre: float, slide: tuple[float, float], said: str, figures: tuple[Figure, ...]
) -> Reason:
    low, high = slide
    if low <= centre <= high:
        return LENGTH.fits(f"{said} The slide goes from {small_words(low)} to {small_words(high)}.", *figures)
    middle = belts.belt_length(after.driver or 0.0, after.driven or 0.0, (low + high) / 2)
    wanted = Figure("pitch length for the middle of the slide", middle, "small_length")
    return LENGTH.changes(
        f"{said} The slide goes only from {small_words(low)} to {small_words(high)}.",
        f"Fit belts of about {small_words(middle)} pitch length.",
        *figures,
        wanted,
    )


def _wrap(_old: DrivePlate, after: DrivePlate) -> Iterator[Reason]:
    centre = belt_centre(after) or after.centre_distance
    if centre is None or after.driver is None or after.driven is None:
        return  # asked for already
    if centre <= abs(after.driven - after.driver) / 2:
        yield WRAP.refuses("The shafts are too near for such sheaves.")
        return
    angle = belts.wrap_angle(after.driver, after.driven, centre)
    degrees = math.degrees(angle)
    figure = Figure("wrap, degrees", degrees)
    if angle >= GOOD_WRAP:
        yield WRAP.fits(f"The belt holds the small sheave over {degrees:.0f} degrees.", figure)
    elif angle >= LEAST_WRAP:
        yield WRAP.changes(
            f"The belt holds the small sheave over only {degrees:.0f} degrees.",
            "Move the shafts further apart and fit longer belts.",
            figure,
        )
    else:
        yield WRAP.refuses(
            f"The belt holds the small sheave over only {degrees:.0f} degrees: it slips.", figure
        )


def _belt_speed(_old: DrivePlate, after: DrivePlate) -> Iterator[Reason]:
    if after.driver is None or after.motor_speed is None:
        return  # asked for already
    speed = belts.belt_speed(after.driver, after.motor_speed)
    figure = Figure("belt speed", speed, "belt_speed")
    said = f"The belt runs at {units.show(speed, 'belt_speed', 'us')} ({units.show(speed, 'belt_speed', 'metric')})."
    if speed > HIGHEST:
        yield BELT_SPEED.warns(f"{said} A cast-iron rim can burst at that speed.", figure)
    elif speed < LOWEST:
        yield BELT_SPEED.changes(
            f"{said} So slow a belt pulls hard on shaft and bearings.",
            "Fit larger sheaves of the same ratio.",
            figure,
        )
    else:
        yield BELT_SPEED.fits(said, figure)


def parts_card(old: DrivePlate) -> tuple[str, ...]:
    """Say exactly what to ask for, line by line.

    Parameters
    ----------
    old : DrivePlate
        The drive as it is.

    Returns
    -------
    tuple of str
        What is not known is left to be filled in.
    """
    blank = "______ (look at the machine)"
    belt = old.belt.name if old.belt else blank
    shaft = old.motor_shaft or old.motor_bore
    return (
        f"Belts: {old.belts or '____'} x {belt}{', one matched set' if (old.belts or 0) > 1 else ''}",
        f"Motor sheave, pitch diameter: {small_words(old.driver) if old.driver else blank}",
        f"Grooves: {old.belts or '____'}, section {old.section.name if old.section else '____'}",
        f"Bore: {small_words(shaft) if shaft else blank}",
        f"Keyway: {'flat' if old.motor_key and old.motor_key.flat else small_words(old.motor_key.width) + ' wide' if old.motor_key else blank}",
        f"Flywheel, pitch diameter: {small_words(old.driven) if old.driven else blank}",
        f"Pump: {f'{old.pump_speed:.0f} rpm' if old.pump_speed else blank}",
    )
