"""Each calculator against published tables and worked examples, with the source beside each."""

import math

import pytest

from simulator import units
from simulator.calculators import calculate
from tests.reference import load
from tests.simulator.calculators.figures import figure, plain

ORIFICE = load("orifice_discharge")
ATMOSPHERE = load("standard_atmosphere")
CIRCUIT = load("motor_circuit")
ROTATING = load("rotating_machines")
RECEIVERS = load("receivers")


# Displacement and free air -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bore", "stroke", "cylinders", "rpm", "litres"),
    [
        # By hand: n·π/4·bore²·stroke·rpm, mm and litres a minute.
        ("69.85 mm", "50.8 mm", "2", "1051 rpm", 409.2),
        ("105 mm", "80 mm", "1", "900 rpm", 623.4),
        ("95.25 mm", "69.85 mm", "2", "878 rpm", 874.0),
    ],
)
def test_displacement_is_geometry(bore, stroke, cylinders, rpm, litres):
    swept = figure(
        "displacement", "displacement", "L/min", bore=bore, stroke=stroke, cylinders=cylinders, speed=rpm
    )

    assert swept == pytest.approx(litres, rel=1e-3)


def test_share_delivered_is_the_textbook_volumetric_efficiency():
    """Eastop and McConkey, reciprocating compressors: clearance 5 %, 1.013 to 7 bar, n = 1.25 here: 1 + c - c·r^(1/n)."""
    share = plain(
        "displacement", "efficiency", clearance="5 %", delivery_factor="100 %", pressure="5.98675 bar"
    )

    assert share == pytest.approx(100.0 * (1.05 - 0.05 * (6.99999 / 1.01325) ** 0.8), rel=1e-4)


def test_free_air_is_that_of_the_rig(rig):
    """The rig's reference block was worked out by hand from the same formulas (common practice)."""
    cylinder = rig.pump.cylinders[0]
    for psi, litres in zip(rig.reference["receiver_psig"], rig.reference["free_air_L_min"], strict=True):
        delivered = figure(
            "displacement",
            "free_air",
            "L/min",
            bore=f"{cylinder.bore:.6f} m",
            stroke=f"{cylinder.stroke:.6f} m",
            speed="1051 rpm",
            pressure=f"{psi} psi",
        )
        assert delivered == pytest.approx(litres, rel=0.01)


def test_two_stages_deliver_more_at_the_same_pressure():
    one, two = (plain("displacement", "free_air", stages=stages) for stages in ("1", "2"))

    assert two > one


# Receivers -----------------------------------------------------------------------------------------------------


def test_pump_up_takes_the_worked_time():
    example = RECEIVERS["filling"]
    typed = {"receiver": "80 gal", "end": "150 psi", "free_air": "15 cfm"}

    assert figure("pump-up", "time", "min", **typed) == pytest.approx(example["minutes"], rel=1e-3)
    assert figure("pump-up", "air", "ft³", **typed) == pytest.approx(example["free_air_cubic_feet"], rel=1e-3)


def test_timed_pump_up_gives_the_worked_free_air():
    example = RECEIVERS["timed_pump_up"]
    measured = figure(
        "measured-free-air", "free_air", "cfm", receiver="25 gal", start="85 psi", end="102 psi", time="35 s"
    )

    assert measured == pytest.approx(example["free_air_cfm"], rel=1e-3)


def test_surge_needs_the_receiver_of_the_worksheet():
    example = RECEIVERS["surge"]
    typed = {"time": "5 min", "drawn": "350 cfm", "free_air": "250 cfm", "start": "100 psi", "end": "60 psi"}

    assert figure("receiver-size", "volume", "ft³", **typed) == pytest.approx(example["cubic_feet"], rel=1e-3)
    assert figure("receiver-size", "volume", "gal", **typed) == pytest.approx(example["gallons"], rel=1e-3)
    assert figure("receiver-size", "volume", "m³", **typed) == pytest.approx(
        example["cubic_metres"], rel=1e-3
    )


def test_receiver_for_starts_holds_at_the_worst_draw():
    """By hand: fill 4·V·dp/(pa·Q) at a draw of half the flow; other draws make longer cycles."""
    volume = plain(
        "receiver-starts", "volume", free_air="10 cfm", starts="10", cut_in="95 psi", cut_out="125 psi"
    )
    flow, band = units.convert(10.0, "cfm", "m³/s"), units.convert(30.0, "psi", "Pa")

    def cycle(share):
        return volume * band / 101_325.0 * (1.0 / (share * flow) + 1.0 / ((1.0 - share) * flow))

    assert cycle(0.5) == pytest.approx(360.0)
    assert all(cycle(share / 20.0) >= 360.0 - 1e-9 for share in range(1, 20))


# Leaks ---------------------------------------------------------------------------------------------------------


