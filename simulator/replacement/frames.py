"""Motor frames, NEMA and IEC: what a name such as 184T, 56HZ or 112M B3 says of feet and shaft."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any

from simulator import units
from simulator.replacement.problems import BadPlate, Problem
from simulator.replacement.tables import table
from simulator.replacement.verdict import Standing
from simulator.replacement.writing import tidy

if TYPE_CHECKING:
    from collections.abc import Mapping

NEMA, IEC = "NEMA", "IEC"
LOOK = "Look for FR or FRAME with all its letters; or measure from the shaft's centre to the underside of the feet."
_NEMA_NAME = re.compile(r"(?P<maker>[A-Z]?)(?P<number>\d{2,3})(?P<letters>[A-Z]{0,3})")
_IEC_NAME = re.compile(
    r"(?P<maker>[A-Z]?)(?P<number>\d{2,3})(?P<letters>[SML]?)[- ]?(?P<poles>[2468]?)(?P<mounting>B\d{1,2})?"
)
_WORDS_ASIDE = re.compile(r"\b(?:FRAME|FR\.?|IEC|NEMA|FOOT|FEET|MOUNTED|IM)\b|[().,]")


@dataclass(frozen=True)
class Frame:
    """What a frame's name says; None where it does not say. [m]"""

    name: str
    series: str
    shaft_height: float | None
    holes_across: float | None
    holes_along: tuple[float, ...]  # one distance for each set of holes
    shaft_to_holes: float | None  # shoulder to the nearest holes
    hole: float | None
    shaft_diameter: float | None
    shaft_length: float | None
    usable_length: float | None
    key_width: float | None
    key_height: float | None
    key_length: float | None
    source: str
    standing: Standing
    flat_key: bool = False  # a flat on the shaft instead of a key
    has_feet: bool | None = True
    has_face: bool = False
    takes_belt: bool = True
    special_shaft: bool = False
    special_feet: bool = False
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Tolerances:
    """How far two measurements of one frame may lie apart. [m]"""

    holes: float
    shaft: float
    key_length: float


def tolerances() -> Tolerances:
    """Tolerances of the NEMA table, as far as it gives them."""
    nema = table("frames")["nema"]
    names = ("tolerance_holes", "tolerance_shaft", "tolerance_key_length")
    return Tolerances(*(units.convert(nema[name], "in", "m") for name in names))


@cache
def table_frames() -> Mapping[str, Frame]:
    """All frames of the tables by name.

    Returns
    -------
    mapping of str to Frame
        NEMA first, then IEC.
    """
    tables = table("frames")
    nema, iec = tables["nema"], tables["iec"]
    found = [_nema(dict(zip(nema["columns"], row, strict=True)), nema) for row in nema["rows"]]
    found += [_iec(dict(zip(iec["columns"], row, strict=True)), iec) for row in iec["rows"]]
    return {frame.name: frame for frame in found}


def find_frame(text: str) -> Frame:
    """Find a frame by its name, letters and mounting included.

    Parameters
    ----------
    text : str
        As on the plate, such as "184T", "56HZ" or "IEC 112M B3".

    Returns
    -------
    Frame
        With the dimensions that the name vouches for.

    Raises
    ------
    BadPlate
        If there is no such frame; the nearest are offered, with what to measure.

    Examples
    --------
    >>> frame = find_frame("56HZ")
    >>> round(frame.shaft_diameter / 0.0254, 4), frame.takes_belt
    (0.875, True)
    """
    name = re.sub(r"\s+", "", _WORDS_ASIDE.sub(" ", tidy(text).upper()))
    frame = _as_iec(name, text) or _as_nema(name, text)
    if frame is None:
        raise _refused(text, name)
    return frame


