"""A belt drive as typed: sheaves, belts, bores, speeds; what is on offer is laid over what is there."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, fields, replace
from functools import cache
from typing import TYPE_CHECKING, Any

from simulator import electric
from simulator.components.spec import nearest
from simulator.replacement import belts, plate_words, writing
from simulator.replacement.plate_lines import Line, gather, parted
from simulator.replacement.problems import BadPlate, Problem
from simulator.replacement.tables import table
from simulator.replacement.writing import Unreadable

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from simulator.replacement.plate_words import Key

_CORD = "Measure where the belt's cord runs, not over the rim; or read it on the hub."
DRIVE_LINES: dict[str, Line] = {
    line.name: line
    for line in (
        Line(
            "section",
            "section of the grooves",
            "Read the belt; measure its width at the top.",
            ("groove", "grooves section"),
        ),
        Line("belts", "number of belts", "Count them.", ("number of belts", "belt count")),
        Line("grooves", "grooves of the flywheel", "Count them.", ("flywheel grooves",)),
        Line("belt", "belt", "Read its number: A61, B90, SPA 2150.", ("belt number",)),
        Line("motor sheave", "pitch diameter of the motor's sheave", _CORD, ("sheave",)),
        Line(
            "motor sheave outside",
            "outside diameter of the motor's sheave",
            "Measure over the rim.",
            ("sheave od", "motor sheave od"),
        ),
        Line("flywheel", "pitch diameter of the flywheel", _CORD, ("pump sheave",)),
        Line(
            "flywheel outside", "outside diameter of the flywheel", "Measure over the rim.", ("flywheel od",)
        ),
        Line("motor speed", "motor's speed", "Read the motor's plate.", ("motor rpm",)),
        Line("pump speed", "pump's speed by its plate", "Read the pump's plate.", ("pump rpm",)),
        Line(
            "pump speed limit",
            "highest speed of the pump",
            "Read the pump's plate or its maker's sheet.",
            ("max pump rpm",),
        ),
        Line(
            "centre distance",
            "distance of the shafts",
            "Measure from shaft to shaft.",
            ("centres", "center distance"),
        ),
        Line("least centre distance", "least distance of the shafts", "Slide the motor in and measure."),
        Line("most centre distance", "greatest distance of the shafts", "Slide the motor out and measure."),
        Line("motor bore", "bore of the motor's sheave", "Measure the bore with a caliper.", ("bore",)),
        Line("motor key", "keyway of the motor's sheave", "Measure the keyway.", ("keyway", "key")),
        Line(
            "motor shaft",
            "motor's shaft",
            "Measure the bare shaft with a caliper.",
            ("shaft", "shaft diameter"),
        ),
        Line("hub length", "length of the sheave's hub", "Measure the hub along the shaft.", ("hub",)),
        Line("shaft length", "length of the motor's shaft", "Measure from the shoulder to the end."),
    )
}


@dataclass(frozen=True)
class Section:
    """A belt's section. [m]"""

    name: str
    width: float
    depth: float
    number: str
    unit: float  # that the number counts in
    add: float  # pitch length over what the number names
    least_sheave: float  # pitch diameter
    groove: float  # outside over pitch diameter
    takes: tuple[str, ...]  # belts that run in its grooves
    light_duty: bool


@dataclass(frozen=True)
class Belt:
    """A belt by its number."""

    name: str
    section: Section
    pitch_length: float  # [m]


