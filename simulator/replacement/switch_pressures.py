"""A pressure switch's pressures against machine and vessel: range, fixed settings, differential, body."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator.replacement.comparing import above, below
from simulator.replacement.part_rules import part_rule
from simulator.replacement.problems import Problem
from simulator.replacement.verdict import Figure, Reason

if TYPE_CHECKING:
    from simulator.replacement.switches import SwitchPlace, SwitchPlate


def margin() -> float:
    """What the relief's setting is at least above the cut-out, as a factor. [-]"""
    return part_rule("switch-range").limit("relief_over_cut_out")


def contradictions(place: SwitchPlace) -> list[Problem]:
    """What cannot be true of a machine's pressures."""
    problems: list[Problem] = []
    if place.cut_in is not None and place.cut_out is not None and place.cut_in >= place.cut_out:
        problems.append(
            Problem("cut-in", "it must lie below the cut-out", "Read both again on the machine's plate.")
        )
    if place.cut_out is not None and place.mawp is not None and place.cut_out >= place.mawp:
        why = "the cut-out reaches the highest pressure allowed in the vessel"
        problems.append(Problem("cut-out", why, "Do not run it; read both plates again."))
    if place.relief is not None and place.mawp is not None and above(place.relief, place.mawp):
        why = "the relief is set above the highest pressure allowed in the vessel"
        problems.append(Problem("relief", why, "Do not run it; the relief comes first."))
    return problems


def reasons(new: SwitchPlate, place: SwitchPlace) -> list[Reason]:
    """Range, what could be set, body and differential."""
    found = [_range(new, place), _body(new, place), _differential(new, place)]
    return found if _is_fixed(new) else [*found, _above_vessel(new, place)]


def _is_fixed(new: SwitchPlate) -> bool:
    return new.setting == "fixed" or (new.setting is None and new.range is None and new.cut_out is not None)


def _range(new: SwitchPlate, place: SwitchPlace) -> Reason:
    rule = part_rule("switch-range")
    figures = _figures(place.cut_out, new.range, new.cut_out)
    if place.cut_out is None:
        return rule.asks(
            "The machine's cut-out is not known.", "What cut-out does the machine's plate give?", *figures
        )
    if _is_fixed(new):
        return _fixed(new, place, figures)
    if new.range is None:
        return rule.asks(
            "The range of the switch is not known.",
            "Which range of cut-out stands inside the cover?",
            *figures,
        )
    if below(place.cut_out, new.range[0]) or above(place.cut_out, new.range[1]):
        return rule.refuses("The machine's cut-out lies outside its range.", *figures)
    return _under_the_relief(place.cut_out, place.relief, figures)


def _under_the_relief(cut_out: float, relief: float | None, figures: tuple[Figure, ...]) -> Reason:
    """The machine's own cut-out, which the switch can give, against the relief."""
    rule = part_rule("switch-range")
    if relief is None:
        return rule.asks(
            "The cut-out lies within its range; the relief that it must stay below is not known.",
            "What does the relief's tag give as its setting?",
            *figures,
        )
    if above(cut_out * margin(), relief):
        return rule.changes(
            "The cut-out lies within its range, but nearer to the relief than a tenth.",
            "Lower the cut-out on a proven gauge until the relief is set at least a tenth above it.",
            *figures,
        )
    return rule.fits("The machine's cut-out lies within its range, and well below the relief.", *figures)


def _fixed(new: SwitchPlate, place: SwitchPlace, figures: tuple[Figure, ...]) -> Reason:
    """A switch that does what it was made for and nothing else."""
    rule = part_rule("switch-range")
    if new.cut_out is None or place.cut_out is None:
        return rule.asks(
            "The cut-out that is fixed in it is not known.", "Which cut-out stands on the cover?", *figures
        )
    if place.mawp is not None and not below(new.cut_out, place.mawp):
        return rule.warns(
            "Its fixed cut-out reaches the highest pressure allowed: only the relief would hold the vessel.",
            *figures,
        )
    near = place.relief is not None and above(new.cut_out * margin(), place.relief)
    for wrong, words in (
        (near, "Its fixed cut-out lies too near the relief, which would weep or pop."),
        (
            above(new.cut_out, place.cut_out),
            "Its fixed cut-out lies above the machine's plate: hotter heads, more amps, less margin.",
        ),
        (
            below(new.cut_out, place.cut_out),
            "Its fixed cut-out lies below the machine's plate: the shop would not get its pressure.",
        ),
    ):
        if wrong:
            return rule.refuses(words, *figures)
    if place.mawp is None and place.relief is None:
        return rule.asks(
            "Neither MAWP nor relief is known, which a fixed cut-out must stay below.",
            "What do the vessel's plate and the relief's tag give?",
            *figures,
        )
    return rule.fits("Its fixed cut-out is the machine's.", *figures)


