"""What was typed on the sheets of a part: fields of a query, pasted plates, and what a rig fills in. Plain Python."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from functools import cache
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from simulator.replacement.air_parts import AIR_PARTS, rig_parts
from simulator.replacement.kinds import find_kind, judge_part, sheets_of_rig
from simulator.replacement.machines import NoSuchMachine, machines
from simulator.replacement.plate_lines import gather
from simulator.replacement.problems import BadPlate, Problem
from simulator.rig import load_rigs

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulator import units
    from simulator.replacement.kinds import Kind
    from simulator.replacement.verdict import Judgement

PASTED = "lines"  # the field of a sheet that takes a whole plate as it stands
RIG, WAS = "rig", "was"
LONGEST_QUERY = 12_000  # characters; seventy-four lines of a hundred and more


@dataclass(frozen=True)
class Wrong:
    """Something wrong with one field: its sheet and line ("" where it is in no field), why, and where to look."""

    sheet: str
    line: str
    why: str
    look: str = ""

    @property
    def words(self) -> str:
        """What is wrong and where to look, as sentences."""
        end = "" if self.why.endswith((".", "?")) else "."
        return f"{self.why[:1].upper()}{self.why[1:]}{end} {self.look}".strip()


@dataclass(frozen=True)
class Typed:
    """What was typed for one kind of part: by sheet and line, and what was pasted whole by sheet."""

    kind: Kind
    lines: Mapping[str, Mapping[str, str]]
    pasted: Mapping[str, str] = field(default_factory=dict)
    rig: str = ""
    told: str = ""
    wrong: tuple[Wrong, ...] = ()
    strange: Mapping[str, str] = field(default_factory=dict)

    def query(self) -> str:
        """Return it as a query without blanks, always in one order: what is passed on."""
        pairs = [(RIG, self.rig), (WAS, self.rig)]
        for sheet, lines in self.kind.sheets.items():
            pairs += [(field_name(sheet, line), self.lines[sheet].get(line, "")) for line in lines]
            pairs.append((field_name(sheet, PASTED), self.pasted.get(sheet, "")))
        pairs += self.strange.items()
        return urlencode([(name, value) for name, value in pairs if value.strip()])


def field_name(sheet: str, line: str) -> str:
    """Name the field of a line: `new.shaft-diameter`."""
    return f"{sheet}.{line.replace(' ', '-')}"


def read_typed(name: str, sent: Mapping[str, str]) -> Typed:
    """Take apart what a page or a link sent for a kind of part; a field that no sheet has is told, not dropped.

    Raises
    ------
    UnknownKind
        Naming the nearest.
    """
    kind = find_kind(name)
    fields = {
        field_name(sheet, line): (sheet, line) for sheet, lines in kind.sheets.items() for line in lines
    }
    areas = {field_name(sheet, PASTED): sheet for sheet in kind.sheets}
    lines: dict[str, dict[str, str]] = {sheet: {} for sheet in kind.sheets}
    pasted: dict[str, str] = {}
    strange: dict[str, str] = {}
    for key, value in sent.items():
        if key in fields:
            sheet, line = fields[key]
            lines[sheet][line] = value
        elif key in areas:
            pasted[areas[key]] = value
        elif key not in (RIG, WAS):
            strange[key] = value
    wrong = [_stranger(key, {*fields, *areas}) for key in strange]
    length = sum(len(key) + len(value) + 2 for key, value in sent.items())
    if length > LONGEST_QUERY:
        wrong.append(
            Wrong(
                "",
                "",
                f"That is {length} characters, more than plates have; {LONGEST_QUERY} are taken. Shorten it.",
            )
        )
    typed = Typed(kind, lines, pasted, wrong=tuple(wrong), strange=strange)
    return _spread(_filled(typed, _choice(name, sent.get(RIG, "")), _choice(name, sent.get(WAS, ""))))


def _choice(kind: str, rig: str) -> str:
    """Return a rig as the list has it: of several relief valves the receiver's, where nothing else is said."""
    first = f"{rig}:receiver"
    return first if first in dict(rig_choices(kind)) else rig


def _stranger(key: str, known: set[str]) -> Wrong:
    near = get_close_matches(key, sorted(known), n=1, cutoff=0.0)
    return Wrong("", "", f"No sheet of this part has a line '{key[:60]}'; the nearest is '{near[0]}'.")