def test_bleed_down_gives_the_mean_of_the_formula_and_the_start_of_the_worksheet():
    example = RECEIVERS["bleed_down"]
    typed = {"receiver": "100 ft³", "start": "100 psi", "end": "50 psi", "time": "5 min"}

    assert figure("leak-rate", "mean", "cfm", **typed) == pytest.approx(example["mean_cfm"], rel=1e-3)
    assert figure("leak-rate", "leak", "cfm", **typed) == pytest.approx(example["with_factor_cfm"], rel=0.055)


@pytest.mark.parametrize(("fall", "printed"), RECEIVERS["bleed_down_factors"]["rows"])
def test_factor_of_the_start_is_near_what_worksheets_print(fall, printed):
    start = RECEIVERS["bleed_down_factors"]["from_psi"]
    typed = {"receiver": "60 gal", "start": f"{start} psi", "end": f"{start - fall} psi", "time": "10 min"}
    factor = plain("leak-rate", "leak", **typed) / plain("leak-rate", "mean", **typed)

    assert factor == pytest.approx(printed, rel=0.05)


def test_one_hole_of_the_size_given_leaks_as_much():
    typed = {"receiver": "60 gal", "start": "120 psi", "end": "110 psi", "time": "10 min"}
    answer = calculate("leak-rate", typed)
    hole = units.convert(answer.figures["hole"].value, "m", "mm")
    again = plain(
        "orifice",
        "free_air",
        diameter=f"{hole:.6f} mm",
        pressure="120 psi",
        coefficient="0.8",
        temperature="20 °C",
    )

    assert again == pytest.approx(answer.figures["leak"].value, rel=1e-5)


def test_cycle_test_gives_the_worked_share():
    example = RECEIVERS["cycle"]
    typed = {"on": "8 min", "off": "48 min", "free_air": "900 cfm"}

    assert plain("leak-cycle", "share", **typed) == pytest.approx(example["percent"], rel=1e-4)
    assert figure("leak-cycle", "leak", "cfm", **typed) == pytest.approx(example["leak_cfm"], rel=1e-4)
    assert figure("leak-cycle", "leak", "cfm", **typed) == pytest.approx(example["printed_cfm"], rel=0.01)


@pytest.mark.parametrize(
    ("psi", "inches", "cfm"),
    [
        (row[0], inches, cfm)
        for row in ORIFICE["handbook"]["rows"]
        for inches, cfm in zip(ORIFICE["handbook"]["diameters_in"], row[1:], strict=True)
    ],
)
def test_orifice_passes_what_the_handbook_prints(psi, inches, cfm):
    """Handbook table after Moss (1906); cells of two figures are rounded more coarsely."""
    lost = figure(
        "orifice", "free_air", "cfm", diameter=f"{inches} in", pressure=f"{psi} psi", coefficient="1"
    )

    assert lost == pytest.approx(cfm, rel=0.01 if psi >= 15 and cfm >= 1.0 else 0.015)


@pytest.mark.parametrize(
    ("psi", "inches", "cfm"),
    [
        (row[0], inches, cfm)
        for row in ORIFICE["government"]["rows"]
        for inches, cfm in zip(ORIFICE["government"]["diameters_in"], row[1:], strict=True)
    ],
)
def test_orifice_passes_what_the_government_sheet_prints(psi, inches, cfm):
    """US DOE tip sheet 3 (2004, from memory): its cells behave as if 0.97 had been applied."""
    lost = figure(
        "orifice", "free_air", "cfm", diameter=f"{inches} in", pressure=f"{psi} psi", coefficient="0.97"
    )

    assert lost == pytest.approx(cfm, rel=0.04 if inches < 0.06 else 0.01)


# Drives and motors ---------------------------------------------------------------------------------------------


def test_sheaves_give_the_worked_speed_both_ways():
    example = ROTATING["belt_example"]
    speed = calculate(
        "sheave-speed",
        {"motor_speed": "1725 rpm", "sheave": "3.4 in", "flywheel": "13 in", "plate_speed": "450 rpm"},
    )
    back = calculate(
        "sheave-size", {"motor_speed": "1725 rpm", "pump_speed": "451.15 rpm", "flywheel": "13 in"}
    )

    assert speed.figures["pump_speed"].value == pytest.approx(example["pump_rpm"], rel=1e-4)
    assert units.convert(speed.figures["belt_speed"].value, "m/s", "ft/min") == pytest.approx(
        1535.45, rel=1e-4
    )
    assert units.convert(back.figures["sheave"].value, "m", "in") == pytest.approx(
        example["motor_sheave_in"], rel=1e-4
    )


def test_faster_than_the_plate_is_warned_of():
    typed = {"motor_speed": "1725 rpm", "flywheel": "13 in", "plate_speed": "450 rpm"}

    at_the_plate = calculate("sheave-speed", {**typed, "sheave": "3.4 in"}).remarks
    above_it = calculate("sheave-speed", {**typed, "sheave": "4 in"}).remarks

    assert not any("Faster than the plate" in remark for remark in at_the_plate)
    assert any("Faster than the plate" in remark for remark in above_it)


