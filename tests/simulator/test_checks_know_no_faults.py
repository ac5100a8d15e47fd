"""What a check finds comes from instruments: no fault's name stands in its code, and none is asked for."""

import ast
from pathlib import Path

import pytest

import simulator.checks
from simulator.checks import CannotTake, checks_for, load_checks, safe_for, take
from simulator.evidence import made_safe
from simulator.faults import load_faults
from tests.simulator.any_machine import RIGS, machine_of

ROOM = Path(simulator.checks.__file__).parent
FILES = [
    *sorted(ROOM.glob("*.py")),
    *(ROOM.parent / name for name in ("instruments.py", "hazards.py", "prohibited.py")),
]
# A gauge watched for creep and a regulator that creeps bear one name; the check's is meant.
FAULTS = sorted(set(load_faults()) - set(load_checks()))
WRONG = {
    "motor__friction_factor": 4.0,
    "drive__slip_pct": 10.0,
    "gauge__tank__offset_psi": 12.0,
    "receiver__drain_leak_d_mm": 0.6,
    "check__reverse_ratio": 1e-4,
    "relief__tank__state": "plugged",
    "switch__wiring": "one_leg_direct",
}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_no_fault_is_named(path):
    text = path.read_text(encoding="utf-8")

    assert not [slug for slug in FAULTS if slug in text]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_nobody_asks_what_was_put_in(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    asked = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    imported = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}

    assert not asked & {"injected", "faults"}
    assert "simulator.faults" not in imported


@pytest.mark.parametrize("check", sorted(checks_for(RIGS["twin-60"])))
def test_a_machine_whose_fault_list_is_blank_gives_the_same_finding(check):
    entry = checks_for(RIGS["twin-60"])[check]
    for place in entry.places:
        known = made_safe(machine_of("twin-60", **WRONG), safe_for(entry, place.slug))
        blank = known.copy()
        blank.injected, blank.faults = (), {}

        assert found(known, check, place.slug) == found(blank, check, place.slug)


def found(session, check, place):
    try:
        return take(session, check, place)
    except CannotTake as refusal:
        return str(refusal)
