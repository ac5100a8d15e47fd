"""Published worked examples and table rows, solved on the command line."""

import json

import pytest

from simulator.cli import main
from tests.reference import load

TABLES = load("compression_power")


@pytest.fixture
def sums(capsys):
    def ask(*options):
        assert main(["sums", *options, "--json"]) == 0
        return json.loads(capsys.readouterr().out)

    return ask


def given_by(example):
    return (
        *("--flow", f"{example['cubic_metres_a_minute'] * 1000.0} L/min"),
        *("--inlet", f"{example['inlet_bar']} bar abs"),
        *("--outlet", f"{example['discharge_bar']} bar abs"),
        *("--exponent", str(example["exponent"])),
    )


def test_polytropic_power_of_a_machine_without_clearance(sums):
    """Rajput, Thermal Engineering, chapter 20, example 20.1."""
    example = TABLES["polytropic_example"]

    answer = sums(*given_by(example), "--temperature", "288 K")

    assert round(answer["indicated_power_W"] / 1e3, 2) == example["indicated_kw"]


def test_bore_and_motor_of_the_same_machine(sums):
    """Rajput, Thermal Engineering, chapter 20, example 20.2."""
    example = TABLES["polytropic_size_example"]

    answer = sums(
        *given_by(TABLES["polytropic_example"]),
        *("--speed", f"{example['speed_rpm']} rpm", "--stroke-over-bore", str(example["stroke_over_bore"])),
        *("--mechanical-efficiency", str(example["mechanical_efficiency"])),
        *("--drive-efficiency", str(example["drive_efficiency"])),
    )

    assert round(answer["bore_m"] * 1e3, 1) == pytest.approx(example["bore_mm"], abs=0.06)
    assert round(answer["motor_power_W"] / 1e3, 2) == example["motor_kw"]


def test_double_acting_machine_with_clearance(sums):
    """Eastop and McConkey, Applied Thermodynamics, reciprocating compressors (from memory)."""
    example = TABLES["clearance_example"]

    answer = sums(
        *given_by(example),
        *("--temperature", f"{example['inlet_k']} K", "--clearance", str(example["clearance_ratio"])),
        *("--speed", f"{example['speed_rpm']} rpm", "--strokes", str(example["strokes_a_turn"])),
    )

    assert round(answer["volumetric_efficiency_-"], 3) == example["volumetric_efficiency"]
    assert round(answer["discharge_temperature_K"]) == example["delivery_k"]
    assert answer["swept_volume_of_a_stroke_m3"] == pytest.approx(example["swept_volume_m3"], abs=1e-4)
    assert round(answer["indicated_power_W"] / 1e3, 2) == example["indicated_kw"]


@pytest.mark.parametrize(
    ("gauge_psi", "printed"), [row for row in TABLES["one_stage"]["rows"] if row[0] <= 150]
)
def test_one_stage_rows_of_the_handbook(sums, gauge_psi, printed):
    """Machinery's Handbook, 31st ed., table 36; 0.43636 hp for each psi and 100 cfm."""
    answer = sums("--flow", "100 cfm", "--inlet", "14.7 psia", "--outlet", f"{14.7 + gauge_psi} psia")

    assert answer["indicated_power_W"] / 745.69987 == pytest.approx(printed * 0.43636, rel=0.01)


@pytest.mark.parametrize(
    ("gauge_psi", "ratio", "intercooler", "printed"),
    [row for row in TABLES["two_stage"]["rows"] if row[0] != 60],
)
def test_two_stage_rows_of_the_handbook(sums, gauge_psi, ratio, intercooler, printed):
    """Machinery's Handbook, 31st ed., table 37; its 60 psi row is a misprint."""
    answer = sums(
        "--flow", "100 cfm", "--inlet", "14.7 psia", "--outlet", f"{14.7 + gauge_psi} psia", "--stages", "2"
    )

    assert answer["pressure_ratio_of_a_stage_-"] == pytest.approx(ratio, abs=0.006)
    assert answer["behind_stage_1_Pa"] / 6894.757 - 14.7 == pytest.approx(intercooler, abs=0.2)
    assert answer["indicated_power_W"] / 745.69987 == pytest.approx(printed * 0.43636, rel=0.01)


@pytest.mark.parametrize(("gauge_psi", "one_stage", "two_stage"), TABLES["discharge_temperature"]["rows"])
def test_discharge_temperatures_of_the_handbook(sums, gauge_psi, one_stage, two_stage):
    """Machinery's Handbook, 31st ed., 493 °F at 100 psi; the other rows from memory."""
    for stages, fahrenheit in (("1", one_stage), ("2", two_stage)):
        answer = sums(
            *("--flow", "10 cfm", "--inlet", "14.7 psia", "--outlet", f"{14.7 + gauge_psi} psia"),
            *("--temperature", "70 °F", "--stages", stages),
        )
        assert answer["discharge_temperature_K"] == pytest.approx((fahrenheit + 459.67) / 1.8, rel=2e-3)


def test_answer_in_words(capsys):
    assert (
        main(["sums", "--flow", "100 cfm", "--outlet", "8 bar abs", "--stages", "2", "--speed", "700"]) == 0
    )

    said = capsys.readouterr().out
    assert "behind stage 1" in said
    assert "bar absolute" in said
    assert "swept volume of a stroke" in said


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--flow", "ten", "--outlet", "8 bar abs"], "--flow"),
        (["--flow", "10 cfm", "--outlet", "0.5 bar abs"], "--outlet above --inlet"),
        (["--flow", "10 cfm", "--outlet", "8 bar abs", "--exponent", "1.7"], "from 1 to 1.4"),
        (["--flow", "10 cfm", "--outlet", "8 bar abs", "--exponent", "nan"], "from 1 to 1.4"),
        (["--flow", "10 cfm", "--outlet", "8 bar abs", "--stages", "0"], "whole number"),
        (["--flow", "10 cfm", "--outlet", "8 bar abs", "--stroke-over-bore", "1"], "--speed"),
        (["--flow", "10 cfm", "--outlet", "8 bar abs", "--speed", "0"], "--speed must be above zero"),
        (
            ["--flow", "10 cfm", "--outlet", "8 bar abs", "--mechanical-efficiency", "0"],
            "--mechanical-efficiency",
        ),
    ],
)
def test_what_has_no_meaning_is_refused_in_one_line(capsys, options, said):
    assert main(["sums", *options]) == 2

    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
