"""Speeds, power, conductors and code letters, against the published tables."""

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulator import electric
from simulator.components.spec import tables
from tests.reference import load

CIRCUIT = load("motor_circuit")
ROTATING = load("rotating_machines")
WATT_PER_HORSEPOWER = ROTATING["constants"]["watt_per_horsepower"]
NEWTON_METRE_PER_LBF_FT = 1.3558179483314004
INCH = 0.0254
HOT_COPPER = 348.15  # 75 °C
RIGS = [row for _, row in tables(Path(__file__).parents[2] / "fixtures" / "rigs", "rig")]


def code_letter(kva_per_hp):
    """Letter of NEMA MG 1 10.37.2 for a locked-rotor figure."""
    ranges = {letter: span for letter, span in CIRCUIT["locked_rotor"].items() if letter != "source"}
    return next(letter for letter, (low, high) in ranges.items() if low <= kva_per_hp < high)


@pytest.mark.parametrize(("poles", "at_sixty", "at_fifty"), ROTATING["synchronous"]["rows"])
def test_field_turns_as_the_table_says(poles, at_sixty, at_fifty):
    assert electric.synchronous_speed_rpm(60.0, poles) == at_sixty
    assert electric.synchronous_speed_rpm(50.0, poles) == at_fifty


def test_torque_has_the_constant_of_the_trade():
    exact = ROTATING["constants"]
    one_horsepower_at_one_rpm = electric.torque(WATT_PER_HORSEPOWER, 1.0) / NEWTON_METRE_PER_LBF_FT

    assert one_horsepower_at_one_rpm == pytest.approx(exact["torque_constant_lbf_ft"], rel=1e-9)
    assert one_horsepower_at_one_rpm == pytest.approx(exact["printed_lbf_ft"], rel=5e-4)
    assert electric.torque(1000.0, 1.0) == pytest.approx(exact["torque_constant_newton_metre"], rel=1e-9)
    assert electric.torque(1000.0, 1.0) == pytest.approx(exact["printed_newton_metre"], rel=5e-4)


def test_belt_drive_gives_the_worked_answer():
    example = ROTATING["belt_example"]

    torque = electric.torque(example["horsepower"] * WATT_PER_HORSEPOWER, example["motor_rpm"])
    speed = electric.sheave_speed_rpm(
        example["motor_rpm"], example["motor_sheave_in"] * INCH, example["flywheel_in"] * INCH
    )

    assert round(torque / NEWTON_METRE_PER_LBF_FT, 4) == example["torque_lbf_ft"]
    assert round(speed, 2) == example["pump_rpm"]


def test_three_phase_power_gives_the_worked_answer():
    example = ROTATING["power_example"]

    power = electric.three_phase_power(example["volts"], example["ampere"], example["power_factor"])

    assert round(power / 1e3, 4) == example["kilowatt"]


def test_three_phases_carry_the_power_of_one_with_less_current():
    assert electric.three_phase_power(230.0, 10.0, 0.8) == pytest.approx(
        math.sqrt(3.0) * electric.single_phase_power(230.0, 10.0, 0.8)
    )


@pytest.mark.parametrize(("gauge", "cmil", "solid", "stranded"), CIRCUIT["resistance"]["rows"])
def test_copper_resists_as_the_code_table_prints(gauge, cmil, solid, stranded):
    thousand_feet = 1000.0 * electric.METRE_PER_FOOT
    resistance = electric.conductor_resistance(float(cmil), thousand_feet, HOT_COPPER)

    assert resistance * CIRCUIT["resistance"]["stranding"] == pytest.approx(stranded, rel=0.006)
    if solid:
        assert resistance == pytest.approx(solid, rel=0.005)


def test_voltage_drop_gives_the_worked_answer():
    example = CIRCUIT["drop_example"]
    one_way = example["ohm_per_1000_ft"] * example["feet"] / 1000.0

    drop = electric.voltage_drop_single_phase(example["ampere"], one_way)

    assert round(drop, 3) == example["volts"]


def test_locked_rotor_current_gives_the_worked_answer():
    example = CIRCUIT["locked_rotor_example"]
    low, high = CIRCUIT["locked_rotor"]["J"]

    def current(kva_per_hp):
        return electric.locked_rotor_current(example["horsepower"], kva_per_hp, example["volts"], 3)

    assert round(current(low), 1) == example["low"]
    assert round(current(high), 1) == example["high"]


def test_code_letters_leave_no_gap():
    spans = [span for letter, span in CIRCUIT["locked_rotor"].items() if letter != "source"]

    assert [high for _, high in spans[:-1]] == [low for low, _ in spans[1:]]


def test_locked_rotor_current_refuses_two_phases():
    with pytest.raises(ValueError, match="one phase or three"):
        electric.locked_rotor_current(3.0, 6.7, 230.0, 2)


@given(st.floats(0.5, 25.0), st.floats(3.0, 20.0), st.floats(110.0, 480.0))
def test_three_phase_motor_starts_with_less_current_than_a_single_phase_one(horsepower, kva, volts):
    three = electric.locked_rotor_current(horsepower, kva, volts, 3)

    assert three * math.sqrt(3.0) == pytest.approx(electric.locked_rotor_current(horsepower, kva, volts, 1))


def test_slip_is_none_at_the_speed_of_the_field_and_whole_at_standstill():
    assert electric.slip(1800.0, 1800.0) == 0.0
    assert electric.slip(1800.0, 0.0) == 1.0


def plate_of(slug):
    """Motor of a rig and its horsepower and code letter, as its plate prints them."""
    rig = next(rig for rig in RIGS if rig["slug"] == slug)
    words = [word.strip() for word in rig["plates"]["motor"].split(",")]
    horsepower = next(float(word.split()[0]) for word in words if word.endswith(" hp"))
    letter = next(word.removeprefix("code ") for word in words if word.startswith("code "))
    return rig["motor"], horsepower, letter


def test_plate_of_twin_60_agrees_with_its_code_letter():
    motor, horsepower, letter = plate_of("twin-60")
    one_kva = electric.locked_rotor_current(horsepower, 1.0, motor["rated_voltage_V"], 1)

    assert code_letter(motor["locked_rotor_current_A"] / one_kva) == letter == "H"


def test_plate_of_twin_60_lies_below_the_table_current():
    motor, horsepower, _ = plate_of("twin-60")
    table = {row[0]: row[4] for row in CIRCUIT["full_load_single_phase"]["rows"]}

    assert 0.8 * table[horsepower] < motor["full_load_current_A"] <= table[horsepower]


def test_plate_of_twin_60_agrees_with_its_horsepower():
    motor, horsepower, _ = plate_of("twin-60")

    assert motor["rated_power_kW"] * 1e3 == pytest.approx(horsepower * WATT_PER_HORSEPOWER, rel=1e-3)
    assert electric.synchronous_speed_rpm(60.0, 2) == motor["synchronous_speed_rpm"]
