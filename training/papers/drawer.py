"""The Question drawer and the papers set from it, read from TOML with every word checked. Plain Python, no Django."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, Final

from simulator import units
from training.grading.papers import is_near

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping
    from pathlib import Path

    from training.grading.papers import Keyed, Number, Option, Slip, Step

AREAS: Final = ("diagnosis", "motor", "safety")
KINDS: Final = ("single", "multiple", "order", "number")
LEVELS: Final = ("recall", "application", "analysis")
CRITERION: Final = re.compile(r"U(?:10|[1-9])\.[1-9][a-h]?\Z")
SLUG: Final = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*\Z")
ONE_BELIEF: Final = re.compile(r"\b(?:all|none|both|any) of (?:the )?(?:above|these|them)\b", re.IGNORECASE)
TOLERANCE: Final = 0.05  # of the key; the competence framework's default
LEAST_OPTIONS: Final = 3
LEAST_STEPS: Final = 4

NEEDED: Final = ("slug", "area", "criterion", "kind", "level", "stem", "explanation", "source")
ALLOWED: Final = (*NEEDED, "rig", "safety", "fault", "procedure", "family", "option", "step", "number")
PART_OF_KIND: Final = {"single": "option", "multiple": "option", "order": "step", "number": "number"}


class BadDrawer(ValueError):
    """A question or paper that cannot be used, with where it stands, what is wrong and how to mend it."""


@dataclass(frozen=True)
class Entry:
    """A question as the drawer has it; its parts stand in the order of the file."""

    question: Keyed
    level: str
    family: str


@dataclass(frozen=True)
class PaperEntry:
    """A paper as its file has it."""

    slug: str
    title: str
    lede: str
    pass_percent: int
    draw: dict[str, int]
    at_least: dict[str, int]
    made: dict[str, int]


def read_questions(folder: Path) -> dict[str, Entry]:
    """Read every file of questions in a folder, by slug."""
    files = sorted(folder.glob("*.toml"))
    if not files:
        raise BadDrawer(f"{folder.name}: there is no file of questions (*.toml)")
    found: dict[str, Entry] = {}
    for path in files:
        for row in _rows(path, "question"):
            entry = _entry(path, row)
            if entry.question["slug"] in found:
                raise BadDrawer(f"{path.name}: question '{entry.question['slug']}' is there twice")
            found[entry.question["slug"]] = entry
    return found


def read_papers(path: Path) -> dict[str, PaperEntry]:
    """Read the papers, by slug."""
    found: dict[str, PaperEntry] = {}
    for row in _rows(path, "paper"):
        paper = _paper(path, row)
        if paper.slug in found:
            raise BadDrawer(f"{path.name}: paper '{paper.slug}' is there twice")
        found[paper.slug] = paper
    return found


def _rows(path: Path, table: str) -> list[dict[str, Any]]:
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as refusal:
        raise BadDrawer(f"{path.name}: it cannot be read: {refusal}") from refusal
    _keys(path.name, data, (table,), (table,))
    rows = data[table]
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise BadDrawer(f"{path.name}: write each entry under [[{table}]]")
    return rows


def _entry(path: Path, row: Mapping[str, Any]) -> Entry:
    where = f"{path.name}, question '{row.get('slug', '?')}'"
    _keys(where, row, ALLOWED, NEEDED)
    for key in (*NEEDED, "rig", "fault", "procedure", "family"):
        _text(where, row, key, needed=key in NEEDED)
    _one_of(where, "area", row["area"], AREAS)
    _one_of(where, "kind", row["kind"], KINDS)
    _one_of(where, "level", row["level"], LEVELS)
    _shaped(where, "slug", row["slug"], SLUG, "words-with-hyphens")
    _shaped(where, "criterion", row["criterion"], CRITERION, "U4.2a")
    if not (row.get("fault") or row.get("procedure")):
        raise BadDrawer(f"{where}: name the fault or the procedure it belongs to")
    if not isinstance(row.get("safety", False), bool):
        raise BadDrawer(f"{where}: safety must be true or false")
    _only_its_own_part(where, row)
    return Entry(question=_keyed(where, row), level=row["level"], family=row.get("family", ""))


def _keyed(where: str, row: Mapping[str, Any]) -> Keyed:
    kind = row["kind"]
    return {
        "slug": row["slug"],
        "version": 0,
        "area": row["area"],
        "criterion": row["criterion"],
        "kind": kind,
        "rig": row.get("rig", ""),
        "stem": row["stem"],
        "safety": row.get("safety", False),
        "explanation": row["explanation"],
        "source": row["source"],
        "fault": row.get("fault", ""),
        "procedure": row.get("procedure", ""),
        "options": _options(where, kind, _parts(where, row, "option")) if "option" in row else [],
        "steps": _steps(where, _parts(where, row, "step")) if kind == "order" else [],
        "number": _number(where, _table(where, row, "number")) if kind == "number" else None,
    }


def _only_its_own_part(where: str, row: Mapping[str, Any]) -> None:
    own = PART_OF_KIND[row["kind"]]
    for part in sorted(set(PART_OF_KIND.values())):
        if part in row and part != own:
            raise BadDrawer(f"{where}: a question of kind '{row['kind']}' has no '{part}'")
    if own not in row:
        raise BadDrawer(f"{where}: '{own}' is missing")


def _options(where: str, kind: str, rows: Iterable[Mapping[str, Any]]) -> list[Option]:
    options: list[Option] = []
    for i, row in enumerate(rows, 1):
        here = f"{where}, option {i}"
        _keys(here, row, ("text", "right", "reason"), ("text", "reason"))
        text, reason = _text(here, row, "text"), _text(here, row, "reason")
        if ONE_BELIEF.search(text):
            raise BadDrawer(f"{here}: '{text}' points at other options; give it a belief of its own")
        options.append(
            {"id": str(i), "text": text, "right": row.get("right", False) is True, "reason": reason}
        )
    _distinct(where, "options", [option["text"] for option in options])
    right = [option["text"] for option in options if option["right"]]
    wrong = [option["text"] for option in options if not option["right"]]
    if len(options) < LEAST_OPTIONS or not right or not wrong:
        raise BadDrawer(f"{where}: give at least {LEAST_OPTIONS} options, some right and some wrong")
    if kind == "single" and len(right) != 1:
        raise BadDrawer(f"{where}: a single answer has one right option, not {len(right)}")
    if kind == "single" and len(right[0]) >= max(map(len, wrong)):
        raise BadDrawer(f"{where}: the right option is the longest; shorten it or lengthen a wrong one")
    return options


def _steps(where: str, rows: Iterable[Mapping[str, Any]]) -> list[Step]:
    steps: list[Step] = []
    for i, row in enumerate(rows, 1):
        here = f"{where}, step {i}"
        _keys(here, row, ("text", "reason"), ("text", "reason"))
        text, reason = _text(here, row, "text"), _text(here, row, "reason")
        steps.append({"id": str(i), "text": text, "place": i, "reason": reason})
    _distinct(where, "steps", [step["text"] for step in steps])
    if len(steps) < LEAST_STEPS:
        raise BadDrawer(f"{where}: give at least {LEAST_STEPS} steps to put in order")
    return steps


def _number(where: str, row: Mapping[str, Any]) -> Number:
    here = f"{where}, number"
    _keys(here, row, ("quantity", "key", "tolerance", "slip"), ("quantity", "key", "slip"))
    quantity, shown = _text(here, row, "quantity"), _text(here, row, "key")
    tolerance = row.get("tolerance", TOLERANCE)
    if not (isinstance(tolerance, float) and 0 < tolerance < 1):
        raise BadDrawer(f"{here}: tolerance must be a fraction of the key, such as {TOLERANCE}")
    key = _si(here, shown, quantity)
    slips = [
        _slip(f"{here}, slip {i}", slip, quantity) for i, slip in enumerate(_parts(here, row, "slip"), 1)
    ]
    for slip in slips:
        if is_near(slip["value"], key, tolerance):
            raise BadDrawer(f"{here}: slip '{slip['shown']}' lies within the tolerance of the key")
    return {"quantity": quantity, "key": key, "shown": shown, "tolerance": tolerance, "slips": slips}


def _slip(where: str, row: Mapping[str, Any], quantity: str) -> Slip:
    _keys(where, row, ("value", "reason"), ("value", "reason"))
    shown, reason = _text(where, row, "value"), _text(where, row, "reason")
    return {"value": _si(where, shown, quantity), "shown": shown, "reason": reason}


def _si(where: str, shown: str, quantity: str) -> float:
    try:
        return units.read(shown, quantity)
    except ValueError as refusal:
        raise BadDrawer(f"{where}: {refusal}") from refusal


def _paper(path: Path, row: Mapping[str, Any]) -> PaperEntry:
    where = f"{path.name}, paper '{row.get('slug', '?')}'"
    needed = ("slug", "title", "lede", "pass_percent", "draw", "at_least")
    _keys(where, row, (*needed, "made"), needed)
    for key in ("slug", "title", "lede"):
        _text(where, row, key)
    _shaped(where, "slug", row["slug"], SLUG, "words-with-hyphens")
    percent = row["pass_percent"]
    if not (isinstance(percent, int) and 0 < percent <= 100):
        raise BadDrawer(f"{where}: pass_percent must be a whole number from 1 to 100")
    draw = _counts(f"{where}, draw", row["draw"], AREAS)
    at_least = _counts(f"{where}, at_least", row["at_least"], KINDS)
    if sum(at_least.values()) > sum(draw.values()):
        raise BadDrawer(f"{where}: at_least asks for more questions than draw gives")
    made = _counts(f"{where}, made", row["made"], AREAS) if "made" in row else {}
    for area, count in made.items():
        if count > draw.get(area, 0):
            raise BadDrawer(f"{where}: made asks for more questions on {area} than draw gives")
    return PaperEntry(row["slug"], row["title"], row["lede"], percent, draw, at_least, made)


def _counts(where: str, row: object, names: Collection[str]) -> dict[str, int]:
    if not isinstance(row, dict) or not row:
        raise BadDrawer(f"{where}: write how many of each, such as {{ {next(iter(names))} = 3 }}")
    _keys(where, row, tuple(names), ())
    for name, count in row.items():
        if type(count) is not int or count < 1:
            raise BadDrawer(f"{where}: {name} must be a whole number from 1 up")
    return dict(row)


def _parts(where: str, row: Mapping[str, Any], key: str) -> list[dict[str, Any]]:
    parts = row[key]
    if not isinstance(parts, list) or not all(isinstance(part, dict) for part in parts):
        raise BadDrawer(f"{where}: write each {key} under its own double-bracketed heading")
    return parts


def _table(where: str, row: Mapping[str, Any], key: str) -> dict[str, Any]:
    table = row[key]
    if not isinstance(table, dict):
        raise BadDrawer(f"{where}: write {key} under a heading of its own, [question.{key}]")
    return table


def _keys(where: str, row: Mapping[str, Any], allowed: tuple[str, ...], needed: tuple[str, ...]) -> None:
    """Refuse unknown keys with the nearest known one, and missing keys by name."""
    for key in row:
        if key not in allowed:
            near = get_close_matches(key, allowed, n=1, cutoff=0.0)[0]
            raise BadDrawer(f"{where}: unknown key '{key}'; the nearest is '{near}'")
    for key in needed:
        if key not in row:
            raise BadDrawer(f"{where}: '{key}' is missing")


def _text(where: str, row: Mapping[str, Any], key: str, *, needed: bool = True) -> str:
    value = row.get(key, "")
    if not isinstance(value, str):
        raise BadDrawer(f"{where}: {key} must be text in quotes")
    if needed and not value.strip():
        raise BadDrawer(f"{where}: {key} is empty")
    return value


def _one_of(where: str, key: str, given: str, allowed: tuple[str, ...]) -> None:
    if given not in allowed:
        near = get_close_matches(given, allowed, n=1, cutoff=0.0)[0]
        raise BadDrawer(
            f"{where}: {key} is '{given}', not one of {', '.join(allowed)}; the nearest is '{near}'"
        )


def _shaped(where: str, key: str, given: str, shape: re.Pattern[str], example: str) -> None:
    if not shape.match(given):
        raise BadDrawer(f"{where}: {key} '{given}' is not written like '{example}'")


def _distinct(where: str, what: str, texts: list[str]) -> None:
    twice = [text for text, times in Counter(texts).items() if times > 1]
    if twice:
        raise BadDrawer(f"{where}: two {what} say '{twice[0]}'")
