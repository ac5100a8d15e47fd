"""Every kind of part that can be judged, asked in one way: what to type, and the verdict on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator.components.spec import nearest
from simulator.replacement.air_parts import AIR_PARTS, fitted_on
from simulator.replacement.drive_plates import DRIVE_LINES, read_drive
from simulator.replacement.drives import fit_drive
from simulator.replacement.machines import find_machine
from simulator.replacement.motors import fit_motor
from simulator.replacement.place import PLACE_LINES, read_place
from simulator.replacement.plate_lines import MOTOR_LINES, gather
from simulator.replacement.plates import read_motor_plate

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from simulator import units
    from simulator.replacement.plate_lines import Line
    from simulator.replacement.verdict import Judgement

    Typed = Mapping[str, Mapping[str, str]]

OLD, NEW, PLACE = "old", "new", "place"


class UnknownKind(ValueError):
    """No kind of part of that name; names the nearest."""


@dataclass(frozen=True)
class Kind:
    """A kind of part: its title, the sheets that are filled in for it with their lines, and its judge."""

    name: str
    title: str
    sheets: Mapping[str, Mapping[str, Line]]  # "old", "new", "place"
    judge: Callable[[Typed, units.System], Judgement]


def _motor(typed: Typed, _system: units.System) -> Judgement:
    old, new = read_motor_plate(typed[OLD], "old plate"), read_motor_plate(typed[NEW], "new plate")
    return fit_motor(old, new, read_place(typed[PLACE]))


def _drive(typed: Typed, _system: units.System) -> Judgement:
    return fit_drive(read_drive(typed[OLD], "old drive"), read_drive(typed[NEW], "new drive"))


def _air(name: str) -> Kind:
    """Make a kind of a valve, a switch or a small part, which are judged for a place and not against an old one."""
    part = AIR_PARTS[name]

    def judge(typed: Typed, system: units.System) -> Judgement:
        new = part.read_part(typed[NEW], "new part")
        return part.judge(new, part.read_place(typed[PLACE], "place"), system)

    return Kind(name, part.title, {NEW: part.part_lines, PLACE: part.place_lines}, judge)


KINDS: Mapping[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("motor", "Motor", {OLD: MOTOR_LINES, NEW: MOTOR_LINES, PLACE: PLACE_LINES}, _motor),
        Kind("drive", "Sheaves and belts", {OLD: DRIVE_LINES, NEW: DRIVE_LINES}, _drive),
        *(_air(name) for name in AIR_PARTS),
    )
}


def find_kind(name: str) -> Kind:
    """Find a kind of part.

    Parameters
    ----------
    name : str
        Such as "motor" or "check-valve".

    Returns
    -------
    Kind
        With its sheets and its judge.

    Raises
    ------
    UnknownKind
        Naming the nearest.
    """
    if name not in KINDS:
        raise UnknownKind(f"No kind of part is called '{name}'.{nearest(name, set(KINDS))}")
    return KINDS[name]


def judge_part(name: str, typed: Typed, system: units.System = "us") -> Judgement:
    """Judge a part by what was typed on its sheets.

    Parameters
    ----------
    name : str
        Kind of part.
    typed : mapping
        "old", "new", "place" to line and value; a sheet that is left out is blank.
    system : str
        Units of the words, "us" or "metric"; never of the verdict.

    Returns
    -------
    Judgement
        With every reason, the most dangerous first.

    Raises
    ------
    UnknownKind
        Naming the nearest kind.
    BadPlate
        With every line that cannot be read or contradicts another.

    Examples
    --------
    >>> judge_part("motor", {"old": {"hp": "3"}, "new": {"hp": "2"}}).verdict.value
    'does-not-fit'
    """
    kind = find_kind(name)
    return kind.judge({sheet: typed.get(sheet, {}) for sheet in kind.sheets}, system)


def sheets_of_rig(name: str, rig: str, guards: str = "") -> dict[str, dict[str, str]]:
    """Give the sheets that the plates of a rig fill in, to start from.

    Parameters
    ----------
    name : str
        Kind of part.
    rig : str
        Slug of the rig.
    guards : str
        For a relief valve: what it protects; the receiver if left out.

    Returns
    -------
    dict
        Sheet to line and value; empty if the rig has no such motor or drive.

    Raises
    ------
    NoSuchMachine
        Naming the nearest rig, or what a rig has of the parts of its air side.
    """
    if name in AIR_PARTS:
        return {PLACE: dict(fitted_on(rig, name, guards).place)}
    machine = find_machine(rig)
    if name == "motor" and machine.motor:
        return {OLD: dict(machine.motor), PLACE: dict(machine.place)}
    if name == "drive" and machine.drive:
        return {OLD: gather(machine.drive, DRIVE_LINES, rig)}
    return {}
