"""Will it fit? What is on offer, what it replaces, and what is known of the place."""

import argparse
import json
from collections.abc import Iterable, Mapping
from pathlib import Path

from simulator import units
from simulator.cli.asking import BadInput, Commands
from simulator.replacement.kinds import KINDS, Kind, judge_part, sheets_of_rig
from simulator.replacement.machines import NoSuchMachine, find_machine
from simulator.replacement.plate_lines import Line, gather, parted
from simulator.replacement.problems import BadPlate
from simulator.replacement.verdict import Judgement, Reason, plain

LARGEST_FILE = 20_000  # [bytes]; a plate has thirty lines
ALSO_CALLED = {"sheave": "drive"}
SHEETS = {
    "old": "what comes out",
    "new": "what is on offer",
    "place": "what was measured and looked up at the machine",
}


def add_to(commands: Commands) -> None:
    """Add the command `fit`."""
    command = commands.add_parser("fit", help="does this part fit this machine?")
    parts = command.add_subparsers(dest="part", metavar="PART", required=True)
    for kind in KINDS.values():
        _add(parts.add_parser(kind.name, help=kind.title.lower()), kind)
    for name, real in ALSO_CALLED.items():
        _add(parts.add_parser(name, help=f"the same as {real}"), KINDS[real])


def _add(command: argparse.ArgumentParser, kind: Kind) -> None:
    command.epilog = " ".join(
        f"Lines of --{sheet}: {', '.join(lines)}." for sheet, lines in kind.sheets.items()
    )
    for sheet in kind.sheets:
        command.add_argument(
            f"--{sheet}",
            metavar="LINES",
            default="",
            help=f"{SHEETS[sheet]}: LINE=VALUE parted by semicolons, or @FILE with a line each",
        )
    command.add_argument("--rig", metavar="RIG", help="start from the plates of a rig, see 'rigs'")
    command.add_argument("--units", choices=("us", "metric"), default="us", help="units of the answer (us)")
    command.add_argument("--json", action="store_true", help="answer in JSON")
    command.set_defaults(answer=_answer)


def _answer(asked: argparse.Namespace) -> str:
    kind = KINDS[ALSO_CALLED.get(asked.part, asked.part)]
    try:
        judgement = judge_part(kind.name, _sheets(asked, kind), asked.units)
    except BadPlate as refusal:
        raise BadInput(str(refusal)) from refusal
    if asked.json:
        return json.dumps(plain(judgement), ensure_ascii=False, allow_nan=False) + "\n"
    return _text(judgement, asked.units)


def _sheets(asked: argparse.Namespace, kind: Kind) -> dict[str, dict[str, str]]:
    typed = {sheet: _typed(getattr(asked, sheet), sheet, lines) for sheet, lines in kind.sheets.items()}
    guards = typed.get("place", {}).get("guards", "")
    for sheet, lines in _of_rig(getattr(asked, "rig", None), kind, guards).items():
        typed[sheet] = lines | typed[sheet]
    if not typed["new"]:
        raise BadInput(f"--new: say what is on offer. Its lines are {', '.join(kind.sheets['new'])}.")
    return typed


def _typed(text: str, sheet: str, lines: Mapping[str, Line]) -> dict[str, str]:
    if text.startswith("@"):
        text = _file(text[1:], sheet)
    return gather(parted(text), lines, f"--{sheet}")


def _file(path: str, sheet: str) -> str:
    where = Path(path)
    try:
        if where.stat().st_size > LARGEST_FILE:
            raise BadInput(f"--{sheet}: '{path}' is larger than {LARGEST_FILE} bytes; that is no plate.")
        return where.read_text(encoding="utf-8")
    except (OSError, ValueError) as refusal:
        if isinstance(refusal, BadInput):
            raise
        why = refusal.strerror if isinstance(refusal, OSError) else "it is not text in UTF-8"
        raise BadInput(f"--{sheet}: '{path}' cannot be read: {why}.") from refusal


def _of_rig(slug: str | None, kind: Kind, guards: str) -> dict[str, dict[str, str]]:
    if slug is None:
        return {}
    try:
        sheets = sheets_of_rig(kind.name, slug, guards)
    except NoSuchMachine as refusal:
        raise BadInput(f"--rig: {refusal}") from refusal
    if not sheets:
        raise BadInput(f"--rig: '{slug}' has no such part. {find_machine(slug).note}")
    return sheets


def _text(judgement: Judgement, system: units.System) -> str:
    blocks = [
        [judgement.verdict.title],
        [line for reason in judgement.reasons for line in _reason(reason, system)],
        _listed("Change", judgement.changes),
        _listed("Still open", judgement.questions),
        _listed("Ask for exactly this", judgement.parts_card),
        _listed("Take care", judgement.cautions),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _reason(reason: Reason, system: units.System) -> list[str]:
    figures = "; ".join(f"{figure.title} {figure.shown(system)}" for figure in reason.figures)
    told = [f"[{reason.verdict.value}] {reason.line}: {reason.statement}"]
    if figures:
        told.append(f"    {figures}")
    return [*told, f"    {reason.rule} ({reason.source}; {reason.standing.value})"]


def _listed(title: str, lines: Iterable[str]) -> list[str]:
    told = [f"  - {line}" for line in lines]
    return [f"{title}:", *told] if told else []
