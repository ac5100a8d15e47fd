"""Gauges, drains, tubes and breathers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator.replacement.comparing import above, below, figures
from simulator.replacement.part_rules import PartRule, part_rule
from simulator.replacement.small_common import Known, bears, metal, same_word
from simulator.replacement.small_part_plates import PART_LINES, PLACE_LINES

if TYPE_CHECKING:
    from simulator.replacement.verdict import Reason

# Share by which two outside diameters may part and still be one size: 1/4 in is 6.35 mm, not 6.
_SAME_TUBE = 0.005


def gauge_reasons(new: Known, place: Known) -> list[Reason]:
    """Scale against working pressure and relief; side of the connection."""
    rule, scale, working, relief = (
        part_rule("gauge-range"),
        new.get("range"),
        place.get("working"),
        place.get("relief"),
    )
    known = figures(
        ("top of the scale", scale[1] if scale else None, "gauge_pressure"),
        ("working pressure", working, "gauge_pressure"),
        ("relief", relief, "gauge_pressure"),
    )
    mount = same_word(
        "gauge-mount",
        "mount",
        new,
        place,
        "The old connection was at another side.",
        "Turn it by an elbow of metal so that the dial faces the one who stands there.",
    )
    if scale is None or working is None:
        missing = PART_LINES["gauge"]["range"].look if scale is None else PLACE_LINES["gauge"]["working"].look
        return [rule.asks("Its scale and the working pressure are not both known.", missing, *known), mount]
    if working > scale[1] or (relief is not None and above(relief, scale[1])):
        found = rule.refuses(
            "Its scale ends below the relief's setting: just when it matters the pointer lies on the pin.",
            *known,
        )
    elif above(working, rule.limit("to_share") * scale[1]):
        found = rule.changes(
            "The working pressure stands beyond three quarters of its scale: it tires early and shows little above.",
            "Take a scale of about twice the working pressure.",
            *known,
        )
    elif below(working, rule.limit("from_share") * scale[1]):
        found = rule.refuses(
            "The working pressure stands in the first quarter of its scale, where nobody reads it well.",
            *known,
        )
    elif relief is None:
        found = rule.asks(
            "The relief's setting, which the scale must show, is not known.",
            PLACE_LINES["gauge"]["relief"].look,
            *known,
        )
    else:
        found = rule.fits(
            "The working pressure stands in the middle of its scale, and the relief's setting on it.", *known
        )
    return [found, mount]


def drain_reasons(new: Known, place: Known) -> list[Reason]:
    """Pressure, material and how it opens."""
    return [
        bears(
            "drain-pressure",
            new.get("pressure"),
            place.get("mawp"),
            "gauge_pressure",
            "pressure",
            danger=True,
        ),
        metal(part_rule("drain-material"), new.get("material"), tubes_too=False),
        _opening(part_rule("drain-opening"), new),
    ]


def _opening(rule: PartRule, new: Known) -> Reason:
    kind, bore = new.get("opening"), new.get("bore")
    known = figures(("bore", bore, "small_length"), ("at least", rule.limit("least_bore"), "small_length"))
    if kind is None:
        return rule.asks("How it opens is not known.", PART_LINES["drain"]["opening"].look)
    if kind == "plug":
        return rule.warns("A plug drains nothing, and can only be opened under pressure or not at all.")
    if kind == "automatic":
        return rule.changes(
            "It opens by itself and shows no open way when the machine is made safe.",
            "Keep a drain cock that is opened by hand beside it, and open it when the machine is made safe.",
        )
    if bore is None:
        return rule.asks("Its bore is not known.", PART_LINES["drain"]["bore"].look)
    if below(bore, rule.limit("least_bore")):
        return rule.refuses(
            "It is so narrow that scale blocks it, and a blocked drain looks like an empty tank.", *known
        )
    return rule.fits("It opens by hand and passes water and scale.", *known)


def tube_reasons(new: Known, place: Known) -> list[Reason]:
    """Material, heat, pressure, bore and outside diameter."""
    return [
        metal(part_rule("tube-material"), new.get("material"), tubes_too=True),
        bears(
            "tube-temperature",
            new.get("temperature"),
            place.get("temperature"),
            "temperature",
            "temperature",
            danger=True,
        ),
        bears(
            "tube-pressure",
            new.get("pressure"),
            place.get("relief"),
            "gauge_pressure",
            "pressure",
            danger=True,
        ),
        bears("tube-bore", new.get("bore"), place.get("bore"), "small_length", "bore", danger=False),
        _outside(part_rule("tube-outside"), new.get("outside"), place.get("outside")),
    ]


def _outside(rule: PartRule, new: float | None, old: float | None) -> Reason:
    known = figures(("it has", new, "small_length"), ("fittings take", old, "small_length"))
    if new is None or old is None:
        return rule.asks(
            "Its outside diameter and that of the fittings are not both known.",
            PART_LINES["tube"]["outside"].look,
            *known,
        )
    if abs(new / old - 1.0) > _SAME_TUBE:
        return rule.changes(
            "Its outside diameter is another than the fittings take.",
            "Renew the fittings at both ends for its diameter, rated for heat and pressure.",
            *known,
        )
    return rule.fits("The fittings take its diameter.", *known)


def breather_reasons(new: Known, place: Known) -> list[Reason]:
    """Whether it breathes, how wide, and valved or not."""
    rule = part_rule("breather-kind")
    if new.get("kind") is None:
        kind = rule.asks("It is not known whether air passes it.", PART_LINES["breather"]["kind"].look)
    elif new["kind"] == "plug":
        kind = rule.warns(
            "A plug lets nothing out: blow-by pushes the oil past the seals and can burst the glass."
        )
    else:
        kind = rule.fits("It breathes.")
    bore = bears("breather-bore", new.get("bore"), place.get("bore"), "small_length", "bore", danger=False)
    return [kind, bore, _valve(part_rule("breather-valve"), new.get("valve"), place.get("valve"))]


def _valve(rule: PartRule, new: str | None, old: str | None) -> Reason:
    if old == "no":
        return rule.fits("The old one had no valve, and none is needed.")
    if new is None or old is None:
        return rule.asks(
            "It is not known of both whether there is a valve in it.", PART_LINES["breather"]["valve"].look
        )
    if new == "no":
        return rule.refuses("It has no valve, as the old one had: it lets dust in and oil mist out.")
    return rule.fits("It is valved, as the old one was.")
