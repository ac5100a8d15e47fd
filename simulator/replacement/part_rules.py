"""The rules that valves, switches and small parts are judged by: data with sources, and their limits in SI."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING

from simulator import units
from simulator.components.spec import BadSpec, nearest
from simulator.replacement.rules import Rule
from simulator.replacement.tables import table
from simulator.replacement.verdict import Standing

if TYPE_CHECKING:
    from collections.abc import Mapping

# How the name of a limit ends -> the unit it is kept in and the one it is used in.
ENDINGS = {"_psi": ("psi", "Pa"), "_mm": ("mm", "m"), "_C": ("°C", "K")}


@dataclass(frozen=True)
class PartRule(Rule):
    """A rule with limits; a limit is asked for by its name without the unit."""

    limits: Mapping[str, float] = field(default_factory=dict)

    def limit(self, name: str) -> float:
        """A limit of the rule. [SI, or a bare number]"""
        return self.limits[name]


@cache
def part_rules() -> dict[str, PartRule]:
    """Read the rules.

    Returns
    -------
    dict of str to PartRule
        By code.

    Raises
    ------
    BadSpec
        For an entry with unknown or missing keys, or a code that stands there twice.
    """
    known = {"code", "line", "rule", "source", "standing"}
    found: dict[str, PartRule] = {}
    for entry in table("part_rules")["rule"]:
        code = entry.get("code", "?")
        for key in entry:
            if key not in known | {"limits"}:
                raise BadSpec(f"part_rules.toml: rule '{code}': unknown key '{key}'.{nearest(key, known)}")
        if not known <= set(entry) or code in found:
            raise BadSpec(f"part_rules.toml: rule '{code}' is incomplete or stands there twice.")
        found[code] = PartRule(
            code=code,
            line=entry["line"],
            rule=entry["rule"],
            source=entry["source"],
            standing=Standing(entry["standing"]),
            limits=dict(_limit(name, value) for name, value in entry.get("limits", {}).items()),
        )
    return found


def part_rule(code: str) -> PartRule:
    """Find a rule by its code."""
    return part_rules()[code]


def _limit(name: str, value: float) -> tuple[str, float]:
    for ending, (written, used) in ENDINGS.items():
        if name.endswith(ending):
            return name.removesuffix(ending), units.convert(float(value), written, used)
    return name, float(value)
