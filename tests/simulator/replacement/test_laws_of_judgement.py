"""What holds for every motor and drive: a part fits itself, a tighter limit is never milder, spelling is nothing."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from simulator import units
from simulator.replacement.drive_plates import read_drive
from simulator.replacement.drives import fit_drive
from simulator.replacement.machines import machines
from simulator.replacement.motors import fit_motor
from simulator.replacement.place import PLACE_LINES, Place, read_place
from simulator.replacement.plate_lines import MOTOR_LINES
from simulator.replacement.plates import read_motor_plate
from simulator.replacement.tables import words
from simulator.replacement.verdict import Verdict

QUICK = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
WATT_PER_HP = 745.6998715822702

# Full-load amps at the rated volts of ordinary single-phase motors, by horsepower (common practice).
SINGLE = {1.0: 12.0, 1.5: 15.0, 2.0: 20.0, 3.0: 30.0, 5.0: 45.0}
FRAMES = {1.0: "56", 1.5: "56H", 2.0: "145T", 3.0: "182T", 5.0: "184T"}

SHAFTS = {"56": 0.625, "56H": 0.625, "145T": 0.875, "182T": 1.125, "184T": 1.125}  # NEMA MG 1 4.4.1 [in]


@st.composite
def single_phase(draw):
    """A whole plate of a single-phase compressor motor."""
    hp = draw(st.sampled_from(sorted(SINGLE)))
    amps = SINGLE[hp]
    return {
        "power": f"{hp:g} hp",
        "volts": "115/230",
        "amps": f"{amps:g}/{amps / 2:g}",
        "phase": "1",
        "hertz": "60",
        "speed": draw(st.sampled_from(["1725", "3450", "1740"])),
        "frame": FRAMES[hp],
        "service factor": draw(st.sampled_from(["1.0", "1.15", "1.25"])),
        "code": draw(st.sampled_from("GHJKL")),
        "insulation": draw(st.sampled_from("BFH")),
        "enclosure": draw(st.sampled_from(["ODP", "TEFC", "washdown"])),
        "duty": draw(st.sampled_from(["continuous", "compressor duty"])),
        "start": "capacitor-start capacitor-run",
        "start capacitor": "fitted",
        "run capacitor": "35 uF 370 VAC",
        "overload": draw(st.sampled_from(["manual", "automatic"])),
        "rotation": draw(st.sampled_from(["reversible", "CW shaft end", "CCW shaft end"])),
        "mounting": "feet",
    }


PLACE = Place(supply_volts=232.0, supply_phase=1, supply_hertz=60.0, drive="belt")


def danger(old, new, place):
    return fit_motor(read_motor_plate(old), read_motor_plate(new), place).verdict.danger


@QUICK
@given(single_phase())
def test_motor_fits_itself(plate):
    judgement = fit_motor(read_motor_plate(plate), read_motor_plate(plate), PLACE)

    assert judgement.verdict is Verdict.FITS, [
        one for one in judgement.reasons if one.verdict is not Verdict.FITS
    ]


@pytest.mark.parametrize(
    "machine", [one for one in machines().values() if one.motor], ids=lambda one: one.rig
)
def test_motor_of_every_rig_is_never_worse_than_an_open_question_for_itself(machine):
    plate = read_motor_plate(machine.motor)
    place = read_place({**machine.place, "supply volts": f"{plate.volts[0][0]:g} V"})

    judgement = fit_motor(plate, plate, place)

    has_dimensions = plate.frame is not None
    assert judgement.verdict is (Verdict.FITS if has_dimensions else Verdict.UNANSWERED)


@QUICK
@given(single_phase(), st.sampled_from(sorted(MOTOR_LINES)))
def test_a_line_that_is_missing_never_makes_it_fit_better(plate, line):
    whole = danger(plate, plate, PLACE)
    without = {name: text for name, text in plate.items() if name != line}

    assert danger(plate, without, PLACE) >= whole


ESSENTIAL = ["power", "volts", "amps", "hertz", "speed", "frame", "service factor", "code", "insulation", "enclosure", "duty",
             "start capacitor", "run capacitor", "overload", "rotation"]  # fmt: skip


@QUICK
@given(single_phase(), st.sampled_from(ESSENTIAL))
def test_missing_data_never_becomes_a_silent_fit(plate, line):
    without = {name: text for name, text in plate.items() if name != line}
    judgement = fit_motor(read_motor_plate(plate), read_motor_plate(without), PLACE)

    assert judgement.verdict is not Verdict.FITS
    assert judgement.questions


@QUICK
@given(single_phase(), st.sampled_from(["supply_volts", "supply_phase", "supply_hertz"]))
def test_supply_that_nobody_measured_is_an_open_question(plate, line):
    judgement = fit_motor(read_motor_plate(plate), read_motor_plate(plate), replace(PLACE, **{line: None}))

    assert judgement.verdict is Verdict.UNANSWERED


@QUICK
@given(single_phase(), single_phase())
def test_shaft_of_another_size_is_open_while_nobody_said_what_drives_the_pump(old, new):
    judgement = fit_motor(read_motor_plate(old), read_motor_plate(new), replace(PLACE, drive=None))

    shaft = judgement.by_code("shaft").verdict
    assert shaft is (Verdict.FITS if SHAFTS[old["frame"]] == SHAFTS[new["frame"]] else Verdict.UNANSWERED)


def limits(low, high):
    """Two values of a limit, the milder one first."""
    return st.tuples(st.floats(low, high), st.floats(low, high)).map(sorted)


# A limit of the place, and the range over which growing is tightening.
TIGHTER_UPWARDS = {
    "room_temperature": (293.0, 340.0),
    "altitude": (0.0, 4500.0),
    "run": (1.0, 400.0),
    "hub_length": (0.02, 0.12),
    "pump_power": (200.0, 6000.0),
}


@QUICK
@given(
    single_phase(),
    st.sampled_from(sorted(TIGHTER_UPWARDS)).flatmap(
        lambda one: st.tuples(st.just(one), limits(*TIGHTER_UPWARDS[one]))
    ),
)
def test_tighter_place_is_never_milder(plate, limit):
    name, (mild, tight) = limit
    place = replace(PLACE, wire=8, terminals=75, breaker=40.0, run=10.0)

    assert danger(plate, plate, replace(place, **{name: tight})) >= danger(
        plate, plate, replace(place, **{name: mild})
    )


@QUICK
@given(single_phase(), st.sampled_from([2, 4, 6, 8, 10, 12, 14]), st.sampled_from([2, 4, 6, 8, 10, 12, 14]))
def test_thinner_wire_is_never_milder(plate, one, other):
    thick, thin = sorted((one, other))
    place = replace(PLACE, terminals=75, breaker=40.0, run=10.0)

    assert danger(plate, plate, replace(place, wire=thin)) >= danger(plate, plate, replace(place, wire=thick))


@QUICK
@given(single_phase(), st.floats(0, 0.5), st.floats(0, 0.5), st.booleans())
def test_supply_further_off_is_never_milder(plate, one, other, high):
    near, far = sorted((one, other))
    plate = {**plate, "volts": "230", "amps": plate["amps"].split("/")[1]}
    sign = 1 if high else -1

    def on(share):
        judgement = fit_motor(
            read_motor_plate(plate),
            read_motor_plate(plate),
            replace(PLACE, supply_volts=230.0 * (1 + sign * share)),
        )
        return judgement.by_code("volts").verdict.danger

    assert on(far) >= on(near)


@QUICK
@given(
    single_phase(),
    st.sampled_from(list(words("motors", "room_kind"))),
    st.sampled_from(list(words("motors", "room_kind"))),
)
def test_dirtier_room_is_never_milder(plate, one, other):
    kinds = words("motors", "room_kind")
    clean, dirty = sorted((one, other), key=lambda kind: kinds[kind].facts["keeps"])

    assert danger(plate, plate, replace(PLACE, room=dirty)) >= danger(
        plate, plate, replace(PLACE, room=clean)
    )


@QUICK
@given(single_phase(), st.sampled_from(sorted(SINGLE)), st.sampled_from(sorted(SINGLE)))
def test_smaller_motor_is_never_milder_in_power(plate, one, other):
    """The power reason alone: a larger motor may need changes, a smaller one is refused."""
    small, large = sorted((one, other))

    def reason(hp):
        new = {
            **plate,
            "power": f"{hp:g} hp",
            "amps": f"{SINGLE[hp]:g}/{SINGLE[hp] / 2:g}",
            "frame": FRAMES[hp],
        }
        return fit_motor(read_motor_plate(plate), read_motor_plate(new), PLACE).by_code("power").verdict

    if reason(large) is Verdict.DOES_NOT_FIT:
        assert reason(small) is Verdict.DOES_NOT_FIT


def kilowatts(text):
    return f"{units.convert(float(text.split()[0]), 'hp', 'kW'):.6f} kW"


SPELLINGS = {
    "power": [
        lambda text: text.upper(),
        kilowatts,
        lambda text: f"{float(text.split()[0]) * WATT_PER_HP:.4f} W",
    ],
    "volts": [lambda _: "115V / 230V", lambda _: "115/230 VAC", lambda _: "115/230V~"],
    "amps": [lambda text: f"{text} A", lambda text: text.replace("/", " / ")],
    "phase": [lambda _: "PH 1", lambda _: "1~", lambda _: "single"],
    "hertz": [lambda _: "60 Hz", lambda _: "60HZ"],
    "speed": [lambda text: f"{text} RPM", lambda text: f"{text} r/min"],
    "frame": [lambda text: text.lower(), lambda text: f"FR {text}", lambda text: f"NEMA {text}"],
    "service factor": [
        lambda text: f"S.F. {text}",
        lambda text: text.replace(".", ",") if "." in text else text,
    ],
    "code": [lambda text: text.lower(), lambda text: f"kva code {text}"],
    "insulation": [lambda text: f"class {text.lower()}"],
    "enclosure": [lambda text: text.upper()],
    "duty": [lambda text: text.upper()],
    "rotation": [lambda text: text.upper()],
    "overload": [lambda text: f"{text} reset"],
}


@QUICK
@given(single_phase(), single_phase(), st.data())
def test_spelling_and_unit_system_never_change_a_verdict(old, new, data):
    spelt = dict(new)
    for line, ways in SPELLINGS.items():
        spelt[line] = data.draw(st.sampled_from([str, *ways]))(new[line])

    def told(plate):
        judgement = fit_motor(read_motor_plate(old), read_motor_plate(plate), PLACE)
        return judgement.verdict, [(one.code, one.verdict) for one in judgement.reasons]

    assert told(spelt) == told(new)


@QUICK
@given(st.floats(300.0, 3000.0), st.sampled_from(["altitude", "run"]))
def test_place_in_feet_or_metres_is_one_place(metres, line):
    metres = metres / 10 if line == "run" else metres
    us, metric = read_place({line: f"{metres / 0.3048:.9f} ft"}), read_place({line: f"{metres:.9f} m"})

    assert getattr(us, line) == pytest.approx(getattr(metric, line))


DRIVE = """
section=A; belts=1; belt=A61; motor sheave=99.1 mm; flywheel=325.1 mm; motor speed=3450; pump speed=1051
centre distance=444.5 mm; least centre distance=400 mm; most centre distance=490 mm
motor bore=7/8 in; motor key=3/16 in
"""


@QUICK
@given(limits(900.0, 1400.0), st.floats(0.08, 0.15))
def test_lower_speed_limit_of_a_pump_is_never_milder(limit, sheave):
    low, high = limit
    old = read_drive(DRIVE)

    def danger_at(rpm):
        return fit_drive(
            old, read_drive(f"motor sheave={sheave * 1000:.3f} mm; pump speed limit={rpm:.3f}")
        ).verdict.danger

    assert danger_at(low) >= danger_at(high)


@QUICK
@given(st.floats(0.08, 0.12))
def test_drive_in_inches_or_millimetres_is_one_drive(sheave):
    old = read_drive(DRIVE)

    in_inches = fit_drive(old, read_drive(f"motor sheave={sheave / 0.0254:.9f} in"))
    in_millimetres = fit_drive(old, read_drive(f"motor sheave={sheave * 1000:.9f} mm"))

    assert [(one.code, one.verdict) for one in in_inches.reasons] == [
        (one.code, one.verdict) for one in in_millimetres.reasons
    ]


@QUICK
@given(single_phase(), limits(900.0, 1200.0))
def test_lower_pump_limit_is_never_milder_for_a_motor(plate, limit):
    low, high = limit
    place = replace(PLACE, motor_sheave=0.0991, flywheel=0.3251)

    assert danger(plate, plate, replace(place, pump_speed_limit=low)) >= danger(
        plate, plate, replace(place, pump_speed_limit=high)
    )


@QUICK
@given(single_phase(), st.sampled_from(["insulation", "service factor"]), st.data())
def test_more_asked_by_the_old_plate_is_never_milder(plate, line, data):
    ladder = {"insulation": list("ABFH"), "service factor": ["1.0", "1.15", "1.25", "1.4"]}[line]
    low, high = sorted(data.draw(st.tuples(*[st.sampled_from(range(len(ladder)))] * 2)))

    assert danger({**plate, line: ladder[high]}, plate, PLACE) >= danger(
        {**plate, line: ladder[low]}, plate, PLACE
    )


def test_every_place_line_can_be_left_out():
    assert read_place("") == Place()
    assert set(PLACE_LINES) == {
        field.replace("_", " ") for field in Place.__dataclass_fields__ if field != "typed"
    }
