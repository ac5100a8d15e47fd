"""All kinds of part are asked in one way; the plates of the rigs agree with the rigs; examples run; data has sources."""

import doctest
import importlib
import pkgutil
from pathlib import Path

import pytest

import simulator.replacement
from simulator.components.spec import BadSpec
from simulator.replacement import tables
from simulator.replacement.drive_plates import read_drive
from simulator.replacement.kinds import KINDS, UnknownKind, find_kind, judge_part, sheets_of_rig
from simulator.replacement.machines import NoSuchMachine, machines
from simulator.replacement.motors import fit_motor
from simulator.replacement.plates import read_motor_plate
from simulator.replacement.tables import table, words
from simulator.rig import load_rigs

MODULES = [
    importlib.import_module(f"simulator.replacement.{one.name}")
    for one in pkgutil.iter_modules(simulator.replacement.__path__)
]
RIGS = {slug: rig for slug, rig in load_rigs().items() if slug in machines() and machines()[slug].motor}


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_examples_of_the_module_run(module):
    assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize("slug", RIGS)
def test_plate_to_start_from_agrees_with_the_rig(slug):
    motor, plate = RIGS[slug].motor, read_motor_plate(machines()[slug].motor)

    assert plate.power == pytest.approx(motor.rated_power, rel=0.005)
    assert plate.amps_at(motor.rated_voltage) == pytest.approx(motor.full_load_current, rel=0.005)
    assert motor.rated_speed_rpm in plate.speed


def test_drive_to_start_from_agrees_with_the_rig():
    for slug, rig in RIGS.items():
        drive = read_drive(machines()[slug].drive or "")
        if drive.turns is not None:
            assert drive.motor_speed / drive.turns == pytest.approx(rig.drive.ratio, rel=0.005)


def test_every_rig_has_its_plates():
    assert set(load_rigs()) <= set(machines())


def test_machine_without_a_plate_says_why():
    assert all(machine.motor or machine.note for machine in machines().values())


@pytest.mark.parametrize("name", KINDS)
def test_every_kind_has_a_sheet_for_what_is_on_offer(name):
    kind = find_kind(name)

    assert kind.title
    assert "new" in kind.sheets
    assert all(lines for lines in kind.sheets.values())


def test_unknown_kind_offers_the_nearest():
    with pytest.raises(UnknownKind, match="'motor'"):
        judge_part("moter", {})


def test_sheets_start_from_a_rig():
    assert sheets_of_rig("motor", "twin-60")["old"]["power"] == "3 hp"
    assert sheets_of_rig("drive", "twin-60")["old"]["belt"] == "A61"
    assert sheets_of_rig("motor", "engine-30") == {}
    assert sheets_of_rig("relief", "twin-60")["place"]["mawp"] == "150 psi"
    with pytest.raises(NoSuchMachine, match="twin-60"):
        sheets_of_rig("motor", "twin60")


def test_every_reason_of_a_motor_names_rule_and_source():
    plate = read_motor_plate(machines()["metric-100"].motor)

    for reason in fit_motor(plate, plate).reasons:
        assert reason.rule
        assert reason.source


def test_iec_dimensions_say_that_they_are_to_be_confirmed():
    plate = read_motor_plate(machines()["metric-100"].motor)

    shaft = fit_motor(plate, plate).by_code("shaft")

    assert shaft.standing.value == "from memory"
    assert "to confirm" in shaft.source


@pytest.mark.parametrize("path", sorted(tables.FOLDER.glob("*.toml")), ids=lambda path: path.stem)
def test_tables_of_the_project_can_be_read(path):
    assert table(path.stem)


def test_table_without_a_source_is_refused(tmp_path, monkeypatch):
    (tmp_path / "loose.toml").write_text('[a]\nstanding = "published"\n', encoding="utf-8")
    (tmp_path / "wrong.toml").write_text('[a]\nsource = "x"\nstanding = "sure"\n', encoding="utf-8")
    (tmp_path / "twice.toml").write_text(
        '[[w]]\nkind = "a"\ntitle = "A"\nspellings = ["x"]\n[[w]]\nkind = "b"\ntitle = "B"\nspellings = ["x"]\n',
        encoding="utf-8",
    )
    monkeypatch.setattr(tables, "FOLDER", Path(tmp_path))

    with pytest.raises(BadSpec, match="no source"):
        table("loose")
    with pytest.raises(BadSpec, match="none of"):
        table("wrong")
    with pytest.raises(BadSpec, match="stands for a and for b"):
        words("twice", "w")
