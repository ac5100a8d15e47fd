"""Valves, switches and small parts by one door: their lines, their judges, and what the rigs have of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from simulator.components.spec import nearest
from simulator.replacement import check_valves, reliefs, small_parts, switches
from simulator.replacement.check_valve_plates import CHECK_LINES, CHECK_PLACE_LINES
from simulator.replacement.machines import NoSuchMachine
from simulator.replacement.plate_lines import gather
from simulator.replacement.small_part_plates import PART_LINES, PLACE_LINES, TITLES
from simulator.replacement.tables import table

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from simulator.replacement.part_reading import Asked
    from simulator.replacement.verdict import Judgement


@dataclass(frozen=True)
class AirPart:
    """A kind of part of the air side: the lines of its plate and of its place, and how it is judged."""

    kind: str
    title: str
    part_lines: Mapping[str, Asked]
    place_lines: Mapping[str, Asked]
    read_part: Callable[..., Any]
    read_place: Callable[..., Any]
    judge: Callable[..., Judgement]


@dataclass(frozen=True)
class Fitted:
    """One part of one rig as typed lines: what it must suit, and what came on it."""

    rig: str
    kind: str
    place: Mapping[str, str]
    fitted: Mapping[str, str]


class NoSuchPart(NoSuchMachine):
    """The rig is unknown here or has no such part; says what there is."""


def _small(kind: str) -> AirPart:
    return AirPart(
        kind,
        TITLES[kind],
        PART_LINES[kind],
        PLACE_LINES[kind],
        lambda typed, which="new part": small_parts.read_small_part(kind, typed, which),
        lambda typed, which="machine": small_parts.read_small_place(kind, typed, which),
        lambda new, place, system="us": small_parts.judge_small_part(kind, new, place, system),
    )


AIR_PARTS: dict[str, AirPart] = {
    "relief": AirPart(
        "relief",
        "Relief valve",
        reliefs.RELIEF_LINES,
        reliefs.RELIEF_PLACE_LINES,
        reliefs.read_relief,
        reliefs.read_relief_place,
        reliefs.judge_relief,
    ),
    "switch": AirPart(
        "switch",
        "Pressure switch",
        switches.SWITCH_LINES,
        switches.SWITCH_PLACE_LINES,
        switches.read_switch,
        switches.read_switch_place,
        switches.judge_switch,
    ),
    "check-valve": AirPart(
        "check-valve",
        "Check valve",
        CHECK_LINES,
        CHECK_PLACE_LINES,
        check_valves.read_check_valve,
        check_valves.read_check_valve_place,
        check_valves.judge_check_valve,
    ),
    **{kind: _small(kind) for kind in small_parts.KINDS},
}


def find_air_part(kind: str) -> AirPart:
    """Find a kind of part.

    Raises
    ------
    NoSuchPart
        Naming the nearest.
    """
    if kind not in AIR_PARTS:
        raise NoSuchPart(f"No part of the air side is called '{kind}'.{nearest(kind, AIR_PARTS)}")
    return AIR_PARTS[kind]


@cache
def rig_parts() -> tuple[Fitted, ...]:
    """All parts of all rigs, in the order of the file."""
    return tuple(
        Fitted(
            entry["rig"],
            entry["kind"],
            gather(
                entry["place"], find_air_part(entry["kind"]).place_lines, f"{entry['rig']}, {entry['kind']}"
            ),
            gather(
                entry["fitted"], find_air_part(entry["kind"]).part_lines, f"{entry['rig']}, {entry['kind']}"
            ),
        )
        for entry in table("rig_parts")["part"]
    )


def fitted_on(rig: str, kind: str, guards: str = "") -> Fitted:
    """Find what a rig has.

    Parameters
    ----------
    rig : str
        Its slug.
    kind : str
        A key of `AIR_PARTS`.
    guards : str
        For a relief valve: "receiver", "interstage" or "head-line"; the receiver's if left out.

    Returns
    -------
    Fitted
        Place and part as typed lines.

    Raises
    ------
    NoSuchPart
        Saying what there is.
    """
    find_air_part(kind)
    of_rig = [one for one in rig_parts() if one.rig == rig]
    if not of_rig:
        known = {one.rig for one in rig_parts()}
        raise NoSuchPart(f"No parts are held for a rig '{rig}'.{nearest(rig, known)}")
    found = [
        one
        for one in of_rig
        if one.kind == kind and one.place.get("guards", "") in ("", guards or "receiver")
    ]
    if not found:
        there = ", ".join(
            dict.fromkeys(" ".join([one.kind, one.place.get("guards", "")]).strip() for one in of_rig)
        )
        raise NoSuchPart(f"'{rig}' has no {kind}{f' at the {guards}' if guards else ''}. It has: {there}.")
    return found[0]