@dataclass(frozen=True)
class DrivePlate:
    """A belt drive; None where nobody has looked. [SI; rpm]"""

    section: Section | None = None
    belts: int | None = None
    grooves: int | None = None
    belt: Belt | None = None
    motor_sheave: float | None = None
    motor_sheave_outside: float | None = None
    flywheel: float | None = None
    flywheel_outside: float | None = None
    motor_speed: float | None = None
    pump_speed: float | None = None
    pump_speed_limit: float | None = None
    centre_distance: float | None = None
    least_centre_distance: float | None = None
    most_centre_distance: float | None = None
    motor_bore: float | None = None
    motor_key: Key | None = None
    motor_shaft: float | None = None
    hub_length: float | None = None
    shaft_length: float | None = None
    typed: Mapping[str, str] = field(default_factory=dict, compare=False)

    @property
    def driver(self) -> float | None:
        """Pitch diameter of the motor's sheave, from its rim if need be. [m]"""
        return self._pitch(self.motor_sheave, self.motor_sheave_outside)

    @property
    def driven(self) -> float | None:
        """Pitch diameter of the flywheel, from its rim if need be. [m]"""
        return self._pitch(self.flywheel, self.flywheel_outside)

    @property
    def turns(self) -> float | None:
        """Speed of the pump by motor and sheaves. [rpm]"""
        if self.driver is None or self.driven is None or self.motor_speed is None:
            return None
        return float(electric.sheave_speed_rpm(self.motor_speed, self.driver, self.driven))

    def _pitch(self, pitch: float | None, outside: float | None) -> float | None:
        if pitch is not None:
            return pitch
        if outside is None or self.section is None:
            return None
        return outside - self.section.groove


@cache
def sections() -> Mapping[str, Section]:
    """All belt sections by name.

    Returns
    -------
    mapping of str to Section
        In the order of the file.
    """
    return {
        row["name"]: Section(
            name=row["name"],
            width=row["width_mm"] / 1000,
            depth=row["depth_mm"] / 1000,
            number=row["number"],
            unit=row["unit_mm"] / 1000,
            add=row["add_mm"] / 1000,
            least_sheave=row["least_mm"] / 1000,
            groove=row["groove_mm"] / 1000,
            takes=tuple(row["takes"]),
            light_duty=row.get("light_duty", False),
        )
        for row in table("drives")["section"]
    }


def read_drive(typed: Mapping[str, str] | Iterable[str] | str, which: str = "drive") -> DrivePlate:
    """Read a belt drive.

    Parameters
    ----------
    typed : mapping, iterable of str or str
        Line to value; or lines such as "belt=A61".
    which : str
        Whose drive, for the refusal.

    Returns
    -------
    DrivePlate
        SI inside.

    Raises
    ------
    BadPlate
        With every line that cannot be read or contradicts another.

    Examples
    --------
    >>> round(read_drive("belt=A61").belt.pitch_length * 1000)
    1582
    """
    lines = gather(parted(typed), DRIVE_LINES, which)
    values: dict[str, Any] = {}
    problems: list[Problem] = []
    for name, text in lines.items():
        try:
            if not writing.is_missing(text):
                writing.check_whole(text)
                values[name.replace(" ", "_")] = _READERS[name](text)
        except Unreadable as refusal:
            problems.append(Problem(name, str(refusal), DRIVE_LINES[name].look))
    plate = DrivePlate(**values, typed=lines)
    problems += _contradictions(plate)
    if problems:
        raise BadPlate(problems, which)
    return plate


def laid_over(old: DrivePlate, new: DrivePlate) -> DrivePlate:
    """Give the drive as it would be: what is on offer, and for the rest what is there.

    Parameters
    ----------
    old : DrivePlate
        What is there.
    new : DrivePlate
        What is on offer.

    Returns
    -------
    DrivePlate
        A sheave given by its rim replaces one given by its pitch diameter.
    """
    given = {
        f.name: getattr(new, f.name)
        for f in fields(new)
        if f.name != "typed" and getattr(new, f.name) is not None
    }
    for sheave in ("motor_sheave", "flywheel"):
        if f"{sheave}_outside" in given and sheave not in given:
            given[sheave] = None
    return replace(old, **given)