def test_amps_give_the_worked_power_back():
    example = ROTATING["power_example"]
    amps = plain(
        "amps",
        "current",
        power=f"{example['kilowatt'] * 0.80:.5f} kW",
        voltage=f"{example['volts']} V",
        phase="three-phase",
        efficiency="80 %",
        power_factor=f"{100 * example['power_factor']} %",
    )

    assert amps == pytest.approx(example["ampere"], rel=1e-4)


@pytest.mark.parametrize("row", CIRCUIT["full_load_single_phase"]["rows"])
def test_half_the_volts_take_twice_the_amps_as_the_code_table_has_it(row):
    """NFPA 70 table 430.248: every 115 V cell is twice its 230 V cell."""
    amps = plain("amps-at-volts", "current", current=f"{row[4]} A", from_voltage="230 V", to_voltage="115 V")

    assert amps == pytest.approx(row[1], rel=0.005)


@pytest.mark.parametrize(("gauge", "cmil", "solid", "stranded"), CIRCUIT["resistance"]["rows"])
def test_voltage_drop_follows_the_code_table_of_resistance(gauge, cmil, solid, stranded):
    """NFPA 70 chapter 9 table 8, stranded copper at 75 °C: 2·L·I·R."""
    drop = plain(
        "voltage-drop", "drop", current="10 A", length="100 ft", wire=f"{gauge} AWG", voltage="230 V"
    )

    assert drop == pytest.approx(2.0 * 10.0 * stranded / 10.0, rel=0.007)


def test_voltage_drop_gives_the_worked_answer():
    example = CIRCUIT["drop_example"]
    typed = {"current": f"{example['ampere']} A", "length": f"{example['feet']} ft", "wire": "10 AWG"}

    assert plain("voltage-drop", "drop", **typed) == pytest.approx(example["volts"], rel=0.005)
    assert plain("voltage-drop", "share", **typed) == pytest.approx(3.02, rel=0.005)


def test_three_phases_lose_root_three_over_two():
    one, three = (plain("voltage-drop", "drop", phase=phase) for phase in ("single-phase", "three-phase"))

    assert three / one == pytest.approx(math.sqrt(3.0) / 2.0)


# The place -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("feet", "fahrenheit", "psia"), ATMOSPHERE["imperial"]["rows"])
def test_air_is_as_thin_as_the_handbook_prints(feet, fahrenheit, psia):
    """ASHRAE Fundamentals, table 1; its 4000 ft cell is a misprint."""
    tolerance = 1e-3 if feet == 4000 else 5e-4

    assert figure("altitude", "pressure", "psia", altitude=f"{feet} ft") == pytest.approx(psia, rel=tolerance)
    assert figure("altitude", "temperature", "°F", altitude=f"{feet} ft") == pytest.approx(
        fahrenheit, abs=0.1
    )


@pytest.mark.parametrize(("metres", "kelvin", "bar", "share"), ATMOSPHERE["metric"]["rows"])
def test_air_is_as_thin_as_the_standard_prints(metres, kelvin, bar, share):
    answer = calculate("altitude", {"altitude": f"{metres} m"}).figures

    assert answer["pressure"].value == pytest.approx(bar * 1e5, rel=5e-4)
    assert answer["density"].value == pytest.approx(100.0 * share, rel=5e-4)


def test_water_of_a_day_is_that_of_the_worked_balance():
    example = RECEIVERS["condensate"]
    typed = {
        "free_air": "500 cfm",
        "time": "24 h",
        "intake_temperature": "75 °F",
        "humidity": "75 %",
        "receiver_temperature": "100 °F",
        "pressure": "100 psi",
    }

    for name, key in (("taken_in", "taken_in"), ("condensate", "falls_out"), ("carried_on", "carried_on")):
        gallons = figure("condensate", name, "gal", **typed)
        assert gallons == pytest.approx(example[f"{key}_gallons"], rel=0.05)
        assert gallons == pytest.approx(example[f"worked_{key}_gallons"], rel=0.025)


def test_water_is_that_of_the_handbook_tables():
    """Taken in by 1000 ft³ at 80 °F and 75 %; held by 1000 standard ft³ (60 °F) at 100 °F and 100 psi."""
    example = RECEIVERS["handbook_moisture"]
    typed = {"free_air": "1000 cfm", "time": "1 min", "receiver_temperature": "100 °F", "pressure": "100 psi"}

    taken_in = figure("condensate", "taken_in", "gal", **typed, intake_temperature="80 °F", humidity="75 %")
    held = figure("condensate", "carried_on", "gal", **typed, intake_temperature="60 °F", humidity="100 %")

    assert taken_in == pytest.approx(example["taken_in"], rel=0.01)
    assert held == pytest.approx(example["carried_on"], rel=0.025)


def test_dry_air_leaves_no_water():
    assert plain("condensate", "condensate", humidity="0 %") == 0.0
