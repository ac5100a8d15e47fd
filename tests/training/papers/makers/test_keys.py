"""Keys worked out again: numbers by hand formula, choices by the printed tables, with their sources."""

import math
import re

import pytest

from tests.training.papers.makers.making import over_seeds, right_ones, si, table
from training.grading.papers import is_near
from training.papers.makers import MAKERS
from training.papers.makers.maker import drafted

PSI = 6894.757293168  # [Pa] exact: 0.45359237 kg times 9.80665 m/s² / (0.0254 m)²
ATMOSPHERE = 101_325.0  # [Pa] ISO 2533:1975, at the sea
INCH = 0.0254  # [m] exact
BRANCH = table("motor_branch")
FRAMES = {row[0]: row for row in table("motor_frames")["nema"]["rows"]}
# NFPA 70 chapter 9, Table 8, stranded uncoated copper at 75 °C. [Ω/kft]
OHMS_PER_KFT = {16: 4.99, 14: 3.14, 12: 1.98, 10: 1.24}


def next_breaker(amps):
    return min(size for size in BRANCH["breakers"]["sizes"] if size >= amps * (1 - 1e-9))


KEYS = {
    # Same power at other volts. NFPA 70 Table 430.248: 230 V columns are half the 115 V ones.
    "made-amps-on-the-other-straps": lambda d: d["current"] * d["from"] / d["to"],
    "made-same-amps-at-half-the-volts": lambda d: 100 * 115 * d["new amps"] / (230 * d["old amps"]),
    # Power is torque times speed, and both are the pump's.
    "made-load-on-a-smaller-motor": lambda d: 100 * d["old"] / d["new"],
    # NEMA MG 1 1.42: horsepower times service factor.
    "made-power-with-service-factor": lambda d: d["power"] * d["factor"],
    # P = √3·V·I·pf·efficiency.
    "made-amps-of-three-phases": lambda d: d["power"] / (math.sqrt(3) * d["volts"] * d["efficiency"] * d["power factor"] / 1e4),
    # NEMA MG 1 10.37.2: kVA per horsepower, √3 in three phases.
    "made-amps-by-the-code-letter": lambda d: d["kva"] * 1000 * d["horsepower"] / (d["volts"] * math.sqrt(d["phases"])),
    # NFPA 70 430.32(A)(1).
    "made-overload-setting": lambda d: d["amps"] * (1.25 if d["factor"] >= 1.15 else 1.15),
    # NFPA 70 Table 430.52 and 240.6(A).
    "made-largest-breaker": lambda d: next_breaker(2.5 * d["table"]),
    # Ohm's law out and back.
    "made-volts-lost-on-a-cord": lambda d: 2 * d["amps"] * OHMS_PER_KFT[d["gauge"]] * d["run"] / 304.8,
    # Torque with the square of the volts: a property of induction motors.
    "made-torque-left-on-a-cord": lambda d: 100 * (d["left"] / d["volts"]) ** 2,
    # Equal belt speed on both pitch circles.
    "made-sheave-for-another-speed": lambda d: d["sheave"] * d["old"] / d["new"],
    "made-pump-speed": lambda d: d["motor"] * d["sheave"] / d["flywheel"],
    "made-pump-over-its-speed": lambda d: 100 * (d["turns"] / d["plate"] - 1),
    # NEMA MG 1 4.4.1: digits over 16 for two, first two over 4 for three.
    "made-height-of-a-frame": lambda d: d["digits"] / (16 if d["digits"] == 56 else 4) * INCH,
    "made-base-under-a-motor": lambda d: d["old"] - d["new"],
    # ASME BPVC VIII-1 UG-125(c): 10 per cent or 3 psi, whichever is more.
    "made-pressure-while-a-relief-blows": lambda d: d["mawp"] + max(0.1 * d["mawp"], 3 * PSI),
    # A relief a tenth above cut-out: common practice, no source.
    "made-highest-cut-out": lambda d: d["set"] / 1.1,
    # V·Δp/(pa·t): government leak guidance (public).
    "made-leak-after-the-work": lambda d: d["volume"] * d["fall"] / (ATMOSPHERE * d["time"]),
    # Flow of one pressure goes with the area: isentropic nozzle law.
    "made-air-through-a-hole": lambda d: d["known"] * (d["two"] / d["one"]) ** 2,
    # Boyle.
    "made-air-held-in-a-receiver": lambda d: d["volume"] * d["pressure"] / ATMOSPHERE,
    "made-water-in-a-receiver": lambda d: d["days"] * (d["taken"] - d["carried"]),
    # Shortest cycle 4·V·Δp/(pa·Q), at half the flow drawn: balance of the receiver.
    "made-receiver-for-the-starts": lambda d: d["flow"] * ATMOSPHERE * 3600 / (4 * d["band"] * d["starts"]),
    "made-time-to-fill": lambda d: d["volume"] * d["rise"] / (ATMOSPHERE * d["flow"]),
    "made-air-from-a-timed-fill": lambda d: d["volume"] * d["rise"] / (ATMOSPHERE * d["time"]),
    # T_on/(T_on + T_off): government leak guidance (public).
    "made-leak-share-at-night": lambda d: 100 * d["on"] / (d["on"] + d["off"]),
}  # fmt: skip


