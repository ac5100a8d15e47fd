"""A motor's plate, read as people write it; SI inside, None where a line is blank or cannot be read."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from simulator.replacement import plate_sense, plate_words, writing
from simulator.replacement.frames import Frame, find_frame
from simulator.replacement.plate_lines import MOTOR_LINES, gather, parted
from simulator.replacement.problems import BadPlate, Problem
from simulator.replacement.writing import Unreadable

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from simulator.replacement.plate_words import Capacitor, Key

Range = tuple[float, float]


@dataclass(frozen=True)
class MotorPlate:
    """What a plate says of a motor; what was typed stays in `typed`."""

    power: float | None = None  # [W]
    volts: tuple[Range, ...] = ()  # one for each way to connect it [V]
    amps: tuple[Range, ...] = ()  # in the order of the volts [A]
    phase: int | None = None
    hertz: tuple[float, ...] = ()
    speed: tuple[float, ...] = ()  # [rpm]
    frame: Frame | None = None
    shaft_diameter: float | None = None  # [m]
    shaft_length: float | None = None  # [m]
    key: Key | None = None
    shaft_height: float | None = None  # [m]
    holes_across: float | None = None  # [m]
    holes_along: float | None = None  # [m]
    mounting: str | None = None
    rotation: str | None = None
    enclosure: str | None = None
    service_factor: float | None = None
    duty: str | None = None
    code: str | None = None
    starting_current: float | None = None  # over full-load current
    start: str | None = None
    start_capacitor: Capacitor | None = None
    run_capacitor: Capacitor | None = None
    insulation: str | None = None
    ambient: float | None = None  # [K]
    overload: str | None = None
    efficiency: float | None = None
    power_factor: float | None = None
    typed: Mapping[str, str] = field(default_factory=dict, compare=False)

    def amps_at(self, volts: float) -> float | None:
        """Full-load current on the straps nearest to a voltage; None if the plate gives none. [A]"""
        ratings = list(zip(self.volts, self.amps, strict=False))
        if not ratings:
            return None
        ends = [(abs(v - volts), a) for both, each in ratings for v, a in zip(both, each, strict=True)]
        return min(ends)[1]


_VOLT_MARKS = r"volts?|vac|v ac|v|ac|delta|star|wye|[dyΔλ]"
_AMP_MARKS = r"amperes?|amps?|fla|a"


def read_motor_plate(typed: Mapping[str, str] | Iterable[str] | str, which: str = "plate") -> MotorPlate:
    r"""Read a motor's plate.

    Parameters
    ----------
    typed : mapping, iterable of str or str
        Line to value; or lines such as "hp=5" or "PH 1", a list of them or one text parted by ; or line ends.
    which : str
        Whose plate, for the refusal: "old plate", "new plate".

    Returns
    -------
    MotorPlate
        Checked against itself.

    Raises
    ------
    BadPlate
        With every line that cannot be read or contradicts another, why, and what to look at on the machine.

    Examples
    --------
    >>> plate = read_motor_plate("1-1/2 HP\nV 115/230\nA 15.0/7.5\nPH 1")
    >>> plate.volts, plate.amps_at(230.0)
    (((115.0, 115.0), (230.0, 230.0)), 7.5)
    """
    lines = gather(parted(typed), MOTOR_LINES, which)
    values: dict[str, Any] = {}
    problems: list[Problem] = []
    for name, text in lines.items():
        try:
            if not writing.is_missing(text):
                values[name.replace(" ", "_")] = _read_line(name, text)
        except Unreadable as refusal:
            problems.append(Problem(name, str(refusal), MOTOR_LINES[name].look))
        except BadPlate as refusal:
            problems += refusal.problems
    if problems:
        raise BadPlate(problems, which)
    plate = _completed(MotorPlate(**values, typed=dict(lines)))
    if found := plate_sense.contradictions(plate):
        raise BadPlate(found, which)
    return plate


def _completed(plate: MotorPlate) -> MotorPlate:
    """Fill in what one line says of another: a mounting in the frame's name, a phase in the way it starts."""
    if plate.phase is None and plate.start:
        plate = replace(plate, phase=plate_words.phases_of(plate.start))
    if plate.start is None and plate.phase == 3:
        plate = replace(plate, start="three-phase")
    if plate.volts and len(plate.amps) == len(plate.volts):
        plate = replace(plate, amps=tuple(_ends(v, a) for v, a in zip(plate.volts, plate.amps, strict=True)))
    return plate


