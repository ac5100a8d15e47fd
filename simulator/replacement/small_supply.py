"""Regulators and filters."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator.replacement.comparing import above, below, figures
from simulator.replacement.part_rules import PartRule, part_rule
from simulator.replacement.small_common import Known, bears
from simulator.replacement.small_part_plates import PART_LINES, PLACE_LINES

if TYPE_CHECKING:
    from simulator.replacement.verdict import Reason


def regulator_reasons(new: Known, place: Known) -> list[Reason]:
    """Inlet, range, and droop at the flow wanted."""
    return [
        bears(
            "regulator-inlet",
            new.get("inlet_pressure"),
            place.get("relief"),
            "gauge_pressure",
            "pressure",
            danger=True,
        ),
        _outlet(part_rule("regulator-range"), new, place),
        _droop(part_rule("regulator-droop"), new, place),
    ]


def _outlet(rule: PartRule, new: Known, place: Known) -> Reason:
    span, wanted = new.get("range"), place.get("wanted")
    known = figures(
        ("from", span[0] if span else None, "gauge_pressure"),
        ("to", span[1] if span else None, "gauge_pressure"),
        ("wanted", wanted, "gauge_pressure"),
    )
    if span is None or wanted is None:
        look = (
            PART_LINES["regulator"]["range"].look if span is None else PLACE_LINES["regulator"]["wanted"].look
        )
        return rule.asks("Its range and the pressure wanted are not both known.", look, *known)
    if below(wanted, span[0]) or above(wanted, span[1]):
        return rule.refuses("The pressure wanted lies outside its range.", *known)
    return rule.fits("The pressure wanted lies within its range.", *known)


def _droop(rule: PartRule, new: Known, place: Known) -> Reason:
    rated, droop, wanted = new.get("flow"), new.get("droop"), place.get("flow")
    borne = place.get("droop", rule.limit("droop"))
    if rated is None or droop is None or wanted is None:
        look = (
            PLACE_LINES["regulator"]["flow"].look if wanted is None else PART_LINES["regulator"]["flow"].look
        )
        return rule.asks("Rated flow, droop at it and flow wanted are not all known.", look)
    falls = droop * wanted / rated
    known = figures(
        ("flow wanted", wanted, "air_flow"),
        ("falls by", falls, "pressure_drop"),
        ("borne", borne, "pressure_drop"),
    )
    if above(falls, borne):
        return rule.refuses(
            "It starves the tools: the pressure falls further than they bear at that flow.", *known
        )
    return rule.fits("It holds the pressure at that flow.", *known)


def filter_reasons(new: Known, place: Known) -> list[Reason]:
    """Flow; in a line pressure, heat and guard as well."""
    flow = bears("filter-flow", new.get("flow"), place.get("flow"), "air_flow", "flow", danger=False)
    if place.get("place") == "intake":
        return [flow]
    if place.get("place") is None:
        rule = part_rule("filter-pressure")
        return [flow, rule.asks("Where it sits is not known.", PLACE_LINES["filter"]["place"].look)]
    pressure = bears(
        "filter-pressure", new.get("pressure"), place.get("relief"), "gauge_pressure", "pressure", danger=True
    )
    heat = bears(
        "filter-temperature",
        new.get("temperature"),
        place.get("temperature"),
        "temperature",
        "temperature",
        danger=True,
    )
    return [flow, pressure, heat, _guard(part_rule("filter-pressure"), new.get("guard"))]


def _guard(rule: PartRule, guard: str | None) -> Reason:
    if guard is None:
        return rule.asks(
            "It is not known whether a clear bowl has its guard.", PART_LINES["filter"]["guard"].look
        )
    if guard == "no":
        return rule.changes(
            "Its bowl has no guard: a bowl that bursts throws splinters.",
            "Fit the metal guard or a metal bowl made for it.",
        )
    return rule.fits("Its bowl is guarded.")