def test_every_number_is_worked_out_again():
    assert set(KEYS) == {slug for slug, maker in MAKERS.items() if maker.kind == "number"}


@pytest.mark.parametrize("slug", KEYS)
@over_seeds(15)
def test_key_is_what_its_figures_give(slug, seed, system):
    draft, question = drafted(MAKERS[slug], seed, system)

    assert question["number"]["key"] == pytest.approx(KEYS[slug](draft.drawn), rel=0.012)


@pytest.mark.parametrize("slug", KEYS)
@over_seeds()
def test_figures_of_the_stem_lead_to_the_key_as_they_stand_there(slug, seed, system):
    # Rounding in what is shown stays well inside the tolerance.
    _, question = drafted(MAKERS[slug], seed, system)
    number = question["number"]

    assert si(number["shown"], number["quantity"]) == pytest.approx(
        number["key"], rel=0.2 * number["tolerance"]
    )


def two_pressures(text, unit):
    low, high = re.search(rf"from ([\d.]+) to ([\d.]+) {unit}", text).groups()
    return float(low), float(high)


def good_relief(text, drawn):
    """ASME UG-134 (set), 29 CFR 1910.169(b)(3) (capacity); a tenth over cut-out is common practice."""
    set_at, capacity = re.fullmatch(r"Set (.*), capacity (.*)", text).groups()
    pressure = si(set_at, "gauge_pressure")
    return (
        pressure <= drawn["mawp"] * (1 + 1e-9)
        and pressure >= 1.1 * drawn["cut-out"] * (1 - 1e-9)
        and si(capacity, "air_flow") >= drawn["free air"] * (1 - 1e-9)
    )


@pytest.mark.parametrize("slug", ["made-which-relief", "made-every-relief-that-may-go-on"])
@over_seeds(25)
def test_right_reliefs_are_those_that_keep_the_code(slug, seed, system):
    draft, question = drafted(MAKERS[slug], seed, system)

    assert right_ones(question) == {
        one["text"] for one in question["options"] if good_relief(one["text"], draft.drawn)
    }


@over_seeds(25)
def test_right_gauge_shows_the_working_pressure_in_its_middle_half(seed, system):
    # ASME B40.100, advice, from memory: between a quarter and three quarters; and past the relief.
    draft, question = drafted(MAKERS["made-scale-of-a-gauge"], seed, system)
    tops = {
        one["text"]: si(one["text"].removeprefix("Scale 0 to "), "gauge_pressure")
        for one in question["options"]
    }

    assert right_ones(question) == {
        text
        for text, top in tops.items()
        if 0.25 * top <= draft.drawn["cut-out"] * (1 + 1e-9)
        and draft.drawn["cut-out"] <= 0.75 * top * (1 + 1e-9)
        and top > draft.drawn["mawp"]
    }


