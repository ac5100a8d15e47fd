"""How the plates of valves, switches and small parts are read, and what is known of the places they go to."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from simulator.replacement import writing
from simulator.replacement.plate_lines import Line, gather, parted
from simulator.replacement.plate_words import word
from simulator.replacement.problems import BadPlate, Problem
from simulator.replacement.writing import Unreadable

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

Span = tuple[float, float]

# A stamp counts air at its own standard conditions. A standard cubic foot (60 °F) and a normal cubic metre (0 °C)
# hold more air than as much free air (68 °F), so taking them for equal errs on the safe side, by 1.5 and 7 per cent.
STANDARD_FLOWS = {"scfm": "cfm", "s.c.f.m.": "cfm", "nl/min": "L/min", "nm³/h": "m³/h", "nm3/h": "m³/h"}
MOST_PIECES = 12
_PN = re.compile(r"(?i)PN ?(\d+)")
_WOG = re.compile(
    r"(?i)(?:(\d+) ?(?:psi )?WOG|WOG ?(\d+)(?: ?psi)?)"
)  # water, oil, gas: cold working pressure


@dataclass(frozen=True)
class Asked(Line):
    """A line of a part's plate, or of the place it goes to, and how it is read."""

    reader: Callable[[str], Any] = field(default=lambda text: text)


def read_lines(
    typed: Mapping[str, str] | Iterable[str] | str, lines: Mapping[str, Asked], which: str
) -> dict[str, Any]:
    """Read what was typed of a part or a place.

    Parameters
    ----------
    typed : mapping, iterable of str or str
        Line to value, lines such as "set=150 psi", or one string of them parted by semicolons or line ends.
    lines : mapping
        The lines that this part or place has.
    which : str
        Whose, for the refusal.

    Returns
    -------
    dict
        Line to value in SI; a line that is blank or cannot be read on the machine is left out.

    Raises
    ------
    BadPlate
        With every line that has no meaning, why, and what to look at.
    """
    values: dict[str, Any] = {}
    problems: list[Problem] = []
    for name, text in gather(parted(typed), lines, which).items():
        if writing.is_missing(text):
            continue
        try:
            writing.check_whole(text)
            values[re.sub(r"[ -]", "_", name)] = lines[name].reader(text)
        except Unreadable as refusal:
            problems.append(Problem(name, str(refusal), lines[name].look))
    if problems:
        raise BadPlate(problems, which)
    return values


def pressure(text: str) -> float:
    """Read a pressure by the gauge, above nothing. [Pa]."""
    return _positive(writing.measure(text, "gauge_pressure"), text)


def rated_pressure(text: str) -> float:
    """Read a pressure that a body is rated for: in a unit, or as PN 16 or 400 WOG have it. [Pa]."""
    typed = writing.tidy(text)
    if found := _PN.fullmatch(typed):
        return pressure(f"{found[1]} bar")
    if found := _WOG.fullmatch(typed):
        return pressure(f"{found[1] or found[2]} psi")
    return pressure(text)


def pressure_step(text: str) -> float:
    """Read a difference of pressures, above nothing. [Pa]."""
    return _positive(writing.measure(text, "pressure_drop"), text)


def temperature(text: str) -> float:
    """Read a temperature. [K]."""
    return writing.measure(text, "temperature")


def length(text: str) -> float:
    """Read a diameter or another small length, above nothing. [m]."""
    return _positive(writing.measure(text, "small_length"), text)


def flow(text: str) -> float:
    """Read a flow of free air; standard flows of a stamp are taken for free air, on the safe side. [m³/s]."""
    typed = writing.tidy(text)
    for written, taken in STANDARD_FLOWS.items():
        if typed.casefold().endswith(written):
            typed = f"{typed[: -len(written)]} {taken}"
            break
    try:
        return _positive(writing.measure(typed, "air_flow"), text)
    except Unreadable as refusal:
        raise Unreadable(str(refusal).replace(typed, writing.tidy(text))) from refusal


def voltage(text: str) -> float:
    """Read the volts that a part is connected to. [V]."""
    return _positive(writing.measure(text, "voltage", "V"), text)


def current(text: str) -> float:
    """Read a current. [A]."""
    return _positive(writing.measure(text, "current", "A"), text)


def power(text: str) -> float:
    """Read a motor's power. [W]."""
    return _positive(writing.measure(text, "power"), text)


def pressures(text: str) -> Span:
    """Read a range of pressures such as "40-175 psi" or "0 to 12 bar". [Pa]."""
    low, high = _span(text, "gauge_pressure")
    if low == high:
        raise Unreadable(f"'{writing.tidy(text)}' is one end of a range. Write both, such as 40-175 psi")
    return low, high


def scale(text: str) -> Span:
    """Read the scale of a gauge; one figure is its top, and it begins at nothing. [Pa]."""
    low, high = _span(text, "gauge_pressure")
    return (0.0 if low == high else low), high


def pressure_steps(text: str) -> Span:
    """Read a range of differentials, or a single one. [Pa]."""
    return _span(text, "pressure_drop")


def pieces(text: str) -> int:
    """Read a count of poles, ports or stages."""
    bare = re.sub(r"(?i)[- ]?(poles?|ports?|way|p)\b", "", writing.tidy(text)).strip()
    names = {
        "one": 1,
        "single": 1,
        "two": 2,
        "double": 2,
        "three": 3,
        "triple": 3,
        "four": 4,
        "none": 0,
        "no": 0,
    }
    if bare.casefold() in names:
        return names[bare.casefold()]
    if not bare.isdecimal() or int(bare) > MOST_PIECES:
        raise Unreadable(f"'{writing.tidy(text)}' is no count. Write a whole number such as 2")
    return int(bare)


def words(name: str, what: str) -> Callable[[str], str]:
    """Make a reader of one of the lists of words."""

    def reader(text: str) -> str:
        return word(text, "part_words", name, what).kind

    return reader


def _span(text: str, quantity: str) -> Span:
    typed = writing.tidy(text)
    ends = [end.strip() for end in re.split(r"\s*(?:-|\bto\b|\.\.|/)\s*", typed) if end.strip()]
    if len(ends) not in (1, 2):
        raise Unreadable(f"'{typed}' is no range. Write it as 40-175 psi or 0 to 12 bar")
    unit = re.sub(r"^[\d.,\s]+", "", ends[-1])
    first = ends[0] if re.search(r"[A-Za-z]", ends[0]) else f"{ends[0]} {unit}"
    low, high = writing.measure(first, quantity), writing.measure(ends[-1], quantity)
    if low < 0 or high <= 0 or high < low:
        raise Unreadable(f"'{typed}' is no range: it runs from low to high, such as 40-175 psi")
    return low, high


def _positive(value: float, text: str) -> float:
    if not value > 0:
        raise Unreadable(f"'{writing.tidy(text)}' must be above zero")
    return value
