"""Plates that contradict themselves: which lines cannot both be true, and what to look at on the machine."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulator import electric, units
from simulator.replacement.frames import tolerances
from simulator.replacement.plate_lines import MOTOR_LINES
from simulator.replacement.problems import Problem
from simulator.replacement.tables import table, words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from simulator.replacement.plates import MotorPlate

# Volts of motors up to 600 V; 12 and 24 V belong to a control or a battery.
LEAST_VOLTS, MOST_VOLTS = 90.0, 700.0
# Efficiency times power factor: no motor of this size gives more of what it draws, and a listed one not less
# (NFPA 70 Table 430.248 implies 0.33 at 1/2 hp; the margins are common practice).
LEAST_SHARE, MOST_SHARE = 0.25, 0.95
USUAL_SHARE = 0.75  # common practice, no source
LARGEST_VOLT_RATIO = 2.2
EQUAL_POWER = 0.15  # volts times amps of two connections may differ by so much
LEAST_SHAFT, MOST_SHAFT = 0.006, 0.08  # [m]
HIGHEST_SINGLE_PHASE = 300.0  # [V]


def contradictions(plate: MotorPlate) -> list[Problem]:
    """Find the lines of a plate that cannot stand together.

    Parameters
    ----------
    plate : MotorPlate
        As read.

    Returns
    -------
    list of Problem
        Empty if the plate agrees with itself.
    """
    return [
        problem
        for rule in (
            _volts,
            _amps_count,
            _amps_order,
            _power,
            _speed,
            _phase,
            _shaft,
            _feet,
            _key,
            _capacitors,
        )
        for problem in rule(plate)
    ]


def _problem(line: str, why: str, look: str = "") -> Problem:
    return Problem(line, why, look or MOTOR_LINES[line].look)


def _volts(plate: MotorPlate) -> Iterator[Problem]:
    ends = [end for pair in plate.volts for end in pair]
    for end in ends:
        if not LEAST_VOLTS <= end <= MOST_VOLTS:
            yield _problem(
                "volts",
                f"{end:g} V is no motor's voltage here; a control or battery voltage may have slipped in",
            )
            return
    highs = [high for _, high in plate.volts]
    if highs and max(highs) / min(highs) > LARGEST_VOLT_RATIO * max(1, len(highs) - 1):
        yield _problem("volts", f"{min(highs):g} and {max(highs):g} V are not connections of one winding")


def _amps_count(plate: MotorPlate) -> Iterator[Problem]:
    if plate.amps and plate.volts and len(plate.amps) != len(plate.volts):
        yield _problem(
            "amps",
            f"{_many(len(plate.amps), 'current')} for {_many(len(plate.volts), 'voltage')}; write one for each, in the same order",
        )


def _many(count: int, what: str) -> str:
    return f"one {what}" if count == 1 else f"{count} {what}s"


def _apparent(plate: MotorPlate) -> list[tuple[float, float, float]]:
    """Volts, amps and apparent power of each connection."""
    if len(plate.amps) != len(plate.volts):
        return []
    root = math.sqrt(plate.phase or 1)
    return [(v[1], a[1], root * v[1] * a[1]) for v, a in zip(plate.volts, plate.amps, strict=True)]


def _amps_order(plate: MotorPlate) -> Iterator[Problem]:
    drawn = _apparent(plate)
    powers = [power for _, _, power in drawn]
    if powers and max(powers) > min(powers) * (1 + EQUAL_POWER):
        pairs = " and ".join(f"{amps:g} A at {volts:g} V" for volts, amps, _ in drawn)
        yield _problem(
            "amps",
            f"{pairs} is not the same power; half the volts need twice the amps. The order may be turned round",
        )


def _power(plate: MotorPlate) -> Iterator[Problem]:
    drawn = _apparent(plate)
    if plate.power is None or plate.phase is None or not drawn or next(_amps_order(plate), None):
        return
    volts, amps, apparent = drawn[0]
    share = plate.power / apparent
    if LEAST_SHARE <= share <= MOST_SHARE:
        return
    said = f"{units.show(plate.power, 'power', 'us')} ({units.show(plate.power, 'power', 'metric')})"
    what = f"{amps:g} A at {volts:g} V, {plate.phase}-phase"
    if share > MOST_SHARE:
        most = units.show(apparent * USUAL_SHARE, "power", "us")
        why = f"{said} cannot come out of {what}: that is about {most}. The power may be a 'peak' figure, or the amps belong to another voltage"
    else:
        why = f"{what} is far too much for {said}; the amps may belong to another voltage or phase"
    yield _problem("power", why, f"{MOTOR_LINES['power'].look} {MOTOR_LINES['amps'].look}")


def _speed(plate: MotorPlate) -> Iterator[Problem]:
    for speed in plate.speed:
        slips = [slip_of(speed, hertz) for hertz in (plate.hertz or (50.0, 60.0))]
        if all(slip is None or slip > table("motors")["speed"]["largest_slip"] for slip in slips):
            at = " or ".join(f"{one:g} Hz" for one in plate.hertz) or "50 or 60 Hz"
            yield _problem(
                "speed",
                f"{speed:g} rpm is no running speed of a motor on {at}: 2 poles 3450 or 2850, 4 poles 1725 or 1425, 6 poles 1150 or 950",
            )


def slip_of(speed: float, hertz: float) -> float | None:
    """Slip below the nearest field speed above; None above the fastest.

    Parameters
    ----------
    speed : float
        [rpm]
    hertz : float
        Of the supply. [Hz]

    Returns
    -------
    float, optional
        [-]
    """
    found = poles_of(speed, hertz)
    return (
        None if found is None else float(electric.slip(electric.synchronous_speed_rpm(hertz, found), speed))
    )


def poles_of(speed: float, hertz: float) -> int | None:
    """Poles of a motor that runs just below a field's speed; None above the fastest.

    Parameters
    ----------
    speed : float
        [rpm]
    hertz : float
        Of the supply. [Hz]

    Returns
    -------
    int, optional
        2 to 12.
    """
    fitting = [
        poles for poles in (2, 4, 6, 8, 10, 12) if electric.synchronous_speed_rpm(hertz, poles) >= speed
    ]
    return fitting[-1] if fitting and speed > 0 else None


def _phase(plate: MotorPlate) -> Iterator[Problem]:
    if plate.start and plate.phase:
        needs = words("motors", "start")[plate.start].facts["phases"]
        if needs != plate.phase:
            title = words("motors", "start")[plate.start].title
            yield _problem("phase", f"{plate.phase} phase does not go with '{title}', which needs {needs}")
    if plate.phase == 1 and plate.volts and min(low for low, _ in plate.volts) > HIGHEST_SINGLE_PHASE:
        low = min(low for low, _ in plate.volts)
        yield _problem(
            "phase",
            f"{low:g} V single-phase is not a shop's supply; the motor is three-phase or the volts are wrong",
        )


def _shaft(plate: MotorPlate) -> Iterator[Problem]:
    typed = plate.shaft_diameter
    if typed is None:
        return
    if not LEAST_SHAFT <= typed <= MOST_SHAFT:
        yield _problem("shaft diameter", f"{_small(typed)} is no motor's shaft; check the unit")
        return
    frame = plate.frame
    if frame and frame.shaft_diameter and abs(frame.shaft_diameter - typed) > tolerances().shaft:
        yield _problem(
            "shaft diameter",
            f"frame {frame.name} has a shaft of {_small(frame.shaft_diameter)}, not {_small(typed)}; a letter of the frame"
            " may be missing (184 is not 184T, 56 not 56HZ) or the shaft is special (Z)",
        )


def _feet(plate: MotorPlate) -> Iterator[Problem]:
    frame = plate.frame
    if frame is None:
        return
    checks = (
        ("shaft height", plate.shaft_height, (frame.shaft_height,)),
        ("holes across", plate.holes_across, (frame.holes_across,)),
        ("holes along", plate.holes_along, frame.holes_along),
    )
    for line, typed, known in checks:
        figures = [one for one in known if one is not None]
        allowed = 2 * tolerances().holes
        if typed is not None and figures and min(abs(one - typed) for one in figures) > allowed:
            said = " or ".join(_small(one) for one in figures)
            yield _problem(line, f"frame {frame.name} has {said} there, not {_small(typed)}")


def _key(plate: MotorPlate) -> Iterator[Problem]:
    frame, typed = plate.frame, plate.key
    if frame is None or typed is None or frame.special_shaft:
        return
    known = frame.key_width
    if typed.flat and known:
        yield _problem("key", f"frame {frame.name} has a key {_small(known)} wide, not a flat")
    elif known and abs(known - typed.width) > tolerances().shaft:
        yield _problem("key", f"frame {frame.name} has a key {_small(known)} wide, not {_small(typed.width)}")


def _capacitors(plate: MotorPlate) -> Iterator[Problem]:
    three = plate.phase == 3
    for line in ("start capacitor", "run capacitor"):
        marked = plate.start_capacitor if line == "start capacitor" else plate.run_capacitor
        if three and marked and marked.fitted:
            yield _problem(line, "a three-phase motor has no capacitors; the phase may be wrong")


def _small(length: float) -> str:
    return f"{units.show(length, 'small_length', 'us')} ({units.show(length, 'small_length', 'metric', 1)})"