def _ends(volts: Range, amps: Range) -> Range:
    """Currents at both ends of a range of volts: one figure is that of the upper end, at equal power."""
    if volts[0] != volts[1] and amps[0] == amps[1]:
        return amps[1] * volts[1] / volts[0], amps[1]
    return amps


def _read_line(name: str, text: str) -> Any:
    writing.check_whole(text)
    return _READERS[name](text)


def _volts(text: str) -> tuple[Range, ...]:
    found = writing.slots(text, _VOLT_MARKS)
    return tuple((min(ends), max(ends)) for ends in found)


def _amps(text: str) -> tuple[Range, ...]:
    return writing.slots(text, _AMP_MARKS)


def _hertz(text: str) -> tuple[float, ...]:
    found = tuple(low for low, _ in writing.slots(text, r"hz|hertz|cycles?|cyc|cps"))
    for one in found:
        if one not in (50.0, 60.0):
            raise Unreadable(f"{one:g} Hz is not a supply; it is 50 or 60 Hz (56HZ is a frame)")
    return tuple(dict.fromkeys(found))


def _speeds(text: str) -> tuple[float, ...]:
    found = writing.slots(text, r"rpm|r/min|rev/min|min-1|fl")
    return tuple(low for low, _ in found)


def _length(text: str) -> float:
    return writing.measure(text, "small_length")


def _power(text: str) -> float:
    if re.search(r"(?i)peak|spl|special|developed|max", text):
        raise Unreadable(
            f"'{writing.tidy(text)}' is a peak or special figure, not what the motor gives all day."
            " Write ? here and the volts and amps on their lines"
        )
    return writing.measure(text, "power")


def _share(text: str) -> float:
    bare = writing.number(re.sub(r"%|per ?cent|pct", "", writing.tidy(text)))
    share = bare / 100.0 if bare > 1.0 else bare
    if not 0.1 <= share <= 1.0:
        raise Unreadable(f"'{writing.tidy(text)}' is no share between 10 and 100 %")
    return share


def _service_factor(text: str) -> float:
    value = writing.number(re.sub(r"(?i)^s\.?f\.?\s*", "", writing.tidy(text)))
    if not 1.0 <= value <= 1.5:
        raise Unreadable(f"a service factor lies between 1.0 and 1.5, not at {value:g}")
    return value


def _ratio(text: str) -> float:
    value = writing.number(writing.tidy(text))
    if not 2.0 <= value <= 15.0:
        raise Unreadable(f"a motor starts with 2 to 15 times its full-load current, not {value:g} times")
    return value


def _ambient(text: str) -> float:
    return writing.measure(text, "temperature")


_READERS: dict[str, Callable[[str], Any]] = {
    "power": _power,
    "volts": _volts,
    "amps": _amps,
    "phase": plate_words.phase,
    "hertz": _hertz,
    "speed": _speeds,
    "frame": find_frame,
    "shaft diameter": _length,
    "shaft length": _length,
    "key": plate_words.key,
    "shaft height": _length,
    "holes across": _length,
    "holes along": _length,
    "mounting": plate_words.mounting,
    "rotation": plate_words.rotation,
    "enclosure": plate_words.enclosure,
    "service factor": _service_factor,
    "duty": plate_words.duty,
    "code": plate_words.code_letter,
    "starting current": _ratio,
    "start": plate_words.start,
    "start capacitor": plate_words.capacitor,
    "run capacitor": plate_words.capacitor,
    "insulation": plate_words.insulation,
    "ambient": _ambient,
    "overload": plate_words.overload,
    "efficiency": _share,
    "power factor": _share,
}
