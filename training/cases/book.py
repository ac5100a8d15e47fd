"""The call book and the list of repairs, read from TOML with every key checked. Plain Python, no Django."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
SAFE_STATES = ("S0", "S2", "S3")
KINDS = ("single", "double", "no-fault")
GRADES = ("G1", "G2", "G3")


class BadBook(ValueError):
    """A call or repair that cannot be used, with what is wrong and where."""


@dataclass(frozen=True)
class Repair:
    """Something that can be done to the machine once the fault is named."""

    slug: str
    title: str
    minutes: float
    safe: str
    part: str
    cost: float
    cures: tuple[str, ...]
    right_for: tuple[str, ...]
    caution: str
    prohibited: str


@dataclass(frozen=True)
class Statement:
    """Something that could be said to the customer."""

    slug: str
    words: str
    right: bool
    why: str


@dataclass(frozen=True)
class CallEntry:
    """A call as the book has it."""

    slug: str
    no: str
    title: str
    rig: str
    faults: tuple[dict[str, Any], ...]
    kind: str
    grade: str
    par_minutes: float
    best_path: tuple[str, ...]
    lookalikes: tuple[str, ...]
    complaint: str
    setting: str
    answer_says: str
    interview: tuple[dict[str, str], ...]
    statements: tuple[Statement, ...]
    part: dict[str, Any]  # what is replaced: kind, guards, place; empty where no part is needed


Row = TypeVar("Row", Repair, CallEntry)


def load_repairs(path: Path | None = None) -> dict[str, Repair]:
    """Return the repairs by slug."""
    return _repairs(path or FIXTURES / "repairs.toml")


def load_calls(path: Path | None = None) -> dict[str, CallEntry]:
    """Return the calls by slug, each checked for what a call needs."""
    return _calls(path or FIXTURES / "calls.toml")


@cache
def _repairs(path: Path) -> dict[str, Repair]:
    rows = _read(path, {"repair"})["repair"]
    return _by_slug(path, (_repair(path, row) for row in rows))


@cache
def _calls(path: Path) -> dict[str, CallEntry]:
    data = _read(path, {"call", "questions"})
    calls = _by_slug(path, (_call(path, row, data["questions"]) for row in data["call"]))
    numbers = [call.no for call in calls.values()]
    if len(set(numbers)) < len(numbers):
        raise BadBook(f"{path.name}: two calls share a number")
    return calls


def _read(path: Path, tables: set[str]) -> dict[str, Any]:
    with path.open("rb") as file:
        data = tomllib.load(file)
    _known(path.name, data, tables, tables)
    return data


def _repair(path: Path, row: Mapping[str, Any]) -> Repair:
    where = f"{path.name}, repair '{row.get('slug', '?')}'"
    needed = {"slug", "title", "minutes", "safe", "part", "cost", "cures"}
    _known(where, row, needed | {"right_for", "caution", "prohibited"}, needed)
    _one_of(where, "safe", row["safe"], SAFE_STATES)
    if not row["minutes"] > 0 or row["cost"] < 0:
        raise BadBook(f"{where}: minutes must be above 0 and cost 0 or more")
    return Repair(
        slug=row["slug"],
        title=row["title"],
        minutes=float(row["minutes"]),
        safe=row["safe"],
        part=row["part"],
        cost=float(row["cost"]),
        cures=tuple(row["cures"]),
        right_for=tuple(row.get("right_for", row["cures"])),
        caution=row.get("caution", ""),
        prohibited=row.get("prohibited", ""),
    )


def _call(path: Path, row: Mapping[str, Any], questions: Mapping[str, str]) -> CallEntry:
    where = f"{path.name}, call '{row.get('slug', '?')}'"
    allowed = set(CallEntry.__dataclass_fields__)
    _known(where, row, allowed, allowed - {"part"})
    _known(
        f"{where}, part",
        row.get("part", {}),
        {"kind", "guards", "place"},
        {"kind"} if "part" in row else set(),
    )
    _one_of(where, "kind", row["kind"], KINDS)
    _one_of(where, "grade", row["grade"], GRADES)
    if not row["par_minutes"] > 0:
        raise BadBook(f"{where}: par_minutes must be above 0")
    for fault in row["faults"]:
        _known(where, fault, {"fault", "severity", "location"}, {"fault"})
    _known(f"{where}, interview", row["interview"], set(questions), set(questions))
    return CallEntry(
        slug=row["slug"],
        no=row["no"],
        title=row["title"],
        rig=row["rig"],
        faults=tuple(dict(fault) for fault in row["faults"]),
        kind=row["kind"],
        grade=row["grade"],
        par_minutes=float(row["par_minutes"]),
        best_path=tuple(row["best_path"]),
        lookalikes=tuple(row["lookalikes"]),
        complaint=row["complaint"],
        setting=row["setting"],
        answer_says=row["answer_says"],
        interview=tuple({"question": questions[key], "answer": row["interview"][key]} for key in questions),
        statements=_statements(where, row["statements"]),
        part=dict(row.get("part", {})),
    )


def _statements(where: str, rows: Iterable[Mapping[str, Any]]) -> tuple[Statement, ...]:
    needed = set(Statement.__dataclass_fields__)
    statements = []
    for row in rows:
        _known(where, row, needed, needed)
        statements.append(Statement(**row))
    if len(statements) < 3 or [one.right for one in statements].count(True) != 1:
        raise BadBook(f"{where}: a call has three or more statements and exactly one is right")
    if len({one.slug for one in statements}) < len(statements):
        raise BadBook(f"{where}: two statements share a slug")
    return tuple(statements)


def _known(where: str, row: Mapping[str, Any], allowed: set[str], needed: set[str]) -> None:
    """Refuse unknown keys with the nearest known one, and missing keys by name."""
    for key in row:
        if key not in allowed:
            near = get_close_matches(key, sorted(allowed), n=1, cutoff=0.0)[0]
            raise BadBook(f"{where}: unknown key '{key}'; the nearest is '{near}'")
    for key in sorted(needed):
        if key not in row:
            raise BadBook(f"{where}: '{key}' is missing")


def _one_of(where: str, key: str, given: object, allowed: tuple[str, ...]) -> None:
    if given not in allowed:
        raise BadBook(f"{where}: {key} is '{given}'; it must be one of {', '.join(allowed)}")


def _by_slug(path: Path, rows: Iterable[Row]) -> dict[str, Row]:
    found: dict[str, Row] = {}
    for row in rows:
        if row.slug in found:
            raise BadBook(f"{path.name}: '{row.slug}' is there twice")
        found[row.slug] = row
    return found
