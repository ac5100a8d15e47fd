"""What there is: rigs, faults, checks."""

import argparse
import json
from collections.abc import Mapping, Sequence
from typing import Any

from simulator.checks import load_checks
from simulator.cli.asking import Commands
from simulator.faults import load_faults
from simulator.rig import find_rig, load_rigs

COMMANDS = ("rigs", "faults", "checks")


def add_to(commands: Commands) -> None:
    """Add the listing commands."""
    rigs = commands.add_parser("rigs", help="list the rigs")
    rigs.set_defaults(answer=_rigs)
    faults = commands.add_parser("faults", help="list what can be wrong")
    faults.add_argument("--rig", metavar="RIG", help="only the faults that this rig can have")
    faults.set_defaults(answer=_faults)
    checks = commands.add_parser("checks", help="list what can be done to find out")
    checks.set_defaults(answer=_checks)
    for command in (rigs, faults, checks):
        command.add_argument("--json", action="store_true", help="answer in JSON")


def _rigs(asked: argparse.Namespace) -> str:
    rows = [
        {"slug": rig.slug, "title": rig.title, "use": rig.use, "plates": dict(rig.plates)}
        for rig in load_rigs().values()
    ]
    return _listed(rows, ("slug", "title", "use"), as_json=asked.json)


# Where a fault sits, for no rig in particular.
_STAGES = {None: [], 0: ["any cylinder"], 1: ["first stage"], 2: ["second stage"]}


def _faults(asked: argparse.Namespace) -> str:
    rig = find_rig(load_rigs(), asked.rig) if asked.rig is not None else None
    rows = [
        {
            "slug": fault.slug,
            "system": fault.system,
            "title": fault.title,
            "rigs": list(fault.rigs),
            "hazard_level": fault.hazard_level,
            "severity": "0 to 1" if fault.graded else "none",
            "locations": list(fault.locations_on(rig)) if rig is not None else _STAGES[fault.stage],
            "mechanism": fault.mechanism,
        }
        for fault in load_faults().values()
        if rig is None or rig.slug in fault.rigs
    ]
    return _listed(rows, ("slug", "severity", "title"), as_json=asked.json)


def _checks(asked: argparse.Namespace) -> str:
    rows = [
        {
            "slug": check.slug,
            "tool": check.tool,
            "minutes": check.minutes,
            "safe": check.safe,
            "title": check.title,
            "places": [place.slug for place in check.places],
            "outcomes": dict(check.outcomes),
            "caution": check.caution,
        }
        for check in load_checks().values()
    ]
    return _listed(rows, ("slug", "tool", "minutes", "safe", "title"), as_json=asked.json)


def _listed(rows: Sequence[Mapping[str, Any]], columns: Sequence[str], *, as_json: bool) -> str:
    if as_json:
        return json.dumps(rows, ensure_ascii=False, indent=2) + "\n"
    return table(
        [
            [f"{row[column]:g}" if isinstance(row[column], float) else str(row[column]) for column in columns]
            for row in rows
        ]
    )


def table(rows: Sequence[Sequence[str]]) -> str:
    """Set rows of words in columns, the last one as long as it likes."""
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]) - 1)] if rows else []
    lines = [
        "  ".join([*(word.ljust(width) for word, width in zip(row, widths, strict=False)), row[-1]])
        for row in rows
    ]
    return "".join(f"{line.rstrip()}\n" for line in lines)