def _above_vessel(new: SwitchPlate, place: SwitchPlace) -> Reason:
    rule = part_rule("switch-above-vessel")
    highest = new.range[1] if new.range else None
    figures = tuple(
        Figure(title, value, "gauge_pressure")
        for title, value in (
            ("can be set to", highest),
            ("highest allowed", place.mawp),
            ("relief", place.relief),
        )
        if value is not None
    )
    if highest is None:
        return rule.asks(
            "How high it can be set is not known.",
            "Which range of cut-out stands inside the cover?",
            *figures,
        )
    if place.mawp is None:
        return rule.asks(
            "The highest pressure allowed in the vessel is not known.",
            "What does the vessel's plate give as MAWP or PS?",
            *figures,
        )
    if above(highest, place.mawp):
        return rule.changes(
            "It can be set above what the vessel is allowed.",
            "Set it with a proven gauge to the machine's cut-out and mark the cover; better, take one of a lower range.",
            *figures,
        )
    return rule.fits("It cannot be set above what the vessel is allowed.", *figures)


def _body(new: SwitchPlate, place: SwitchPlace) -> Reason:
    rule = part_rule("switch-body")
    bears = new.body_pressure or (new.range[1] if new.range else None)
    figures = tuple(
        Figure(title, value, "gauge_pressure")
        for title, value in (("bears at least", bears), ("highest allowed", place.mawp))
        if value is not None
    )
    if place.mawp is None:
        return rule.asks(
            "The highest pressure allowed in the vessel is not known.",
            "What does the vessel's plate give as MAWP or PS?",
            *figures,
        )
    if bears is not None and not below(bears, place.mawp):
        return rule.fits("Its diaphragm bears what the vessel may reach.", *figures)
    if new.body_pressure is not None:
        return rule.warns("Its diaphragm does not bear what the vessel may reach.", *figures)
    return rule.asks(
        "What its diaphragm bears is not known.",
        "Which highest pressure does the maker's sheet give for the body?",
        *figures,
    )


def _differential(new: SwitchPlate, place: SwitchPlace) -> Reason:
    rule = part_rule("switch-differential")
    wanted = place.cut_out - place.cut_in if place.cut_out is not None and place.cut_in is not None else None
    figures = tuple(
        Figure(title, value, "pressure_drop")
        for title, value in (
            ("wanted", wanted),
            ("least of the machine", place.least_differential),
            ("least of the switch", new.differential[0] if new.differential else None),
            ("most of the switch", new.differential[1] if new.differential else None),
        )
        if value is not None
    )
    if wanted is None:
        return rule.asks(
            "The machine's cut-in and cut-out are not both known.",
            "Which cut-in and cut-out does the machine's plate give?",
            *figures,
        )
    if new.differential is None:
        return rule.asks(
            "The differential of the switch is not known.",
            "Which differential stands inside the cover, and can it be set?",
            *figures,
        )
    low, high = new.differential
    if place.least_differential is not None and below(high, place.least_differential):
        return rule.refuses(
            "Its widest differential is narrower than the machine bears: it would start too often.", *figures
        )
    if below(high, wanted):
        return rule.changes(
            "Its widest differential is narrower than the machine's plate: it starts a little more often.",
            "Set it to its widest differential and count the starts per hour.",
            *figures,
        )
    if above(low, wanted):
        return rule.changes(
            "Its narrowest differential is wider than the machine's plate: the cut-in comes lower.",
            "Tell the shop that the cut-in comes lower, and check that the tools bear it.",
            *figures,
        )
    return rule.fits("The machine's cut-in and cut-out can both be set.", *figures)


def _figures(
    wanted: float | None, span: tuple[float, float] | None, fixed: float | None
) -> tuple[Figure, ...]:
    known = [
        ("machine's cut-out", wanted),
        ("range from", span[0] if span else None),
        ("range to", span[1] if span else None),
        ("delivered with", fixed),
    ]
    return tuple(Figure(title, value, "gauge_pressure") for title, value in known if value is not None)