@over_seeds(25)
def test_right_switch_covers_the_cut_out_and_not_more_than_the_vessel(seed, system):
    unit = "psi" if system == "us" else "bar"
    draft, question = drafted(MAKERS["made-range-of-a-switch"], seed, system)
    ranges = {
        one["text"]: [si(f"{end} {unit}", "gauge_pressure") for end in two_pressures(one["text"], unit)]
        for one in question["options"]
    }

    assert right_ones(question) == {
        text
        for text, (low, high) in ranges.items()
        if low <= draft.drawn["cut-out"] <= high and high <= draft.drawn["mawp"] * (1 + 1e-9)
    }


@over_seeds(25)
def test_right_tube_is_no_plastic_pipe_and_bears_pressure_and_heat(seed, system):
    draft, question = drafted(MAKERS["made-which-tube"], seed, system)
    air = si(re.search(r"The air there is at ([\d.]+ °[CF])", question["stem"])[1], "temperature")

    def bears(text):
        named, pressure, heat = re.fullmatch(r"(.*), up to (.* (?:psi|bar)) and (.*)", text).groups()
        return (
            "plastic" not in named
            and si(pressure, "gauge_pressure") >= draft.drawn["mawp"]
            and si(heat, "temperature") >= air
        )

    assert right_ones(question) == {one["text"] for one in question["options"] if bears(one["text"])}


@over_seeds(25)
def test_right_wire_is_the_thinnest_of_the_printed_table(seed, system):
    # NFPA 70 430.22 and Table 310.16.
    draft, question = drafted(MAKERS["made-thinnest-wire"], seed, system)
    column = {60: 1, 75: 2}[draft.drawn["rating"]]
    thinnest = next(
        row[0] for row in BRANCH["ampacity"]["rows"] if row[column] >= 1.25 * draft.drawn["table"] - 1e-9
    )

    assert right_ones(question) == {f"{thinnest} AWG copper"}


def rated(text, volts):
    number = re.search(rf"([\d/-]+) hp at {volts:.0f} V", text)[1]
    whole, _, part = number.rpartition("-")
    top, _, below = part.partition("/")
    return float(whole or 0) + float(top) / float(below or 1)


@over_seeds(25)
def test_right_contacts_are_rated_for_the_power_at_the_volts(seed, system):
    # NFPA 70 430.83, from memory: a controller is rated in horsepower at the applied voltage.
    draft, question = drafted(MAKERS["made-contacts-for-a-motor"], seed, system)

    assert right_ones(question) == {
        one["text"]
        for one in question["options"]
        if rated(one["text"], draft.drawn["volts"]) >= draft.drawn["horsepower"]
    }


@over_seeds(25)
def test_right_sheave_turns_the_pump_at_its_plates_speed(seed, system):
    # Within 2 per cent: common practice, no source.
    draft, question = drafted(MAKERS["made-which-sheave"], seed, system)
    motor, flywheel, plate = (draft.drawn[name] for name in ("motor", "flywheel", "plate"))

    def turns(text):
        return motor * si(text.removesuffix(" pitch diameter"), "small_length") / flywheel

    assert right_ones(question) == {
        one["text"] for one in question["options"] if abs(turns(one["text"]) / plate - 1) <= 0.02
    }


@over_seeds(25)
def test_right_frame_has_the_shaft_of_the_printed_table(seed, system):
    # NEMA MG 1 4.4.1, columns U and key.
    _, question = drafted(MAKERS["made-frame-for-the-sheave"], seed, system)
    old = FRAMES[re.search(r"frame (\w+),", question["stem"])[1]]
    named = {one["text"]: FRAMES[one["text"].removeprefix("Frame ")] for one in question["options"]}

    assert right_ones(question) == {
        text for text, row in named.items() if (row[6], row[9]) == (old[6], old[9])
    }


