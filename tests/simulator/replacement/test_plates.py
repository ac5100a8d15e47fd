"""Plates as people write them; what cannot be read or contradicts itself says where, why and where to look."""

import pytest

from simulator.replacement.place import PLACE_LINES, read_place
from simulator.replacement.plate_lines import MOTOR_LINES
from simulator.replacement.plate_words import Capacitor, Key
from simulator.replacement.plates import read_motor_plate
from simulator.replacement.problems import BadPlate

HP = 745.6998715822702
INCH = 0.0254


def one(line, value):
    """What one line alone is read as."""
    return getattr(read_motor_plate({line: value}), line.replace(" ", "_"))


def problems(typed):
    with pytest.raises(BadPlate) as refusal:
        read_motor_plate(typed, "old plate")
    return {problem.line: problem for problem in refusal.value.problems}


@pytest.mark.parametrize(
    ("written", "watt"),
    [
        ("1-1/2 HP", 1.5 * HP),
        ("1 1/2 hp", 1.5 * HP),
        ("1½ HP", 1.5 * HP),
        ("½hp", 0.5 * HP),
        (".5 hp", 0.5 * HP),
        ("3/4 HP", 0.75 * HP),
        ("1.1 kW", 1100.0),
        ("1,1 kW", 1100.0),
        ("1100 W", 1100.0),
    ],
)
def test_power_is_read_as_people_write_it(written, watt):
    assert one("power", written) == pytest.approx(watt)


@pytest.mark.parametrize(
    ("written", "volts"),
    [
        ("115/230", ((115, 115), (230, 230))),
        ("115V/230V", ((115, 115), (230, 230))),
        ("208-230/460 V", ((208, 230), (460, 460))),
        ("400 Δ / 690 Y", ((400, 400), (690, 690))),
        ("220\N{EN DASH}240D/380\N{EN DASH}415Y", ((220, 240), (380, 415))),
        ("230V~", ((230, 230),)),
        ("230 VAC", ((230, 230),)),
    ],
)
def test_volts_are_read_with_every_connection(written, volts):
    assert one("volts", written) == volts


def test_amps_stand_in_the_order_of_the_volts():
    plate = read_motor_plate("V 115/230\nA 15.0/7.5")

    assert [plate.amps_at(volts) for volts in (115.0, 120.0, 230.0, 240.0)] == [15.0, 15.0, 7.5, 7.5]


def test_one_current_for_a_range_of_volts_is_that_of_its_upper_end():
    plate = read_motor_plate("V 208-230/460; A 25/12.5; PH 3")

    assert plate.amps_at(230.0) == 25.0
    assert plate.amps_at(208.0) == pytest.approx(25.0 * 230 / 208)


def test_two_currents_for_a_range_of_volts_stay_as_written():
    assert read_motor_plate("V 208-230/460; A 21.0-19.2/9.6; PH 3").amps_at(208.0) == 21.0


@pytest.mark.parametrize(
    ("written", "phases"), [("1", 1), ("PH 1", 1), ("3~", 3), ("three-phase", 3), ("3 ph", 3), ("single", 1)]
)
def test_phase_is_read(written, phases):
    assert one("phase", written) == phases


@pytest.mark.parametrize(
    ("written", "hertz"), [("60", (60.0,)), ("60 Hz", (60.0,)), ("50/60HZ", (50.0, 60.0))]
)
def test_hertz_is_read(written, hertz):
    assert one("hertz", written) == hertz


@pytest.mark.parametrize(
    ("written", "speeds"),
    [("1725/1140", (1725.0, 1140.0)), ("3450 RPM", (3450.0,)), ("1440 min-1", (1440.0,))],
)
def test_speed_is_read(written, speeds):
    assert one("speed", written) == speeds


@pytest.mark.parametrize(
    ("written", "metres"),
    [
        ('5/8"', 0.625 * INCH),
        ("7/8 in", 0.875 * INCH),
        ("1-1/8 in.", 1.125 * INCH),
        ("28 mm", 0.028),
        ("⅝ in", 0.625 * INCH),
    ],
)
def test_shaft_is_read(written, metres):
    assert one("shaft diameter", written) == pytest.approx(metres)


@pytest.mark.parametrize(
    ("written", "key"),
    [
        ("3/16 in square", Key(0.1875 * INCH, 0.1875 * INCH)),
        ('1/4"', Key(0.25 * INCH, 0.25 * INCH)),
        ("8 x 7 mm", Key(0.008, 0.007)),
        ("8x7mm", Key(0.008, 0.007)),
        ("flat", Key(flat=True)),
    ],
)
def test_key_is_read(written, key):
    read = one("key", written)

    assert (read.width, read.height, read.flat) == pytest.approx((key.width, key.height, key.flat))


