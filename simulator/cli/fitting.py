"""Will it fit? Two plates side by side, and what is known of the place."""

import argparse
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from simulator import units
from simulator.cli.asking import BadInput, Commands
from simulator.replacement.air_parts import AIR_PARTS, NoSuchPart, fitted_on, judge_air_part
from simulator.replacement.drive_plates import DRIVE_LINES, read_drive
from simulator.replacement.drives import fit_drive
from simulator.replacement.machines import Machine, NoSuchMachine, find_machine
from simulator.replacement.motors import fit_motor
from simulator.replacement.place import PLACE_LINES, read_place
from simulator.replacement.plate_lines import MOTOR_LINES, Line, gather, parted
from simulator.replacement.plates import read_motor_plate
from simulator.replacement.problems import BadPlate
from simulator.replacement.verdict import Judgement, Reason, plain

LARGEST_FILE = 20_000  # [bytes]; a plate has thirty lines

Lines = dict[str, str]


@dataclass(frozen=True)
class Given:
    """What was typed, line by line."""

    old: Lines
    new: Lines
    place: Lines
    system: units.System


@dataclass(frozen=True)
class Part:
    """A kind of part that can be judged: what it asks for, and the lines of each."""

    name: str
    help: str
    lines: Mapping[str, Mapping[str, Line]]  # option -> its lines
    judge: Callable[[Given], Judgement]


def _motor(given: Given) -> Judgement:
    old = read_motor_plate(given.old, "--old")
    new = read_motor_plate(given.new, "--new")
    return fit_motor(old, new, read_place(given.place))


def _drive(given: Given) -> Judgement:
    return fit_drive(read_drive(given.old, "--old"), read_drive(given.new, "--new"))


def _air(kind: str) -> Callable[[Given], Judgement]:
    """Judge a valve, a switch or a small part for the place it goes to."""

    def judge(given: Given) -> Judgement:
        return judge_air_part(kind, given.new, given.place, given.system)

    return judge


_DRIVE_OPTIONS = {"old": DRIVE_LINES, "new": DRIVE_LINES}
PARTS = {
    part.name: part
    for part in (
        Part(
            "motor",
            "one motor for another",
            {"old": MOTOR_LINES, "new": MOTOR_LINES, "place": PLACE_LINES},
            _motor,
        ),
        Part("drive", "sheaves and belts", _DRIVE_OPTIONS, _drive),
        Part("sheave", "the same as drive", _DRIVE_OPTIONS, _drive),
        *(
            Part(kind, part.title.lower(), {"new": part.part_lines, "place": part.place_lines}, _air(kind))
            for kind, part in AIR_PARTS.items()
        ),
    )
}
FROM_RIG = tuple(PARTS)
HELP = {
    "old": "what comes out",
    "new": "what is on offer",
    "place": "what was measured and looked up at the machine",
}


def add_to(commands: Commands) -> None:
    """Add the command `fit`."""
    command = commands.add_parser("fit", help="does this part fit this machine?")
    parts = command.add_subparsers(dest="part", metavar="PART", required=True)
    for part in PARTS.values():
        one = parts.add_parser(part.name, help=part.help)
        for option in part.lines:
            one.add_argument(
                f"--{option}",
                metavar="LINES",
                default="",
                help=f"{HELP[option]}: lines such as 'hp=3; V=230', or @FILE with a line each",
            )
        if part.name in FROM_RIG:
            one.add_argument("--rig", metavar="RIG", help="start from the plates of a rig, see 'rigs'")
        one.add_argument("--units", choices=("us", "metric"), default="us", help="units of the answer")
        one.add_argument("--json", action="store_true", help="answer in JSON")
        one.set_defaults(answer=_answer)


def _answer(asked: argparse.Namespace) -> str:
    part = PARTS[asked.part]
    try:
        judgement = part.judge(_given(asked, part))
    except BadPlate as refusal:
        raise BadInput(str(refusal)) from refusal
    if asked.json:
        return json.dumps(plain(judgement), ensure_ascii=False, allow_nan=False) + "\n"
    return _text(judgement, asked.units)


def _given(asked: argparse.Namespace, part: Part) -> Given:
    typed = {option: _typed(asked, option, lines) for option, lines in part.lines.items()}
    for option, lines in _of_rig(asked, part, typed).items():
        typed[option] = lines | typed[option]
    if not typed.get("new"):
        raise BadInput("--new: say what is on offer, such as --new 'hp=3; V=230; A=15'.")
    return Given(typed.get("old", {}), typed["new"], typed.get("place", {}), asked.units)


def _typed(asked: argparse.Namespace, option: str, lines: Mapping[str, Line]) -> Lines:
    text = getattr(asked, option)
    if text.startswith("@"):
        text = _file(text[1:], option)
    return gather(parted(text), lines, f"--{option}")


def _file(path: str, option: str) -> str:
    where = Path(path)
    try:
        if where.stat().st_size > LARGEST_FILE:
            raise BadInput(f"--{option}: '{path}' is larger than {LARGEST_FILE} bytes; that is no plate.")
        return where.read_text(encoding="utf-8")
    except OSError as refusal:
        raise BadInput(f"--{option}: '{path}' cannot be read: {refusal.strerror}.") from refusal
    except UnicodeDecodeError as refusal:
        raise BadInput(f"--{option}: '{path}' is not text in UTF-8.") from refusal


def _of_rig(asked: argparse.Namespace, part: Part, typed: Mapping[str, Lines]) -> dict[str, Lines]:
    slug = getattr(asked, "rig", None)
    if slug is None:
        return {}
    if part.name in AIR_PARTS:
        return {"place": _place_on_rig(slug, part.name, typed["place"].get("guards", ""))}
    try:
        machine = find_machine(slug)
    except NoSuchMachine as refusal:
        raise BadInput(f"--rig: {refusal}") from refusal
    lines = _motor_of(machine) if part.name == "motor" else {"old": gather(machine.drive, DRIVE_LINES)}
    if not lines["old"]:
        raise BadInput(f"--rig: '{slug}' has no such part. {machine.note}")
    return lines


def _place_on_rig(slug: str, kind: str, guards: str) -> Lines:
    try:
        return dict(fitted_on(slug, kind, guards).place)
    except NoSuchPart as refusal:
        raise BadInput(f"--rig: {refusal}") from refusal


def _motor_of(machine: Machine) -> dict[str, Lines]:
    return {"old": dict(machine.motor), "place": dict(machine.place)}


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