@over_seeds(25)
def test_right_motor_has_power_volts_speed_and_service_factor_of_the_old(seed, system):
    # The rule of the trade: match the work, then the supply.
    _, question = drafted(MAKERS["made-which-motor-goes-on"], seed, system)
    plate = re.compile(
        r"([\d.]+ (?:hp|kW)), ([\d/]+) V, ([\d./]+) A, (\d+) rpm, (?:SF|service factor) ([\d.]+)"
    )
    old = plate.search(question["stem"]).groups()

    def goes_on(text):
        power, volts, _, speed, factor = plate.fullmatch(text).groups()
        return power == old[0] and "230" in volts and speed == old[3] and float(factor) >= float(old[4])

    assert right_ones(question) == {one["text"] for one in question["options"] if goes_on(one["text"])}


# What each line of a plate comes to by itself: the trade's rules and their sources as in the domain of motors.
LINES = {
    "Power": lambda new, old: "Does not fit" if amount(new) < amount(old) else "Fits with changes",
    "Volts": lambda *_: "Unsafe",  # 115 V on some 230 V: NEMA MG 1 12.44 allows ten per cent (from memory)
    "Amps": lambda new, old: (
        "Fits"
        if abs(amount(new) / amount(old) - 1) <= 0.05 or amount(new) < amount(old)
        else "Fits with changes"
    ),
    "Speed": lambda *_: "Fits with changes",
    "Overload": lambda new, _: "Unsafe" if "none" in new else "Fits with changes",  # NFPA 70 430.32
    "Start": lambda *_: "Does not fit",  # NEMA MG 1 1.20: split-phase has too little starting torque
    "Enclosure": lambda new, _: "Does not fit" if "air-over" in new else "Fits",
    "Service factor": lambda new, old: "Does not fit" if amount(new) < amount(old) else "Fits",
    "Hertz": lambda *_: "Does not fit",
    "Duty": lambda *_: "Does not fit",
    "Insulation class": lambda *_: "Fits",
}


def amount(text):
    return float(re.match(r"[\d.]+", text)[0])


def by_itself(text):
    title, _, rest = text.partition(": ")
    new, _, old = rest.partition(" for ")
    return LINES[title](new, old)


@pytest.mark.parametrize("slug", ["made-worst-line-of-a-plate", "made-what-rules-a-motor-out"])
@over_seeds(25)
def test_lines_of_a_plate_are_judged_as_the_trade_does(slug, seed, system):
    _, question = drafted(MAKERS[slug], seed, system)
    danger = ["Fits", "Fits with changes", "Does not fit", "Unsafe"]
    found = {one["text"]: danger.index(by_itself(one["text"])) for one in question["options"]}

    worst = max(found.values()) if slug == "made-worst-line-of-a-plate" else danger.index("Does not fit")
    assert right_ones(question) == {text for text, bad in found.items() if bad >= worst}


@over_seeds(25)
def test_order_of_motors_is_that_of_volts_times_amps(seed, system):
    _, question = drafted(MAKERS["made-order-of-motor-sizes"], seed, system)
    ordered = sorted(question["steps"], key=lambda step: step["place"])
    powers = [math.prod(float(n) for n in re.findall(r"\d+(?:\.\d+)?", step["text"])) for step in ordered]

    assert powers == sorted(powers)
    assert len(set(powers)) == 4


@over_seeds(25)
def test_kilowatts_of_the_stem_lead_to_the_key_though_plates_are_in_horsepower(seed, system):
    # 2.2 kW stands for 3 hp (IEC 60072-1): the member reckons with what is shown.
    _, load = drafted(MAKERS["made-load-on-a-smaller-motor"], seed, system)
    old, new = (float(n) for n in re.findall(r"([\d.]+) (?:kW|hp)", load["stem"])[:2])
    _, reserve = drafted(MAKERS["made-power-with-service-factor"], seed, system)
    power, unit, factor = re.search(
        r"marked ([\d.]+) (kW|hp), service factor ([\d.]+\d)", reserve["stem"]
    ).groups()

    assert is_near(100 * old / new, load["number"]["key"], load["number"]["tolerance"])
    typed = si(f"{float(power) * float(factor):.4g} {unit}", "power")
    assert is_near(typed, reserve["number"]["key"], reserve["number"]["tolerance"])
