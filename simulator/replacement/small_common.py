"""What gauges, drains, tubes and the like are all asked: whether a rating reaches, of what a part is made."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulator.replacement.comparing import below, figures
from simulator.replacement.part_rules import PartRule, part_rule
from simulator.replacement.small_part_plates import PART_LINES
from simulator.replacement.tables import words

if TYPE_CHECKING:
    from simulator.replacement.verdict import Reason

Known = dict[str, Any]


def bears(
    code: str, has: float | None, needs: float | None, quantity: str, line: str, *, danger: bool
) -> Reason:
    """Judge a rating that must reach what the place asks."""
    rule = part_rule(code)
    known = figures(("it has", has, quantity), ("needed", needs, quantity))
    if has is None or needs is None:
        whose = "new part" if has is None else "machine"
        return rule.asks(
            f"The {line} of the {whose} is not known.",
            f"Which {line} has the {whose}? Look for it on plate, body or in the maker's sheet.",
            *known,
        )
    if below(has, needs):
        words_ = f"It does not reach the {line} that is needed."
        return rule.warns(words_, *known) if danger else rule.refuses(words_, *known)
    return rule.fits(f"It reaches the {line} that is needed.", *known)


def metal(rule: PartRule, material: str | None, *, tubes_too: bool) -> Reason:
    """Judge what a part is made of: plastic pipe never, plastic tube only where tubes are asked for."""
    if material is None:
        return rule.asks("Its material is not known.", PART_LINES["tube"]["material"].look)
    found = words("part_words", "material")[material]
    if found.facts["plastic"] == "pipe" or (found.facts["plastic"] == "tube" and not tubes_too):
        return rule.warns(f"It is {found.title}: with air in it, it can shatter.")
    return rule.fits(f"It is {found.title}.")


def same_word(code: str, line: str, new: Known, place: Known, statement: str, change: str) -> Reason:
    """Judge a line that is to be as it was."""
    rule = part_rule(code)
    if line not in new or line not in place:
        return rule.asks("How it is connected is not known of both.", PART_LINES["gauge"][line].look)
    return (
        rule.fits("It is connected as the old one was.")
        if new[line] == place[line]
        else rule.changes(statement, change)
    )