@pytest.mark.parametrize(
    ("written", "capacitor"),
    [
        ("270-324 uF 250 VAC", Capacitor(270e-6, 324e-6, 250.0)),
        ("35 MFD, 370 VAC", Capacitor(35e-6, 35e-6, 370.0)),
        ("two 270\N{EN DASH}324 µF", Capacitor(540e-6, 648e-6)),
        ("fitted", Capacitor()),
        ("none", Capacitor(fitted=False)),
    ],
)
def test_capacitor_is_read(written, capacitor):
    read = one("start capacitor", written)

    assert (read.low, read.high, read.volts, read.fitted) == pytest.approx(
        (capacitor.low, capacitor.high, capacitor.volts, capacitor.fitted)
    )


@pytest.mark.parametrize(
    ("line", "written", "kind"),
    [
        ("enclosure", "ODP", "open"),
        ("enclosure", "TEFC", "closed"),
        ("enclosure", "IP55, IC411", "hose-proof"),
        ("enclosure", "air over", "air-over"),
        ("duty", "CONT.", "continuous"),
        ("duty", "S1 (switching limited to 10 starts/h)", "continuous"),
        ("duty", "Air Compressor Duty", "compressor"),
        ("start", "CSCR", "capacitor-start-capacitor-run"),
        ("start", "cap start/cap run", "capacitor-start-capacitor-run"),
        ("start", "Design B", "three-phase"),
        ("overload", "THERMAL PROTECTOR, MANUAL RESET", "manual"),
        ("rotation", "CCWLE", "clockwise"),
        ("rotation", "CW shaft end", "clockwise"),
        ("insulation", "class F", "F"),
        ("code", "kva code h", "H"),
        ("mounting", "IM B14", "face"),
        ("mounting", "rigid base", "feet"),
        ("mounting", "C face, no feet", "face"),
    ],
)
def test_words_of_a_plate_are_read(line, written, kind):
    assert one(line, written) == kind


def test_whole_plate_is_read_in_any_order_and_spelling():
    first = read_motor_plate(
        "HP 5\nV 230\nA 22.5\nPH 1\nHZ 60\nRPM 1740\nFR 184T\nS.F. 1.15\nCODE G\nINS F\nENCL ODP"
    )
    second = read_motor_plate(
        ["Enclosure=drip-proof", "insul class: f", "kva code=g", "service factor=1.15", "frame=184t", "1740 rpm",
         "60 Hz", "phase=single", "22.5 A", "230 V", "power=5 horsepower"]
    )  # fmt: skip

    assert first == second


def test_words_that_name_their_line_themselves_stand_alone():
    plate = read_motor_plate(["3~", "TEFC", "CONT.", "reversible", "B3", "design B"])
    other = read_motor_plate("1~; IP55, IC411; CSCR; CCWLE; compressor duty")

    assert (plate.phase, plate.enclosure, plate.duty, plate.rotation, plate.mounting) == (
        3,
        "closed",
        "continuous",
        "reversible",
        "feet",
    )
    assert (other.phase, other.enclosure, other.start, other.rotation, other.duty) == (
        1,
        "hose-proof",
        "capacitor-start-capacitor-run",
        "clockwise",
        "compressor",
    )


@pytest.mark.parametrize("nothing", ["", "?", "-", "illegible", "worn off", "N/A"])
def test_line_that_cannot_be_read_stays_open(nothing):
    assert read_motor_plate({"power": nothing}).power is None


def test_three_phases_need_no_starting_winding():
    assert read_motor_plate("3~").start == "three-phase"
    assert read_motor_plate("start=CSCR").phase == 1


@pytest.mark.parametrize(
    ("typed", "line", "why"),
    [
        ("hp 5; V 230; A 3; PH 1", "power", "cannot come out of 3 A at 230 V"),
        ("hp 6.5; V 120; A 15; PH 1", "power", "'peak'"),
        ("hp 3; V 460; A 15; PH 3", "power", "far too much"),
        ("hp 5; V 230; V 12", "volts", "twice"),
        ("kW = 5 hp", "power", "its name says kW"),
        ("hp 2; kW 2", "power", "twice"),
        ("hp 5; V 230/12", "volts", "12 V is no motor's voltage"),
        ("V 115/575", "volts", "not connections of one winding"),
        ("V 115/230; A 7.5/15.0", "amps", "twice the amps"),
        ("V 115/230; A 15", "amps", "one current for 2 voltages"),
        ("RPM 1500; HZ 60", "speed", "no running speed"),
        ("RPM 3700; HZ 60", "speed", "no running speed"),
        ("frame 184T; shaft 7/8 in", "shaft diameter", "184 is not 184T"),
        ("shaft 5 in", "shaft diameter", "check the unit"),
        ("frame 184T; key 3/16 in", "key", "not 0.1875 in"),
        ("frame 56; key flat", "key", "not a flat"),
        ("frame 184T; shaft height 3.5 in", "shaft height", "4.5000 in"),
        ("frame 184T; 2E 5.5 in", "holes across", "7.5000 in"),
        ("PH 3; start CSCR", "phase", "which needs 1"),
        ("PH 3; start capacitor 270 uF", "start capacitor", "no capacitors"),
        ("PH 1; V 460", "phase", "not a shop's supply"),
    ],
)
def test_contradiction_says_which_line_why_and_where_to_look(typed, line, why):
    found = problems(typed)

    assert line in found
    assert why in found[line].why
    assert found[line].look


