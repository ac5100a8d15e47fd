"""Take one check on a rig by its protocol."""

import argparse
import json

from simulator import units
from simulator.checks import Check, Finding, check_for, safe_for, take, words
from simulator.cli.asking import Commands
from simulator.cli.lists import table
from simulator.cli.running import add_machine, asked_machine
from simulator.evidence import made_safe
from simulator.rig import Rig
from simulator.session import Session

REST = 15.0  # before the check, as the evidence tables have it [s]


def add_to(commands: Commands) -> None:
    """Add the command `check`."""
    command = commands.add_parser("check", help="take one check by its protocol")
    add_machine(command)
    command.add_argument("check", metavar="CHECK", help="a check's slug, see 'checks'")
    command.add_argument(
        "--place", default="", metavar="PLACE", help="where, for a check with several places"
    )
    command.add_argument("--json", action="store_true", help="answer in JSON")
    command.set_defaults(answer=_check)


def _check(asked: argparse.Namespace) -> str:
    machine = asked_machine(asked)
    entry, at = check_for(machine.rig, asked.check, asked.place)
    place = at.slug
    session = machine.session()
    if not machine.rig.has_engine:  # an engine stands until somebody starts it
        session.operate("start")
    session.run(REST)
    done = _made_safe(session, safe_for(entry, place))
    finding = take(session, entry.slug, place)
    if asked.json:
        return json.dumps(_plain(finding, machine.rig, done), ensure_ascii=False, allow_nan=False) + "\n"
    return _text(finding, entry, machine.rig, done)


def _made_safe(session: Session, safe: str) -> list[str]:
    """Bring the machine into the state the check needs, as a hand must; say what was done."""
    before = len(session.events)
    made_safe(session, safe)
    return [event.detail for event in session.events[before:] if event.what == "deed"]


def _plain(finding: Finding, rig: Rig, done: list[str]) -> dict[str, object]:
    return {
        "rig": rig.slug,
        "check": finding.check,
        "place": finding.place,
        "made_safe": done,
        "outcome": finding.outcome,
        "words": words(finding),
        "readings": [
            {
                "name": reading.name,
                "title": reading.title,
                "value": reading.value,
                "quantity": reading.quantity,
                "note": reading.note,
            }
            for reading in finding.readings
        ],
        "started_at": finding.started_at,
        "ended_at": finding.ended_at,
    }


def _text(finding: Finding, entry: Check, rig: Rig, done: list[str]) -> str:
    system: units.System = "metric" if rig.display_units == "metric" else "us"
    rows = [
        [reading.title, " ".join([units.show(reading.value, reading.quantity, system), reading.note]).strip()]
        for reading in finding.readings
    ]
    safe = f"Made safe first: {', '.join(done)}.\n" if done else ""
    minutes = units.show(finding.ended_at - finding.started_at, "duration", system)
    return f"{entry.title} ({minutes})\n{safe}{words(finding)} [{finding.outcome}]\n{table(rows)}"
