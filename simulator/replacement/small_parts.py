"""Gauges, drains, regulators, filters, tubes and breathers in short form: the few things that make or mar each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulator import units
from simulator.components.spec import nearest
from simulator.replacement import small_fittings, small_supply
from simulator.replacement.comparing import BLANK
from simulator.replacement.part_reading import read_lines
from simulator.replacement.part_rules import part_rule
from simulator.replacement.small_part_plates import PART_LINES, PLACE_LINES, TITLES
from simulator.replacement.threads import Adapted, goes_into
from simulator.replacement.verdict import Judgement, Reason, judge

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from simulator.replacement.small_common import Known


CAUTIONS = (
    "Make safe before a joint is opened: motor locked and tagged, drain open and blowing stopped, gauge at zero, head line vented.",
)


class UnknownPart(ValueError):
    """No small part of that name; names the nearest."""


def read_small_part(
    kind: str, typed: Mapping[str, str] | Iterable[str] | str, which: str = "new part"
) -> Known:
    """Read what is known of a small part.

    Parameters
    ----------
    kind : str
        "gauge", "drain", "regulator", "filter", "tube" or "breather".
    typed : mapping, iterable of str or str
        Line to value, lines such as "range=0-200 psi", or one string of them parted by semicolons.
    which : str
        Whose, for the refusal.

    Returns
    -------
    dict
        Line to value in SI; what is not known is left out.

    Raises
    ------
    UnknownPart
        Naming the nearest kind.
    BadPlate
        With every line that cannot be read.
    """
    check_kind(kind)
    return read_lines(typed, PART_LINES[kind], which)


def read_small_place(
    kind: str, typed: Mapping[str, str] | Iterable[str] | str, which: str = "machine"
) -> Known:
    """Read what is known of the place that a small part goes to; as `read_small_part`."""
    check_kind(kind)
    return read_lines(typed, PLACE_LINES[kind], which)


def check_kind(kind: str) -> None:
    """Refuse a kind of part that is not judged here."""
    if kind not in PART_LINES:
        raise UnknownPart(f"No small part is called '{kind}'.{nearest(kind, PART_LINES)}")


def judge_small_part(kind: str, new: Known, place: Known, system: units.System = "us") -> Judgement:
    """Judge a small part for its place.

    Parameters
    ----------
    kind : str
        "gauge", "drain", "regulator", "filter", "tube" or "breather".
    new : dict
        From `read_small_part`.
    place : dict
        From `read_small_place`.
    system : str
        Units of the parts card, "us" or "metric"; never of the verdict.

    Returns
    -------
    Judgement
        With every reason, the most dangerous first.

    Raises
    ------
    UnknownPart
        Naming the nearest kind.
    """
    check_kind(kind)
    reasons = _JUDGES[kind](new, place)
    if "thread" in PART_LINES[kind]:
        reasons.append(
            goes_into(
                part_rule(f"{kind}-thread"),
                new.get("thread"),
                place.get("thread"),
                adapted=_ADAPTED.get(kind, "either"),
            )
        )
    return judge(kind, reasons, _parts_card(kind, place, system), CAUTIONS)


def _parts_card(kind: str, place: Known, system: units.System) -> list[str]:
    """Say what exactly to ask for: what the place asks, with blanks for what is not known."""
    lines = [TITLES[kind]]
    at_intake = kind == "filter" and place.get("place") == "intake"
    for line in PLACE_LINES[kind].values():
        if at_intake and line.name in _ONLY_IN_A_LINE:
            continue
        lines.append(f"{line.title}: {_shown(place.get(line.name), line.name, system)}")
    return lines


# A drain must not be narrowed, a breather neither; the rest may sit on an adapter.
_ADAPTED: dict[str, Adapted] = {"drain": "smaller", "breather": "never"}
_ONLY_IN_A_LINE = ("relief", "temperature")  # an intake filter sees neither pressure nor heat
_QUANTITIES = {
    "temperature": "temperature",
    "flow": "air_flow",
    "droop": "pressure_drop",
    "bore": "small_length",
    "outside": "small_length",
}


def _shown(value: Any, name: str, system: units.System) -> str:
    if value is None:
        return BLANK
    if isinstance(value, float):
        return units.show(value, _QUANTITIES.get(name, "gauge_pressure"), system)
    return str(getattr(value, "title", value)) if not isinstance(value, str) else value


_JUDGES: dict[str, Callable[[Known, Known], list[Reason]]] = {
    "gauge": small_fittings.gauge_reasons,
    "drain": small_fittings.drain_reasons,
    "regulator": small_supply.regulator_reasons,
    "filter": small_supply.filter_reasons,
    "tube": small_fittings.tube_reasons,
    "breather": small_fittings.breather_reasons,
}
KINDS = tuple(_JUDGES)
