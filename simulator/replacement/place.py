"""The place a part goes to: what was measured at the supply, the room, the circuit and the drive."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from simulator.replacement import plate_words, writing
from simulator.replacement.plate_lines import Line, gather, parted
from simulator.replacement.problems import BadPlate, Problem
from simulator.replacement.writing import Unreadable

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

PLACE_LINES: dict[str, Line] = {
    line.name: line
    for line in (
        Line(
            "supply volts",
            "measured voltage of the supply",
            "Measure between the live leads at the disconnect, on a meter proved before and after; a licensed electrician where the law asks.",
            ("supply", "measured volts", "measured"),
        ),
        Line(
            "supply phase",
            "number of phases of the supply",
            "Count the live leads at the disconnect.",
            ("supply phases",),
        ),
        Line(
            "supply hertz",
            "frequency of the supply",
            "60 Hz in North America, 50 Hz in most other places.",
            ("supply hz",),
        ),
        Line("room", "room", "Is it dry, dusty or outdoors, hosed down, or is there flammable vapour?"),
        Line(
            "room temperature",
            "highest temperature of the room",
            "Hang a thermometer beside the motor on a hot afternoon.",
            ("room temp",),
        ),
        Line("altitude", "height above the sea", "Look at a map.", ("elevation",)),
        Line("breaker", "breaker of this circuit", "Read the handle in the panel.", ("breaker size",)),
        Line(
            "wire",
            "conductor",
            "Read the print on the cable: 10 AWG, 12 AWG.",
            ("awg", "conductor"),
            (("awg", "AWG"),),
        ),
        Line(
            "terminals",
            "rating of wire and terminals",
            "Read 60 °C or 75 °C beside the terminals.",
            ("terminal rating",),
        ),
        Line(
            "run",
            "length from panel to motor",
            "Measure along the cable, one way.",
            ("run length", "distance"),
        ),
        Line(
            "head at start",
            "state of the head line at the start",
            "Hold the line at the unloader: does it vent at stop?",
            ("head", "unloader"),
        ),
        Line("drive", "kind of drive", "Belt, or pump on the motor's shaft?"),
        Line(
            "rotation needed",
            "rotation the pump needs",
            "Look for the arrow on the flywheel or guard.",
            ("arrow",),
        ),
        Line("hub length", "length of the sheave's hub", "Measure the hub along the shaft.", ("hub",)),
        Line(
            "motor sheave",
            "pitch diameter of the motor's sheave",
            "Read it on the sheave or measure where the belt's cord runs.",
        ),
        Line(
            "flywheel",
            "pitch diameter of the flywheel",
            "Measure where the belt's cord runs.",
            ("pump sheave",),
        ),
        Line(
            "pump speed limit",
            "highest speed of the pump",
            "Read the pump's plate or its maker's sheet.",
            ("max pump rpm", "pump rpm limit"),
        ),
        Line(
            "pump power",
            "power the pump takes at cut-out",
            "From the machine maker's sheet.",
            ("shaft power",),
        ),
    )
}
HEADS = {
    "vented": "vented",
    "unloaded": "vented",
    "yes": "vented",
    "loaded": "loaded",
    "no": "loaded",
    "not vented": "loaded",
}
DRIVES = {"belt": "belt", "belts": "belt", "v-belt": "belt", "direct": "direct", "coupled": "direct"}
WIRE_RATINGS = (60, 75, 90)


@dataclass(frozen=True)
class Place:
    """Where the part goes; None where nobody has looked yet."""

    supply_volts: float | None = None  # measured [V]
    supply_phase: int | None = None
    supply_hertz: float | None = None  # [Hz]
    room: str | None = None
    room_temperature: float | None = None  # [K]
    altitude: float | None = None  # [m]
    breaker: float | None = None  # [A]
    wire: int | None = None  # [AWG]
    terminals: int | None = None  # [°C]
    run: float | None = None  # one way [m]
    head_at_start: str | None = None  # "vented" or "loaded"
    drive: str | None = None  # "belt" or "direct"
    rotation_needed: str | None = None  # facing the motor's shaft
    hub_length: float | None = None  # [m]
    motor_sheave: float | None = None  # pitch diameter [m]
    flywheel: float | None = None  # pitch diameter [m]
    pump_speed_limit: float | None = None  # [rpm]
    pump_power: float | None = None  # at the motor's shaft [W]
    typed: Mapping[str, str] = field(default_factory=dict, compare=False)


def read_place(typed: Mapping[str, str] | Iterable[str] | str) -> Place:
    """Read what is known of the place.

    Parameters
    ----------
    typed : mapping, iterable of str or str
        Line to value; or lines such as "supply volts=236".

    Returns
    -------
    Place
        SI inside.

    Raises
    ------
    BadPlate
        With every line that cannot be read and why.

    Examples
    --------
    >>> read_place("supply volts=236 V").supply_volts
    236.0
    """
    lines = gather(parted(typed), PLACE_LINES, "place")
    values: dict[str, Any] = {}
    problems: list[Problem] = []
    for name, text in lines.items():
        try:
            if not writing.is_missing(text):
                writing.check_whole(text)
                values[name.replace(" ", "_")] = _READERS[name](text)
        except Unreadable as refusal:
            problems.append(Problem(name, str(refusal), PLACE_LINES[name].look))
    if problems:
        raise BadPlate(problems, "place")
    return Place(**values, typed=lines)


def _supply_volts(text: str) -> float:
    value = writing.measure(text, "voltage", "V")
    if not 80.0 <= value <= 700.0:
        raise Unreadable(
            f"{value:g} V is no supply of a compressor; the meter's range or the lead may be wrong"
        )
    return value


def _hertz(text: str) -> float:
    value = writing.number(re.sub(r"(?i)hz", "", writing.tidy(text)))
    if round(value) not in (50, 60):
        raise Unreadable(f"{value:g} Hz is no supply; it is 50 or 60 Hz")
    return float(round(value))


def _wire(text: str) -> int:
    value = writing.number(re.sub(r"(?i)awg|#|no\.?|copper|cu", "", writing.tidy(text)))
    if value != int(value) or not 2 <= value <= 18 or re.search(r"(?i)mm", text):
        raise Unreadable(f"'{writing.tidy(text)}' is no gauge held here. Write it as 10 AWG")
    return int(value)


def _terminals(text: str) -> int:
    value = int(writing.number(re.sub(r"(?i)°|deg|c\b", "", writing.tidy(text))))
    if value not in WIRE_RATINGS:
        raise Unreadable(f"wire and terminals are rated 60, 75 or 90 °C, not {value}")
    return value


def _choice(known: Mapping[str, str]) -> Callable[[str], str]:
    def read(text: str) -> str:
        typed = writing.tidy(text).casefold()
        if typed not in known:
            raise Unreadable(f"'{writing.tidy(text)}' is none of {', '.join(dict.fromkeys(known.values()))}")
        return known[typed]

    return read


def _quantity(name: str, low: float, high: float, default_unit: str = "") -> Callable[[str], float]:
    def read(text: str) -> float:
        value = writing.measure(text, name, default_unit)
        if not low <= value <= high:
            raise Unreadable(f"'{writing.tidy(text)}' lies outside what can be; check the unit")
        return value

    return read


_READERS: dict[str, Callable[[str], Any]] = {
    "supply volts": _supply_volts,
    "supply phase": plate_words.phase,
    "supply hertz": _hertz,
    "room": lambda text: plate_words.word(text, "motors", "room_kind", "room").kind,
    "room temperature": _quantity("temperature", 233.15, 353.15),
    "altitude": _quantity("altitude", -450.0, 5000.0),
    "breaker": _quantity("current", 5.0, 400.0, "A"),
    "wire": _wire,
    "terminals": _terminals,
    "run": _quantity("length", 0.1, 500.0),
    "head at start": _choice(HEADS),
    "drive": _choice(DRIVES),
    "rotation needed": plate_words.rotation,
    "hub length": _quantity("small_length", 0.005, 0.3),
    "motor sheave": _quantity("small_length", 0.03, 0.6),
    "flywheel": _quantity("small_length", 0.05, 1.5),
    "pump speed limit": _quantity("speed_rpm", 100.0, 4000.0),
    "pump power": _quantity("power", 50.0, 50_000.0),
}