def shaft_height_by_name(number: str) -> float:
    """Shaft height that the digits of a NEMA name stand for.

    Parameters
    ----------
    number : str
        The digits of the name, two or three.

    Returns
    -------
    float
        [m]

    References
    ----------
    NEMA MG 1, frame designations: two digits are sixteenths of an inch, the first two of three are quarters.

    Examples
    --------
    >>> round(shaft_height_by_name("184") / 0.0254, 3)
    4.5
    """
    inches = int(number) / 16 if len(number) == 2 else int(number[:2]) / 4
    return units.convert(inches, "in", "m")


def _m(value: Any, unit: str) -> float | None:
    return units.convert(float(value), unit, "m") if isinstance(value, int | float) else None


def _need(value: Any, unit: str) -> float:
    return units.convert(float(value), unit, "m")


def _nema(row: Mapping[str, Any], about: Mapping[str, Any]) -> Frame:
    key = _m(row["key"], "in")
    return Frame(
        name=row["frame"],
        series=NEMA,
        shaft_height=_need(row["D"], "in"),
        holes_across=2 * _need(row["E"], "in"),
        holes_along=tuple(_need(one, "in") for one in row["F2"]),
        shaft_to_holes=_m(row["BA"], "in"),
        hole=_need(row["H"].split()[0], "in"),
        shaft_diameter=_need(row["U"], "in"),
        shaft_length=_need(row["N_W"], "in"),
        usable_length=_m(row["V"], "in"),
        key_width=key,
        key_height=key,
        key_length=_m(row["key_length"], "in"),
        source=about["source"],
        standing=Standing(about["standing"]),
        flat_key=row["key"] == "flat",
    )


def _iec(row: Mapping[str, Any], about: Mapping[str, Any]) -> Frame:
    return Frame(
        name=row["frame"],
        series=IEC,
        shaft_height=_need(row["H"], "mm"),
        holes_across=_need(row["A"], "mm"),
        holes_along=(_need(row["B"], "mm"),),
        shaft_to_holes=_m(row["C"], "mm"),
        hole=_m(row["K"], "mm"),
        shaft_diameter=_need(row["D"], "mm"),
        shaft_length=_need(row["E"], "mm"),
        usable_length=None,
        key_width=_m(row["key_width"], "mm"),
        key_height=_m(row["key_height"], "mm"),
        key_length=None,
        source=about["source"],
        standing=Standing(about["standing"]),
        notes=(about["note"],),
    )


def _as_iec(name: str, text: str) -> Frame | None:
    found = _IEC_NAME.fullmatch(name)
    if found is None:
        return None
    sizes = [
        one for one in table_frames().values() if one.series == IEC and one.name.startswith(found["number"])
    ]
    exact = [one for one in sizes if one.name == found["number"] + found["letters"]]
    if not exact and not found["letters"] and len(sizes) == 1:
        exact = sizes
    if not exact:
        return None
    return _mounted(exact[0], found["mounting"] or "", text)


def _mounted(frame: Frame, mounting: str, text: str) -> Frame:
    if not mounting:
        return frame
    known = {one["code"]: one for one in table("frames")["mounting"]}
    if mounting not in known:
        near = ", ".join(difflib.get_close_matches(mounting, known, n=2) or known)
        why = f"'{tidy(text)}' names a mounting {mounting} that is not held here; nearest: {near}"
        raise BadPlate([Problem("frame", why, "Look whether it stands on feet.")])
    entry = known[mounting]
    return replace(frame, name=f"{frame.name} {mounting}", has_feet=entry["feet"], has_face=mounting != "B3")


def _as_nema(name: str, text: str) -> Frame | None:
    found = _NEMA_NAME.fullmatch(name)
    if found is None:
        return None
    special = {entry["frame"]: entry for entry in table("frames")["nema"]["special"]}
    if name in special:
        return _special(special[name])
    base, letters = _base(found["number"], found["letters"])
    if base is None:
        return None
    frame = replace(base, name=found["number"] + found["letters"])
    if found["maker"]:
        frame = _noted(frame, f"the letter {found['maker']} before the number is the maker's own")
    for letter in letters:
        frame = _with_letter(frame, letter, text)
    return _with_face_distance(frame)


