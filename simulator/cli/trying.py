"""Put a rig through the standard trial, its figures beside those of the sound machine."""

import argparse
import json
import math
from collections.abc import Iterator

from simulator import units
from simulator.cli.asking import Commands
from simulator.cli.lists import table
from simulator.cli.running import Asked, add_rig_and_faults, asked_machine
from simulator.figures import FIGURES, STATES, Figure, Figures, Reading, State, alike
from simulator.trial import figures, healthy_figures

_HEADS: dict[State, str] = {
    "pumping": "Pumping",
    "just-stopped": "Just stopped",
    "settled": "Settled",
    "restart": "Restart at cut-in",
}
NEVER, NOT_READ, DIFFERS = "never", "-", "*"
SILENT = 0.5  # air that nobody notices at a place [L/min]
# Digits after the point where the usual instrument's are too few to set two machines side by side.
_DIGITS = {"duration": 1, "air_flow": 2}


def add_to(commands: Commands) -> None:
    """Add the command `trial`."""
    command = commands.add_parser(
        "trial", help="pump up, stop, settle and restart a rig; figures beside a sound one's"
    )
    add_rig_and_faults(command)
    command.add_argument("--system", choices=("us", "metric"), help="units (the rig's own)")
    command.add_argument("--json", action="store_true", help="answer in JSON")
    command.set_defaults(answer=_trial)


def _trial(asked: argparse.Namespace) -> str:
    machine = asked_machine(asked)
    sound = healthy_figures(machine.rig)
    found = figures(machine.rig, machine.catalogue, machine.injected)
    if asked.json:
        return json.dumps(_plain(machine, sound, found), ensure_ascii=False, allow_nan=False) + "\n"
    system: units.System = asked.system or ("metric" if machine.rig.display_units == "metric" else "us")
    return _text(machine, sound, found, system)


def _names(sound: Figures, found: Figures, state: State) -> Iterator[str]:
    """Figures of a state worth a line: no place that is silent on both machines."""
    for name in FIGURES[state]:
        if name not in sound[state]:
            continue
        if name.startswith("leak:") and max(float(one[state][name]) for one in (sound, found)) < SILENT:
            continue
        yield name


def _plain(machine: Asked, sound: Figures, found: Figures) -> dict[str, object]:
    return {
        "rig": machine.rig.slug,
        "faults": [
            {"fault": one.fault, "severity": one.severity, "location": one.location}
            for one in machine.injected
        ],
        "figures": {
            state: {
                name: {
                    "title": FIGURES[state][name].title,
                    "unit": _unit(FIGURES[state][name]),
                    "sound": _finite(sound[state][name]),
                    "found": _finite(found[state].get(name)),
                }
                for name in _names(sound, found, state)
            }
            for state in STATES
        },
    }


def _unit(figure: Figure) -> str:
    return figure.kind.unit if figure.kind else ""


def _finite(value: Reading | None) -> Reading | None:
    """JSON has no word for what never comes: nothing stands there."""
    return None if isinstance(value, float) and not math.isfinite(value) else value


def _text(machine: Asked, sound: Figures, found: Figures, system: units.System) -> str:
    faulty = bool(machine.injected)
    parts = [f"{machine.rig.title}\n"]
    for state in STATES:
        columns = ["sound", "found", ""] if faulty else ["sound"]
        rows = [[_HEADS[state], *columns]]
        for name in _names(sound, found, state):
            figure, one, other = FIGURES[state][name], sound[state][name], found[state].get(name)
            row = [f"  {figure.title}", _shown(figure, one, system)]
            if faulty:
                same = other is not None and alike(state, name, other, one)
                row += [_shown(figure, other, system), "" if same else DIFFERS]
            rows.append(row)
        parts.append(table(rows))
    if faulty:
        parts.append(f"{DIFFERS} a reader would notice\n")
    return "\n".join(parts)


def _shown(figure: Figure, value: Reading | None, system: units.System) -> str:
    if value is None:
        return NOT_READ
    if isinstance(value, str) or figure.kind is None:
        return str(value)
    if math.isinf(value):
        return NEVER
    kind = figure.kind
    digits = None if value >= units.SECONDS_SHOWN_ALONE else _DIGITS.get(kind.quantity)
    return units.show(units.convert(value, kind.unit, kind.si), kind.quantity, system, digits)
