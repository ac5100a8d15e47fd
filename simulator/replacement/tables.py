"""Where the tables of `fixtures/replacement` are read: each once, with its source and standing beside it."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from simulator.components.spec import BadSpec
from simulator.replacement.verdict import Standing

FOLDER = Path(__file__).parent.parent.parent / "fixtures" / "replacement"


@cache
def table(name: str) -> dict[str, Any]:
    """Read one file of tables.

    Parameters
    ----------
    name : str
        Of the file, without its ending.

    Returns
    -------
    dict
        As TOML has it; not to be written to.

    Raises
    ------
    BadSpec
        If a table that names a source does not say how firmly it stands, or the other way round.
    """
    whole = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    for title, part in whole.items():
        if isinstance(part, dict) and "standing" in part:
            _check_standing(part, f"{name}.toml: {title}")
    return whole


def _check_standing(part: dict[str, Any], where: str) -> None:
    known = {standing.value for standing in Standing}
    if part["standing"] not in known:
        raise BadSpec(f"{where}: standing '{part['standing']}' is none of {', '.join(sorted(known))}.")
    if not any(key.startswith("source") for key in part):
        raise BadSpec(f"{where}: it has a standing and no source.")


@dataclass(frozen=True)
class Word:
    """One entry of a list of words that a plate may use for one line."""

    kind: str
    title: str
    spellings: tuple[str, ...]
    facts: dict[str, Any]


@cache
def words(file: str, name: str) -> dict[str, Word]:
    """Read a list of words, such as the enclosures, by kind.

    Parameters
    ----------
    file : str
        Name of the file of tables.
    name : str
        Of the list in it.

    Returns
    -------
    dict of str to Word
        By kind, in the order of the file.

    Raises
    ------
    BadSpec
        If one spelling stands for two kinds.
    """
    found: dict[str, Word] = {}
    taken: dict[str, str] = {}
    for entry in table(file)[name]:
        spellings = tuple(dict.fromkeys([entry["kind"], entry["title"].casefold(), *entry["spellings"]]))
        for spelling in spellings:
            if taken.setdefault(spelling, entry["kind"]) != entry["kind"]:
                raise BadSpec(
                    f"{file}.toml: '{spelling}' stands for {taken[spelling]} and for {entry['kind']}."
                )
        facts = {key: value for key, value in entry.items() if key not in ("kind", "title", "spellings")}
        found[entry["kind"]] = Word(entry["kind"], entry["title"], spellings, facts)
    return found