def _base(number: str, letters: str) -> tuple[Frame | None, str]:
    """Find the row that gives the dimensions, and the letters that remain to be looked at."""
    frames = table_frames()
    for length in range(len(letters), -1, -1):
        row = frames.get(number + letters[:length])
        if row is not None and row.series == NEMA:
            return row, letters[length:]
    if "U" in letters and number + "T" in frames:
        return frames[number + "T"], letters
    return None, letters


def _with_letter(frame: Frame, letter: str, text: str) -> Frame:
    entry = next((one for one in table("frames")["suffix"] if one["letter"] == letter), None)
    if entry is None:
        raise _refused(text, frame.name)
    frame = _noted(frame, f"{letter}: {entry['meaning']}")
    if entry["effect"] == "face":
        return replace(frame, has_face=True, has_feet=None)
    if entry["effect"] == "feet":
        return replace(
            frame,
            shaft_height=None,
            holes_across=None,
            holes_along=(),
            shaft_to_holes=None,
            special_feet=True,
        )
    if entry["effect"] in ("shaft", "no-belt"):
        return replace(_without_shaft(frame), takes_belt=entry["effect"] == "shaft" and frame.takes_belt)
    return frame


def _without_shaft(frame: Frame) -> Frame:
    return replace(
        frame,
        shaft_diameter=None,
        shaft_length=None,
        usable_length=None,
        key_width=None,
        key_height=None,
        key_length=None,
        flat_key=False,
        special_shaft=True,
    )


def _with_face_distance(frame: Frame) -> Frame:
    distance = table("frames")["nema"]["face_BA"].get(frame.name)
    return frame if distance is None else replace(frame, shaft_to_holes=_need(distance, "in"))


def _special(entry: Mapping[str, Any]) -> Frame:
    like = table_frames()[entry["like"]]
    key = _need(entry["key"], "in")
    return replace(
        _without_shaft(like),
        name=entry["frame"],
        shaft_diameter=_need(entry["U"], "in"),
        shaft_length=_need(entry["N_W"], "in"),
        key_width=key,
        key_height=key,
        source=entry["source"],
        standing=Standing(entry["standing"]),
        notes=("Z: special shaft; measure it before ordering",),
    )


def _noted(frame: Frame, note: str) -> Frame:
    return replace(frame, notes=(*frame.notes, note))


def _nearest(name: str, digits: str) -> list[str]:
    """Names that look alike; first those of the height that the digits stand for."""
    frames = table_frames()
    alike = difflib.get_close_matches(name, frames, n=3, cutoff=0.5)
    if len(digits) == 3:
        height = shaft_height_by_name(digits)
        alike = [
            one for one, frame in frames.items() if frame.series == NEMA and frame.shaft_height == height
        ] + alike
    letters = re.sub(r"[\d ]", "", name)

    def distance(one: str) -> tuple[int, bool]:
        return abs(int(re.sub(r"\D", "", one)) - int(digits or 0)), not one.endswith(letters or one[-1])

    return sorted(dict.fromkeys(alike), key=distance)[:4]


def _refused(text: str, name: str) -> BadPlate:
    digits = "".join(re.findall(r"\d", name))
    known = list(table_frames())
    near = _nearest(name, digits)
    offered = f"The nearest are {', '.join(near)}." if near else f"Held are {', '.join(known)}."
    why = f"there is no frame '{tidy(text)}' in the tables. {offered}"
    look = LOOK
    if len(digits) in (2, 3):
        height = units.show(shaft_height_by_name(digits), "small_length", "us", 2)
        look += f" By its digits a NEMA {digits} would have its shaft {height} above the feet, an IEC {digits} {digits} mm."
    return BadPlate([Problem("frame", why, look)])
