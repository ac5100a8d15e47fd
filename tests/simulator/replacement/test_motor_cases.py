"""Worked motor cases with known right answers, traps among them."""

import tomllib
from pathlib import Path

import pytest

from simulator.replacement.machines import find_machine
from simulator.replacement.motors import fit_motor
from simulator.replacement.place import read_place
from simulator.replacement.plates import read_motor_plate
from simulator.replacement.verdict import Verdict

CASES = tomllib.loads((Path(__file__).parent / "cases" / "motors.toml").read_text(encoding="utf-8"))["case"]


def plate(case, which):
    if f"{which}_plate" in case:
        return read_motor_plate(case[f"{which}_plate"], which)
    return read_motor_plate({**find_machine(case[which]).motor, **case.get(f"{which}_lines", {})}, which)


def judged(case):
    place = read_place({**find_machine(case["old"]).place, **case.get("place", {})})
    return fit_motor(plate(case, "old"), plate(case, "new"), place)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_motor_case_has_its_known_answer(case):
    judgement = judged(case)

    told = {
        code: {one.verdict.value for one in judgement.reasons if one.code == code}
        for code in case.get("reasons", {})
    }
    assert {
        code: verdict for code, verdict in case.get("reasons", {}).items() if verdict not in told[code]
    } == {}
    assert judgement.verdict.value == case["verdict"], [
        (one.code, one.verdict.value) for one in judgement.reasons if one.verdict is not Verdict.FITS
    ]
    assert case.get("changes", "") in " ".join(judgement.changes)


ALIKE = [case for case in CASES if case["old"] == case.get("new") and "old_lines" not in case]


@pytest.mark.parametrize("case", ALIKE, ids=lambda case: case["name"])
def test_what_is_not_listed_as_wrong_in_a_like_for_like_case_fits(case):
    """Where only some lines differ from the old plate, no other line may be worse than the case says."""
    worst = {one.code for one in judged(case).reasons if one.verdict.value == case["verdict"]}

    assert case["verdict"] == "fits" or worst <= set(case["reasons"])


def test_there_are_enough_cases_and_traps():
    assert len(CASES) >= 20
    assert sum(case.get("trap", False) for case in CASES) >= 10
    assert all(case["why"] and case["source"] for case in CASES)
    assert {case["verdict"] for case in CASES} == {verdict.value for verdict in Verdict}
