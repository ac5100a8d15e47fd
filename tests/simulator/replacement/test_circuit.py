"""Branch circuits against the printed tables of the electrical code."""

import math

import pytest

from simulator import electric, units
from simulator.replacement import circuit, conductors
from simulator.replacement.conductors import NotListed
from simulator.replacement.motor_room import insulation_limit
from simulator.replacement.tables import table
from tests.reference import load

PRINTED, BRANCH = load("motor_circuit"), load("motor_branch")
HP = 745.6998715822702
CELLS_ONE = [
    (row[0], volts, amps)
    for row in PRINTED["full_load_single_phase"]["rows"]
    for volts, amps in zip((115, 200, 208, 230), row[1:], strict=True)
]
CELLS_THREE = [
    (row[0], volts, amps)
    for row in PRINTED["full_load_three_phase"]["rows"]
    for volts, amps in zip((115, 200, 208, 230, 460), row[1:], strict=True)
    if amps
]


@pytest.mark.parametrize(("hp", "volts", "amps"), CELLS_ONE)
def test_single_phase_current_is_the_printed_one(hp, volts, amps):
    assert circuit.table_current(hp * HP, float(volts), 1) == amps


@pytest.mark.parametrize(("hp", "volts", "amps"), CELLS_THREE)
def test_three_phase_current_is_the_printed_one(hp, volts, amps):
    assert circuit.table_current(hp * HP, float(volts), 3) == amps


@pytest.mark.parametrize(("awg", "at_60", "at_75", "at_90"), BRANCH["ampacity"]["rows"])
def test_ampacity_is_the_printed_one(awg, at_60, at_75, at_90):
    assert [conductors.ampacity(awg, rating) for rating in (60, 75, 90)] == [at_60, at_75, at_90]


@pytest.mark.parametrize(("celsius", "factor"), BRANCH["ambient"]["rows"])
def test_warm_room_takes_the_printed_share(celsius, factor):
    assert conductors.ampacity(10, 75, celsius + 273.15) == pytest.approx(35 * factor)


@pytest.mark.parametrize("row", PRINTED["resistance"]["rows"], ids=lambda row: str(row[0]))
def test_resistance_is_the_printed_one_and_that_of_copper(row):
    awg, circular_mils, _, stranded = row

    one_kft = conductors.resistance(awg, 304.8)

    assert one_kft == pytest.approx(stranded)
    copper = electric.conductor_resistance(float(circular_mils), 304.8, 348.15)
    assert one_kft == pytest.approx(copper * PRINTED["resistance"]["stranding"], rel=0.006)


@pytest.mark.parametrize("letter", [letter for letter in PRINTED["locked_rotor"] if letter != "source"])
def test_code_letter_has_the_printed_range(letter):
    assert list(circuit.code_range(letter)) == PRINTED["locked_rotor"][letter]


@pytest.mark.parametrize(("letter", "limit"), [(row[0], row[1]) for row in BRANCH["insulation"]["rows"]])
def test_insulation_limit_is_the_printed_one(letter, limit):
    assert insulation_limit(letter) == pytest.approx(limit + 273.15)


def test_insulation_rises_are_the_printed_ones():
    assert table("motors")["insulation"]["rows"] == BRANCH["insulation"]["rows"]


def test_code_percentages_are_the_printed_ones():
    rules, printed = table("circuit")["rules"], BRANCH["percentages"]

    assert circuit.conductor_current(1.0) == printed["conductor"]
    assert rules["breaker_factor"] == printed["breaker"]
    assert circuit.overload_limit(1.0, 1.15) == printed["overload_sf_1_15"]
    assert circuit.overload_limit(1.0, 1.0) == circuit.overload_limit(1.0, None) == printed["overload_others"]
    assert rules["standard_breakers_A"] == BRANCH["breakers"]["sizes"]


@pytest.mark.parametrize(
    ("amps", "factor"), [(28.0, "up_to_100_A"), (100.0, "up_to_100_A"), (101.0, "above_100_A")]
)
def test_breaker_never_goes_past_the_exception(amps, factor):
    assert circuit.breaker_end(amps) == amps * BRANCH["breaker_end"][factor]


@pytest.mark.parametrize(("case", "phases"), [("five_hp_single_phase", 1), ("five_hp_three_phase", 3)])
def test_branch_of_a_5_hp_motor(case, phases):
    printed = BRANCH[case]

    sums = circuit.branch(5 * HP, 230.0, phases, 28.0, 1.15)

    assert (sums.table_current, sums.conductor_current) == (printed["table"], printed["conductor"])
    assert (sums.conductor_75, sums.conductor_60, sums.breaker) == (
        printed["awg_75"],
        printed["awg_60"],
        printed["breaker"],
    )
    assert sums.overload == 35.0


def test_drop_of_a_long_run():
    printed = BRANCH["five_hp_single_phase"]["drop_100_ft_10_awg"]

    assert conductors.voltage_drop(28.0, 10, 30.48, 1) == pytest.approx(printed, abs=5e-4)
    assert conductors.voltage_drop(28.0, 10, 30.48, 3) == pytest.approx(printed * math.sqrt(3) / 2, abs=5e-4)


def test_locked_rotor_current_of_a_code_letter():
    printed = PRINTED["locked_rotor_example"]

    low, high = circuit.locked_rotor_currents("J", 5 * HP, 230.0, 3)

    assert (round(low, 1), round(high, 1)) == (printed["low"], printed["high"])


@pytest.mark.parametrize(
    ("kilowatts", "hp"),
    [(0.75, 1), (1.1, 1.5), (1.5, 2), (2.2, 3), (3.7, 5), (5.5, 7.5), (7.5, 10), (11, 15)],
)
def test_kilowatt_ladder_stands_on_the_horsepower_ladder(kilowatts, hp):
    """Ratings of IEC 60072-1 and NEMA MG 1 side by side; 4 kW (5.36 hp) has no partner."""
    assert circuit.horsepower(units.convert(kilowatts, "kW", "W")) == hp


@pytest.mark.parametrize(
    ("supply", "column"),
    [
        (110, 115),
        (120, 115),
        (125, None),
        (200, 200),
        (208, 208),
        (220, 230),
        (240, 230),
        (277, None),
        (480, 460),
        (400, None),
    ],
)
def test_supply_finds_its_column_or_none(supply, column):
    if column is None:
        with pytest.raises(NotListed):
            circuit.system_volts(float(supply))
    else:
        assert circuit.system_volts(float(supply)) == column


def test_power_between_rows_takes_the_larger_row():
    assert circuit.table_current(4000.0, 230.0, 3) == 22.0


@pytest.mark.parametrize(
    "ask",
    [
        lambda: circuit.table_current(15 * HP, 230.0, 1),
        lambda: circuit.table_current(5 * HP, 115.0, 3),
        lambda: circuit.table_current(5 * HP, 460.0, 1),
        lambda: conductors.ampacity(16),
        lambda: conductors.ampacity(10, 75, 350.0),
        lambda: conductors.ampacity(10, 60, 310.0),
        lambda: conductors.resistance(1, 10.0),
        lambda: conductors.smallest_conductor(500.0),
        lambda: circuit.breaker_limit(200.0),
    ],
)
def test_what_the_tables_do_not_hold_is_refused(ask):
    with pytest.raises(NotListed):
        ask()
