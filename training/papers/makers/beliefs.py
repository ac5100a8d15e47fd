"""Beliefs of the trade that lead to wrong answers, each with what is true."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

PATH = Path(__file__).parent.parent.parent.parent / "fixtures" / "beliefs.toml"
KEYS = {"slug", "belief", "truth"}


class BadBeliefs(ValueError):
    """A belief whose entry cannot be used, with what is wrong."""


@dataclass(frozen=True)
class Belief:
    """What somebody thinks, and what is so."""

    slug: str
    belief: str
    truth: str


@cache
def beliefs() -> Mapping[str, Belief]:
    """Read the beliefs, by slug."""
    found: dict[str, Belief] = {}
    for row in tomllib.loads(PATH.read_text(encoding="utf-8"))["belief"]:
        if set(row) != KEYS or not all(isinstance(text, str) and text.strip() for text in row.values()):
            raise BadBeliefs(
                f"{PATH.name}, '{row.get('slug', '?')}': give {', '.join(sorted(KEYS))} and no more"
            )
        if row["slug"] in found:
            raise BadBeliefs(f"{PATH.name}: '{row['slug']}' is there twice")
        found[row["slug"]] = Belief(**row)
    return found


def truth(slug: str) -> str:
    """Say what is so, against a belief."""
    return beliefs()[slug].truth
