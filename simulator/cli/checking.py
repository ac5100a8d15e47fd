"""Take one check on a rig by its protocol."""

import argparse
import json

from simulator import units
from simulator.checks import Check, Finding, find_check, take, words
from simulator.cli.asking import Commands
from simulator.cli.lists import table
from simulator.cli.running import add_machine, asked_machine
from simulator.rig import Rig
from simulator.session import Session

BLEED_LIMIT = 1800.0  # [s]
ZERO = 500.0  # gauge pressure that the drain is left to reach [Pa]


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
    entry = find_check(asked.check)
    place = entry.place(asked.place).slug
    session = machine.session()
    session.operate("start")
    made_safe = _make_safe(session, entry)
    finding = take(session, entry.slug, place)
    if asked.json:
        return json.dumps(_plain(finding, machine.rig, made_safe), ensure_ascii=False, allow_nan=False) + "\n"
    return _text(finding, entry, machine.rig, made_safe)


def _make_safe(session: Session, entry: Check) -> list[str]:
    """Bring the machine into the state the check needs, as a hand must; say what was done."""
    deeds = {"S2": ["stop", "isolate", "lock"], "S3": ["stop", "isolate", "lock", "open-drain", "vent-head"]}
    done = deeds.get(entry.safe, [])
    for deed in done:
        session.operate(deed)
    if done:
        session.run_until("stopped", 60.0)
    if entry.safe == "S3":
        session.run_until("receiver-below", BLEED_LIMIT, ZERO)
    return done


def _plain(finding: Finding, rig: Rig, made_safe: list[str]) -> dict[str, object]:
    return {
        "rig": rig.slug,
        "check": finding.check,
        "place": finding.place,
        "made_safe": made_safe,
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


def _text(finding: Finding, entry: Check, rig: Rig, made_safe: list[str]) -> str:
    system: units.System = "metric" if rig.display_units == "metric" else "us"
    rows = [
        [reading.title, " ".join([units.show(reading.value, reading.quantity, system), reading.note]).strip()]
        for reading in finding.readings
    ]
    safe = f"Made safe first: {', '.join(made_safe)}.\n" if made_safe else ""
    minutes = units.show(finding.ended_at - finding.started_at, "duration", system)
    return f"{entry.title} ({minutes})\n{safe}{words(finding)} [{finding.outcome}]\n{table(rows)}"