def _filled(typed: Typed, rig: str, was: str) -> Typed:
    """Fill in a rig's plates: over blanks and over what the rig before it filled in, never over what was typed."""
    if not rig:
        return typed
    try:
        fresh = of_rig(typed.kind.name, rig)
        before = of_rig(typed.kind.name, was) if was else {}
    except NoSuchMachine as refusal:
        return replace(typed, wrong=(*typed.wrong, Wrong("", "", str(refusal))))
    if rig == was:
        return replace(typed, rig=rig)
    lines: dict[str, Mapping[str, str]] = dict(typed.lines)
    kept = 0
    for sheet in {*fresh, *before}:
        mine = {
            line: value
            for line, value in typed.lines[sheet].items()
            if value.strip() and value != before.get(sheet, {}).get(line)
        }
        lines[sheet] = {**fresh.get(sheet, {}), **mine}
        kept += sum(value != fresh.get(sheet, {}).get(line) for line, value in mine.items())
    title = rig_title(rig)
    told = f"Filled in from the plates of {title}."
    if kept:
        told += f" {kept} line{'s' if kept > 1 else ''} of your own {'are' if kept > 1 else 'is'} kept."
    return replace(typed, lines=lines, rig=rig, told=told)


def _spread(typed: Typed) -> Typed:
    """Put pasted plates into their lines; a plate with a line that is not understood stays as it was pasted."""
    lines: dict[str, Mapping[str, str]] = dict(typed.lines)
    pasted: dict[str, str] = {}
    wrong: list[Wrong] = []
    for sheet, text in typed.pasted.items():
        if not text.strip():
            continue
        known = typed.kind.sheets[sheet]
        own = [f"{line}={value}" for line, value in lines[sheet].items() if value.strip()]
        try:
            lines[sheet] = gather([*own, *text.replace(";", "\n").splitlines()], known, sheet)
        except BadPlate as refusal:
            pasted[sheet] = text
            wrong += [Wrong(sheet, PASTED, f"{one.line}: {one.why}", one.look) for one in refusal.problems]
    return replace(typed, lines=lines, pasted=pasted, wrong=(*typed.wrong, *wrong))


def judged(typed: Typed, system: units.System) -> tuple[Judgement | None, tuple[Wrong, ...]]:
    """Judge what was typed, or tell every line of every sheet that cannot be read."""
    left = {sheet: dict(lines) for sheet, lines in typed.lines.items()}
    wrong: list[Wrong] = []
    for _ in range(len(left) + 1):
        try:
            judgement = judge_part(typed.kind.name, left, system)
        except BadPlate as refusal:
            sheet = refusal.which.split()[0]
            wrong += [_wrong(typed.kind, sheet, problem) for problem in refusal.problems]
            if not left.get(sheet):
                break
            left[sheet] = {}  # the sheet is told of; what is wrong with the others is still to be found
        else:
            return (None if wrong else judgement), tuple(wrong)
    return None, tuple(wrong)


def _wrong(kind: Kind, sheet: str, problem: Problem) -> Wrong:
    line = problem.line if problem.line in kind.sheets.get(sheet, {}) else ""
    why = problem.why if line else f"{problem.line}: {problem.why}"
    return Wrong(sheet, line, why, problem.look)


def of_rig(kind: str, choice: str) -> dict[str, dict[str, str]]:
    """Return the sheets that a rig fills in; `choice` is its slug, with what a relief valve guards behind a colon.

    Raises
    ------
    NoSuchMachine
        Naming the nearest rig, or what it has.
    """
    rig, _, guards = choice.partition(":")
    filled = sheets_of_rig(kind, rig, guards)
    if not filled:
        raise NoSuchMachine(f"{rig_title(rig)} has no such part. {machines()[rig].note}")
    return filled


def rig_choices(kind: str) -> list[tuple[str, str]]:
    """Return the rigs that have such a part, as (choice, title)."""
    if kind in AIR_PARTS:
        found = [(one.rig, one.place.get("guards", "")) for one in rig_parts() if one.kind == kind]
        several = {guards for _, guards in found if guards} != set()
        choices = [f"{rig}:{guards}" if several and guards else rig for rig, guards in found]
    else:
        choices = [slug for slug, one in machines().items() if (one.motor if kind == "motor" else one.drive)]
    return [(choice, rig_title(choice)) for choice in dict.fromkeys(choices)]


def rig_title(choice: str) -> str:
    """Return a rig's title, with what the valve guards."""
    rig, _, guards = choice.partition(":")
    title = _rig_titles().get(rig, rig.replace("-", " "))
    return f"{title}, {guards.replace('-', ' ')}" if guards else title


@cache
def _rig_titles() -> dict[str, str]:
    return {slug: rig.title for slug, rig in load_rigs().items()}
