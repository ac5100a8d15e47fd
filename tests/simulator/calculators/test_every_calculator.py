"""What holds for every calculator, and what one says beside its figures."""

import math

import pytest

from simulator.calculators import CALCULATORS, BadInputs, calculate
from simulator.calculators.pumping import displacement
from tests.reference import load
from tests.simulator.calculators.figures import plain

ORIFICE = load("orifice_discharge")
ATMOSPHERE = load("standard_atmosphere")
CIRCUIT = load("motor_circuit")
ROTATING = load("rotating_machines")
RECEIVERS = load("receivers")


@pytest.mark.parametrize("calculator", CALCULATORS.values(), ids=CALCULATORS)
def test_example_of_a_calculator_runs_and_sources_are_named(calculator):
    answer = calculate(calculator.slug, calculator.example)

    assert all(math.isfinite(found.value) for found in answer.figures.values())
    assert set(answer.given.assumed) == {one.name for one in calculator.inputs} - set(calculator.example)
    assert calculator.source
    assert calculator.formula
    assert calculator.example_answer


def test_displacement_law_is_what_the_rig_sweeps(rig):
    assert displacement(2, rig.pump.cylinders[0].bore, rig.pump.cylinders[0].stroke, 60.0) == pytest.approx(
        rig.swept_volume
    )


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        # Worked by hand from NFPA 70: table current, 125 % for the wire, 250 % and the next standard breaker up.
        (
            {"power": "5 hp", "voltage": "230 V", "plate_current": "28 A", "service_factor": "1.15 or more"},
            {
                "table_current": 28.0,
                "conductor_current": 35.0,
                "wire_75": 10,
                "wire_60": 8,
                "breaker": 70.0,
                "overload": 35.0,
            },
        ),
        (
            {"power": "5 hp", "voltage": "230 V", "phase": "three-phase", "plate_current": "15.2 A"},
            {
                "table_current": 15.2,
                "conductor_current": 19.0,
                "wire_75": 14,
                "wire_60": 12,
                "breaker": 40.0,
                "overload": 17.48,
            },
        ),
    ],
)
def test_branch_circuit_gives_the_worked_answers(typed, expected):
    figures = calculate("breaker-and-wire", typed).figures

    assert {name: round(figures[name].value, 6) for name in expected} == expected


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"power": "5 hp", "plate_current": "3 A"}, "plate_current", "draws about 28 A"),
        (
            {"power": "4 kW", "voltage": "400 V", "phase": "three-phase", "plate_current": "8.2 A"},
            "voltage",
            "do not hold it",
        ),
        ({"power": "20 hp", "plate_current": "90 A"}, "power", "do not hold it"),
    ],
)
def test_branch_circuit_refuses_what_the_tables_do_not_hold(typed, field, words):
    with pytest.raises(BadInputs) as refused:
        calculate("breaker-and-wire", typed)

    assert words in refused.value.problems[field]


def remarks(slug, **typed):
    return " ".join(calculate(slug, typed).remarks)


def test_belt_faster_than_cast_iron_sheaves_bear_is_warned_of():
    """6500 ft/min (33 m/s) for ordinary cast-iron sheaves; common practice, from memory. π·d·n by hand: 7.2 in at 3450 rpm."""
    typed = {"motor_speed": "3450 rpm", "flywheel": "20 in", "plate_speed": "1250 rpm"}

    assert "can burst" not in remarks("sheave-speed", **typed, sheave="7.19 in")
    assert "can burst" in remarks("sheave-speed", **typed, sheave="7.2 in")


def test_drop_beyond_the_advice_for_a_branch_is_said():
    """NFPA 70, 210.19(A), informational note: 3 per cent; from memory. 28 A through 100 ft of 10 AWG loses 3.02."""
    typed = {"current": "28 A", "wire": "10 AWG", "voltage": "230 V"}

    assert "More than 3 per cent" in remarks("voltage-drop", **typed, length="100 ft")
    assert "Within the 3 per cent" in remarks("voltage-drop", **typed, length="98 ft")


def test_motor_above_a_thousand_metres_is_spoken_of():
    """NEMA MG 1: plates hold up to 3300 ft (1000 m); from memory."""
    assert "derating" not in remarks("altitude", altitude="999 m")
    assert "derating" in remarks("altitude", altitude="1001 m")


def test_bleed_down_that_ends_below_choking_is_spoken_of():
    """Choked while the absolute ratio is at most 0.528: down to 12.9 psi by the gauge at sea level."""
    typed = {"receiver": "60 gal", "start": "100 psi", "time": "10 min"}

    assert "no longer chokes" in remarks("leak-rate", **typed, end="12 psi")
    assert "no longer chokes" not in remarks("leak-rate", **typed, end="14 psi")


def test_start_of_a_motor_on_a_thin_cord_is_told_by_volts_and_torque():
    """By hand: 16 AWG is 2583 cmil, stranded 4.98 Ω per 1000 ft at 75 °C; 90 A through 50 ft and back lose 44.8 V."""
    typed = {"current": "15 A", "length": "50 ft", "wire": "16 AWG", "voltage": "115 V", "start_times": "6"}

    assert plain("voltage-drop", "start", **typed) == pytest.approx(115.0 - 44.8, rel=0.005)
    assert plain("voltage-drop", "start_torque", **typed) == pytest.approx(
        100.0 * (70.2 / 115.0) ** 2, rel=0.01
    )
