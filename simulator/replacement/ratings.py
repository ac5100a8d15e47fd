"""What a switch's contacts are rated for, as it stands on the cover: power, volts, phases, amps, pilot duty."""

from __future__ import annotations

import contextlib
import re
from dataclasses import dataclass

from simulator.replacement import writing
from simulator.replacement.circuit import table_current
from simulator.replacement.conductors import NotListed
from simulator.replacement.writing import Unreadable

SAME_VOLTS = 0.1  # share by which a supply and a rating may part and still be the same system: 230 and 240 V
_PARTS = {
    "power": r"(?:\d+[- ])?\d+ ?/ ?\d+ ?(?:hp|kw)|\d*\.?\d+ ?(?:hp|kw)\b",
    "amps": r"\d*\.?\d+ ?(?:amps?|a)\b",
    "volts": r"\d+(?:[/-]\d+)* ?(?:v ?ac|vac|volts?|v)\b",
}
_PHASE = re.compile(r"\b(1|single|one|3|three)[- ]?(?:ph(?:ase)?\b|~)|([13])\s?~")
_NOTHING = re.compile(
    r"\b(?:at|on|motor|ac|rated|up to|max|and|fla|full load|pilot duty|resistive|phase)\b|[,@()]"
)
CONTRADICTION = 1.6  # share by which a stated current may lie under the table's for the stated power


@dataclass(frozen=True)
class Rating:
    """One line of a rating. `motor` says that it is meant for starting a motor, not for a heater."""

    volts: float
    phases: int | None = None
    power: float | None = None  # [W]
    amps: float | None = None
    motor: bool = False
    pilot: bool = False

    def is_for(self, volts: float) -> bool:
        """Whether it is given for this system of volts."""
        return abs(volts / self.volts - 1.0) <= SAME_VOLTS


def read_ratings(text: str) -> tuple[Rating, ...]:
    """Read the ratings of a switch.

    Parameters
    ----------
    text : str
        Such as "30 A, 230 V, 5 hp", "2 hp at 115 V / 3 hp at 230 V 1 ph", "16 A, 400 V AC-3" or "pilot duty 600 V".

    Returns
    -------
    tuple of Rating
        One for each power or current with its volts.

    Raises
    ------
    Unreadable
        If a part has no volts, cannot be read, or contradicts itself.

    Examples
    --------
    >>> [(round(one.power), one.volts) for one in read_ratings("2 hp at 115 V / 3 hp at 230 V")]
    [(1491, 115.0), (2237, 230.0)]
    """
    typed = writing.tidy(text)
    parts = [
        group for part in re.split(r"\s/\s|\s\+\s|(?<=[Vv]) /|/ (?=\d)", typed) for group in _groups(part)
    ]
    ratings: list[Rating] = []
    for part in parts:
        ratings += _part(part.casefold(), typed)
    if not ratings:
        raise Unreadable(f"'{typed}' gives no rating. Write it as 5 hp 230 V 1 phase")
    return tuple(ratings)


def _groups(part: str) -> list[str]:
    """Part at commas where a new rating begins: where the one before has its volts and the next brings its own."""
    groups: list[str] = []
    for piece in part.split(","):
        if groups and not (
            re.search(_PARTS["volts"], groups[-1].casefold()) and re.search(_PARTS["volts"], piece.casefold())
        ):
            groups[-1] += f" {piece}"
        elif piece.strip():
            groups.append(piece)
    return [group for group in groups if group.strip()]


def _part(part: str, whole: str) -> list[Rating]:
    motor = re.search(r"ac-?3|motor|fla|full load", part) is not None
    part = part.replace("ac-3", " ").replace("ac3", " ")
    found = {name: re.findall(pattern, part) for name, pattern in _PARTS.items()}
    phase = _PHASE.search(part)
    phases = None if phase is None else (1 if (phase[1] or phase[2]) in {"1", "single", "one"} else 3)
    rest = part
    for name in ("power", "volts"):
        rest = re.sub(_PARTS[name], " ", rest)
    rest = _NOTHING.sub(" ", re.sub(_PARTS["amps"], " ", _PHASE.sub(" ", rest))).strip(" .;-")
    if rest:
        raise Unreadable(f"'{rest}' in '{whole}' has no meaning in a rating. Write it as 5 hp 230 V 1 phase")
    if not found["volts"]:
        raise Unreadable(f"'{whole}' gives a rating without its volts: 15 A at 115 V is not 15 A at 230 V")
    if len(found["power"]) > 1 or len(found["amps"]) > 1 or len(found["volts"]) > 1:
        raise Unreadable(
            f"'{whole}' runs several ratings together. Part them by ' / ', such as 2 hp at 115 V / 3 hp at 230 V"
        )
    pilot = "pilot" in part
    power = writing.measure(found["power"][0], "power") if found["power"] else None
    amps = writing.measure(found["amps"][0], "current") if found["amps"] else None
    if power is None and amps is None and not pilot:
        raise Unreadable(f"'{whole}' gives volts and neither power nor amps")
    motor = not pilot and (power is not None or motor)
    volts = [float(one) for one in re.findall(r"\d+", found["volts"][0])]
    for one in volts:
        _check(power, amps, one, phases, whole)
    return [Rating(one, phases, power, amps, motor=motor, pilot=pilot) for one in volts]


def _check(power: float | None, amps: float | None, volts: float, phases: int | None, whole: str) -> None:
    """Refuse a power that such a current could never carry."""
    if power is None or amps is None:
        return
    drawn = []
    for count in (1, 3) if phases is None else (phases,):
        with contextlib.suppress(NotListed):
            drawn.append(table_current(power, volts, count))
    if drawn and min(drawn) > CONTRADICTION * amps:
        raise Unreadable(
            f"'{whole}' contradicts itself: so much power at {volts:g} V draws about {min(drawn):.0f} A"
        )
