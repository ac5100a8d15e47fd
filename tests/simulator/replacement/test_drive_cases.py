"""Worked drive cases, the geometry of belts, and drives that contradict themselves."""

import math
import tomllib
from pathlib import Path

import pytest

from simulator.replacement import belts
from simulator.replacement.drive_plates import DRIVE_LINES, belt_centre, read_belt, read_drive, sections
from simulator.replacement.drives import fit_drive
from simulator.replacement.machines import find_machine, machines
from simulator.replacement.problems import BadPlate
from tests.reference import load

CASES = tomllib.loads((Path(__file__).parent / "cases" / "drives.toml").read_text(encoding="utf-8"))["case"]
BELTS = load("belts")
EXAMPLE = load("rotating_machines")["belt_example"]
INCH = 0.0254
WITH_DRIVE = [machine for machine in machines().values() if machine.drive]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_drive_case_has_its_known_answer(case):
    old = read_drive(case.get("old_lines") or find_machine(case["old"]).drive)

    judgement = fit_drive(old, read_drive(case["new"]))

    told = {one.code: one.verdict.value for one in judgement.reasons}
    assert {code: told.get(code) for code in case.get("reasons", {})} == case.get("reasons", {})
    assert judgement.verdict.value == case["verdict"], told


def test_there_are_enough_cases_and_traps():
    assert len(CASES) >= 4
    assert sum(case.get("trap", False) for case in CASES) >= 4


@pytest.mark.parametrize("machine", WITH_DRIVE, ids=lambda machine: machine.rig)
def test_drive_of_every_rig_fits_itself_and_its_belt_is_right(machine):
    """Sheaves, belt number and centre distance of a rig agree within 2 mm of centre distance."""
    drive = read_drive(machine.drive)

    assert fit_drive(drive, drive).verdict.value == "fits"
    assert belt_centre(drive) == pytest.approx(drive.centre_distance, abs=0.002)
    assert drive.turns == pytest.approx(drive.pump_speed, rel=0.002)


def test_pump_and_belt_speed_of_the_printed_example():
    drive = read_drive("motor speed=1725; motor sheave=3.4 in; flywheel=13 in")

    assert drive.turns == pytest.approx(EXAMPLE["pump_rpm"], abs=0.01)
    feet_per_minute = belts.belt_speed(drive.driver, drive.motor_speed) * 60 / 0.3048
    assert feet_per_minute == pytest.approx(1535.45, abs=0.01)  # pi x 3.4 x 1725 / 12, by hand


def test_belt_length_of_equal_sheaves_is_two_straights_and_a_circle():
    assert belts.belt_length(0.1, 0.1, 0.5) == pytest.approx(1.0 + math.pi * 0.1)
    assert belts.wrap_angle(0.1, 0.1, 0.5) == pytest.approx(math.pi)


def test_belt_length_agrees_with_the_workshop_formula():
    """2C + pi/2 (D + d) + (D - d)²/4C, as handbooks print it, is good to a per mille at usual distances."""
    c, d, D = 0.4445, 0.0991, 0.3251  # noqa: N806  the formula's letters

    handbook = 2 * c + math.pi / 2 * (D + d) + (D - d) ** 2 / (4 * c)

    assert belts.belt_length(d, D, c) == pytest.approx(handbook, rel=1e-3)


def test_every_section_is_the_noted_one():
    noted = {row[0]: tuple(row[1:]) for row in BELTS["sections"]["rows"]}

    held = {
        name: tuple(round(one * 1000, 1) for one in (section.width, section.depth, section.least_sheave))
        for name, section in sections().items()
    }
    assert held == noted


def test_rim_and_number_stand_off_the_pitch_line_as_noted():
    """Within half a millimetre: the notes are rounded in inches."""
    for name, inches in BELTS["outside_over_pitch"]["inches"]:
        assert sections()[name].groove == pytest.approx(inches * INCH, abs=5e-4)
    for name, millimetres in BELTS["outside_over_pitch"]["millimetres"]:
        assert sections()[name].groove == pytest.approx(millimetres / 1000)
    for name, inches in BELTS["length_over_number"]["inches"]:
        assert sections()[name].add == pytest.approx(inches * INCH, abs=5e-4)


@pytest.mark.parametrize(
    ("number", "inches"),
    [
        ("A61", 61 + 1.3),
        ("B90", 90 + 1.8),
        ("C120", 120 + 2.9),
        ("2 x B90 matched", 91.8),
        ("SPA 2150", 2150 / 25.4),
    ],
)
def test_belt_number_gives_its_pitch_length(number, inches):
    """Inside length plus 1.3, 1.8, 2.9 in for A, B, C (ARPM IP-20, from memory); SP belts count pitch length."""
    assert read_belt(number).pitch_length / INCH == pytest.approx(inches, abs=0.01)


def test_too_short_a_belt_goes_round_nothing():
    assert belts.centre_distance(0.2, 0.5, 0.9) is None


def test_every_section_runs_in_its_own_groove():
    assert all(name in section.takes for name, section in sections().items())
    assert all(set(section.takes) <= set(sections()) for section in sections().values())


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("motor speed=3450; motor sheave=99.1 mm; flywheel=325.1 mm; pump speed=600", "pump speed"),
        ("motor sheave=4 in; motor sheave outside=3.5 in", "motor sheave"),
        ("motor sheave=4 in; flywheel=12 in; centre distance=7 in", "centre distance"),
        ("belt=Q20", "belt"),
        ("section=A4", "section"),
        ("belts=20", "belts"),
        ("motor sheave=4", "motor sheave"),
        ("flywheel=40 ft", "flywheel"),
        ("motor speed=90000", "motor speed"),
    ],
)
def test_drive_that_cannot_be_says_which_line(typed, line):
    with pytest.raises(BadPlate) as refusal:
        read_drive(typed)

    assert [problem.line for problem in refusal.value.problems] == [line]
    assert all(problem.look for problem in refusal.value.problems)


def test_hub_longer_than_the_shaft_does_not_fit():
    old = read_drive([*find_machine("twin-60").drive, "shaft length 2-1/4 in"])

    assert fit_drive(old, read_drive("hub length=2.5 in")).by_code("hub").verdict.value == "does-not-fit"
    assert fit_drive(old, read_drive("hub length=2 in")).by_code("hub").verdict.value == "fits"


def test_every_line_says_where_to_look():
    assert all(line.look and line.title for line in DRIVE_LINES.values())
