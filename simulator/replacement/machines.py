"""What stands on the motors and drives of the rigs, to start from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from simulator.components.spec import nearest
from simulator.replacement.place import PLACE_LINES
from simulator.replacement.plate_lines import MOTOR_LINES, gather
from simulator.replacement.tables import table

if TYPE_CHECKING:
    from collections.abc import Mapping


class NoSuchMachine(ValueError):
    """No machine of that name, or none of its parts; says what there is."""


@dataclass(frozen=True)
class Machine:
    """The plates of one rig as typed lines; empty where it has no such part."""

    rig: str
    motor: Mapping[str, str]
    place: Mapping[str, str]
    drive: tuple[str, ...]
    note: str


@cache
def machines() -> Mapping[str, Machine]:
    """All machines by the slug of their rig.

    Returns
    -------
    mapping of str to Machine
        In the order of the file.
    """
    return {
        entry["rig"]: Machine(
            rig=entry["rig"],
            motor=gather(entry.get("motor", []), MOTOR_LINES, entry["rig"]),
            place=gather(entry.get("place", []), PLACE_LINES, entry["rig"]),
            drive=tuple(entry.get("drive", [])),
            note=entry.get("note", ""),
        )
        for entry in table("machines")["machine"]
    }


def find_machine(rig: str) -> Machine:
    """Find the plates of a rig.

    Parameters
    ----------
    rig : str
        Its slug.

    Returns
    -------
    Machine
        Its plates.

    Raises
    ------
    NoSuchMachine
        Naming the nearest.
    """
    if rig not in machines():
        raise NoSuchMachine(f"No plates are held for a rig '{rig}'.{nearest(rig, set(machines()))}")
    return machines()[rig]
