"""What a check finds comes from instruments: no fault's name stands in its code, and none is asked for."""

import ast
from pathlib import Path

import pytest

import simulator.checks
from simulator.faults import load_faults

ROOM = Path(simulator.checks.__file__).parent
FILES = [*sorted(ROOM.glob("*.py")), ROOM.parent / "instruments.py", ROOM.parent / "hazards.py"]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_no_fault_is_named(path):
    text = path.read_text(encoding="utf-8")

    assert not [slug for slug in load_faults() if slug in text]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_nobody_asks_what_was_put_in(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    asked = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    imported = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}

    assert not asked & {"injected", "faults"}
    assert "simulator.faults" not in imported