@pytest.mark.parametrize(
    ("line", "written", "why"),
    [
        ("power", "5", "Write it as 3 hp or 2.2 kW"),
        ("power", "2?.5 hp", "half read"),
        ("power", "6.5 HP peak", "peak"),
        ("power", "5 kVA", "hp, kW, W"),
        ("power", "3/2 hp", "not a fraction"),
        ("power", "1,500 W", "no comma"),
        ("volts", "2?0", "half read"),
        ("volts", "lots", "not a number"),
        ("volts", "1,725", "without the comma"),
        ("hertz", "56HZ", "56HZ is a frame"),
        ("phase", "2", "neither one phase nor three"),
        ("shaft diameter", "7/8", "5/8 in or 16 mm"),
        ("code", "I", "J or L"),
        ("code", "Q", "P or R"),
        ("insulation", "E", "A, B, F, H"),
        ("service factor", "2.5", "between 1.0 and 1.5"),
        ("starting current", "60", "2 to 15 times"),
        ("rotation", "CW", "from which end"),
        ("enclosure", "odpp", "'odp'"),
        ("duty", "sometimes", "Write"),
        ("frame", "185T", "184T"),
        ("efficiency", "0", "share"),
        ("run capacitor", "35", "35"),
        ("key", "big", "big"),
        ("mounting", "wall", "B3"),
        ("power", "9" * 200, "longer than a line"),
    ],
)  # fmt: skip
def test_unreadable_line_says_how_to_write_it(line, written, why):
    found = problems({line: written})

    assert list(found) == [line]
    assert why in found[line].why + found[line].look


def test_unit_in_the_name_and_behind_the_number_may_be_the_same():
    assert read_motor_plate("kW=1.1 kW") == read_motor_plate("power=1.1 kW") == read_motor_plate("kW 1.1")


def test_all_bad_lines_are_told_at_once():
    assert set(problems("hp=?5; V=2?0; frame=185T; phase=2")) == {"power", "volts", "frame", "phase"}


def test_unknown_line_offers_the_nearest():
    (problem,) = problems("spead=1725").values()

    assert "did you mean 'speed'" in problem.why


def test_refusal_says_whose_plate():
    with pytest.raises(BadPlate, match="old plate: power"):
        read_motor_plate("hp=5;V=230;A=3;PH=1", "old plate")


def test_place_is_read_with_its_units():
    place = read_place(
        "supply volts=236; supply phase=1; supply hertz=60 Hz; room=joinery; room temp=104 °F; altitude=5000 ft;"
        "breaker=30; wire=10 AWG; terminals=75 °C; run=60 ft; head=vented; drive=belt; arrow=CW shaft end;"
        "hub=1-3/4 in; motor sheave=3.9 in; flywheel=12.8 in; max pump rpm=1100; pump power=2 kW"
    )

    assert (place.supply_volts, place.supply_phase, place.supply_hertz) == (236.0, 1, 60.0)
    assert (place.room, place.head_at_start, place.drive, place.rotation_needed) == (
        "dusty",
        "vented",
        "belt",
        "clockwise",
    )
    assert (place.breaker, place.wire, place.terminals) == (30.0, 10, 75)
    assert place.room_temperature == pytest.approx(313.15)
    assert (place.altitude, place.run, place.hub_length) == pytest.approx((1524.0, 18.288, 0.04445))
    assert (place.pump_speed_limit, place.pump_power) == (1100.0, 2000.0)


@pytest.mark.parametrize(
    ("line", "written"),
    [
        ("supply volts", "12 V"),
        ("supply hertz", "400"),
        ("wire", "2.5 mm"),
        ("terminals", "85"),
        ("drive", "gears"),
        ("room temperature", "500 °F"),
        ("altitude", "60000 ft"),
        ("motor sheave", "4 ft"),
    ],
)
def test_place_that_cannot_be_is_refused(line, written):
    with pytest.raises(BadPlate) as refusal:
        read_place({line: written})

    assert [problem.line for problem in refusal.value.problems] == [line]


@pytest.mark.parametrize("lines", [MOTOR_LINES, PLACE_LINES])
def test_every_line_says_where_to_look(lines):
    assert all(line.look and line.title for line in lines.values())