def _contradictions(plate: DrivePlate) -> list[Problem]:
    found = []
    for name in ("motor sheave", "flywheel"):
        pitch, outside = (
            getattr(plate, name.replace(" ", "_")),
            getattr(plate, f"{name.replace(' ', '_')}_outside"),
        )
        if pitch is not None and outside is not None and pitch > outside:
            found.append(
                Problem(
                    name, "the pitch diameter is larger than the outside diameter", DRIVE_LINES[name].look
                )
            )
    turns = plate.turns
    if turns is not None and plate.pump_speed is not None and not 0.9 < turns / plate.pump_speed < 1.1:
        why = f"motor and sheaves give {turns:.0f} rpm, not {plate.pump_speed:.0f} rpm; one of the four lines is wrong"
        found.append(
            Problem("pump speed", why, "Hold a tachometer to the flywheel through the guard's opening.")
        )
    if (
        plate.driver
        and plate.driven
        and plate.centre_distance
        and plate.centre_distance <= (plate.driver + plate.driven) / 2
    ):
        found.append(
            Problem(
                "centre distance",
                "at that distance the sheaves would touch",
                DRIVE_LINES["centre distance"].look,
            )
        )
    return found


def read_belt(text: str) -> Belt:
    """Read a belt's number.

    Parameters
    ----------
    text : str
        Such as "A61", "2 x B90 matched" or "SPA 2150".

    Returns
    -------
    Belt
        With its pitch length.

    Raises
    ------
    Unreadable
        For sections that are not held.
    """
    typed = re.sub(r"(?i)^\d\s*x\s*|\bmatched\b|\bset\b", " ", writing.tidy(text)).strip().upper()
    found = re.fullmatch(r"(4L|5L|[A-Z]{1,3})[- ]?(\d{2,4})", typed)
    if found is None:
        raise Unreadable(f"'{writing.tidy(text)}' is no belt's number. Write A61, B90 or SPA 2150")
    section = _section(found[1])
    return Belt(f"{section.name}{found[2]}", section, int(found[2]) * section.unit + section.add)


def _section(text: str) -> Section:
    name = writing.tidy(text).upper().removesuffix(" SECTION").strip()
    if name not in sections():
        raise Unreadable(
            f"no belt section '{writing.tidy(text)}' is held here.{nearest(name, set(sections()))}"
        )
    return sections()[name]


def _count(text: str) -> int:
    value = writing.number(re.sub(r"(?i)belts?|grooves?|x$", "", writing.tidy(text)))
    if value != int(value) or not 1 <= value <= 8:
        raise Unreadable(f"{value:g} is no number of belts or grooves here (1 to 8)")
    return int(value)


def _length(low: float, high: float) -> Callable[[str], float]:
    def read(text: str) -> float:
        value = writing.measure(text, "small_length")
        if not low <= value <= high:
            raise Unreadable(f"'{writing.tidy(text)}' lies outside what can be; check the unit")
        return value

    return read


def _speed(text: str) -> float:
    value = writing.measure(text, "speed_rpm")
    if not 50.0 <= value <= 4000.0:
        raise Unreadable(f"{value:g} rpm lies outside what can be")
    return value


_SHEAVE, _CENTRE, _BORE = _length(0.03, 1.5), _length(0.1, 3.0), _length(0.006, 0.08)
_READERS: dict[str, Callable[[str], Any]] = {
    "section": _section,
    "belts": _count,
    "grooves": _count,
    "belt": read_belt,
    "motor sheave": _SHEAVE,
    "motor sheave outside": _SHEAVE,
    "flywheel": _SHEAVE,
    "flywheel outside": _SHEAVE,
    "motor speed": _speed,
    "pump speed": _speed,
    "pump speed limit": _speed,
    "centre distance": _CENTRE,
    "least centre distance": _CENTRE,
    "most centre distance": _CENTRE,
    "motor bore": _BORE,
    "motor key": plate_words.key,
    "motor shaft": _BORE,
    "hub length": _length(0.005, 0.3),
    "shaft length": _length(0.01, 0.4),
}


def belt_centre(plate: DrivePlate) -> float | None:
    """Distance of the shafts that the belt asks for. [m]"""
    if plate.belt is None or plate.driver is None or plate.driven is None:
        return None
    return belts.centre_distance(plate.driver, plate.driven, plate.belt.pitch_length)
