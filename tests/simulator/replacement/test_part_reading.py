"""How valves, switches and small parts are read: as people write them, or refused with the way to mend it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulator import units
from simulator.components.spec import BadSpec
from simulator.replacement import part_lines, part_reading, part_rules, tables
from simulator.replacement.air_parts import AIR_PARTS, find_air_part
from simulator.replacement.part_rules import part_rule
from simulator.replacement.plate_lines import find_line, fold
from simulator.replacement.problems import BadPlate
from simulator.replacement.ratings import Rating, read_ratings
from simulator.replacement.threads import Thread, goes_into, read_thread
from simulator.replacement.verdict import Verdict
from simulator.replacement.writing import Unreadable

HP = 745.6998715822702


def problems(kind, typed, *, place=False):
    part = find_air_part(kind)
    with pytest.raises(BadPlate) as refused:
        (part.read_place if place else part.read_part)(typed)
    return {problem.line: problem for problem in refused.value.problems}


# Plates that contradict themselves, are half read, or say nothing ------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "typed", "line", "words"),
    [
        ("relief", "set=150", "set", "'150' is not a gauge pressure"),
        ("relief", "set=1?0 psi", "set", "half read"),
        ("relief", "set=165 psia", "set", "absolute pressure"),
        ("relief", "set=0 psi", "set", "above zero"),
        ("relief", "set=150 psi; set=165 psi", "set", "twice"),
        ("relief", "set=150 psi; reseat=160 psi", "reseat", "cannot shut"),
        ("relief", "capacity=40", "capacity", "not an air flow"),
        ("relief", "stamp=gold star", "stamp", "no stamp known here"),
        ("relief", "thread=1/4", "thread", "which thread"),
        ("relief", "thread=M14x1.5", "thread", "metric thread"),
        ("relief", "thread=5/8 NPT", "thread", "no pipe size"),
        ("switch", "range=175-40 psi", "range", "from low to high"),
        ("switch", "range=40-175 psi; cut-out=200 psi", "cut-out", "outside its own range"),
        ("switch", "rating=5 hp 3 A 230 V", "rating", "contradicts itself"),
        ("switch", "rating=15 A", "rating", "without its volts"),
        ("switch", "rating=230 V", "rating", "neither power nor amps"),
        ("switch", "rating=5 hp 230 V gold plated", "rating", "has no meaning"),
        ("switch", "rating=2 hp 3 hp 230 V", "rating", "runs several ratings together"),
        ("switch", "poles=many", "poles", "no count"),
        ("check-valve", "bore=40 mm; tank thread=1/2 NPT", "bore", "does not go through"),
        ("switch", "range=175 psi", "range", "one end of a range"),
        ("regulator", "range=125 psi", "range", "one end of a range"),
        ("gauge", "range=0 psi", "range", "no range"),
        ("tube", "material=adamantium", "material", "no material known here"),
    ],
)
def test_line_without_meaning_is_refused_with_where_to_look(kind, typed, line, words):
    problem = problems(kind, typed)[line]

    assert words in problem.why
    assert problem.look


@pytest.mark.parametrize(
    ("kind", "typed", "line", "words"),
    [
        ("relief", "mawp=125 psi; normal=125 psi", "normal", "reaches the highest pressure allowed"),
        ("relief", "free air=20 cfm; displacement=15 cfm", "free air", "cannot deliver more"),
        ("switch", "cut-in=125 psi; cut-out=95 psi", "cut-in", "below the cut-out"),
        ("switch", "cut-out=150 psi; mawp=150 psi", "cut-out", "reaches the highest"),
        ("switch", "relief=175 psi; mawp=150 psi", "relief", "above the highest"),
        ("switch", "volts=115; phase=1; hp=3; amps=17", "amps", "draws about 34 A"),
        ("switch", "unloads=pilot valve", "unloads", "has no pressure switch"),
        ("check-valve", "cut-in=160 psi; mawp=150 psi", "cut-in", "reaches the highest"),
        ("check-valve", "free air=15 cfm; free air empty=12 cfm", "free air", "less against pressure"),
    ],
)
def test_place_that_contradicts_itself_is_refused(kind, typed, line, words):
    assert words in problems(kind, typed, place=True)[line].why


def test_unknown_line_offers_the_nearest():
    with pytest.raises(BadPlate, match="did you mean 'capacity'"):
        find_air_part("relief").read_part("capasity=40 cfm")


@pytest.mark.parametrize("word", ["?", "unknown", "worn off", ""])
def test_line_that_cannot_be_read_on_the_machine_is_left_open(word):
    assert find_air_part("relief").read_part(f"set={word}").set is None


@given(st.sampled_from(sorted(AIR_PARTS)), st.data())
def test_any_text_on_any_line_is_read_or_refused(kind, data):
    part = find_air_part(kind)
    line = data.draw(st.sampled_from(sorted(part.part_lines)))
    text = data.draw(
        st.text(max_size=60)
        | st.from_regex(r"[0-9/. -]{1,8} ?(psi|bar|hp|V|A|NPT|mm|in|cfm)?", fullmatch=True)
    )
    try:
        part.read_part({line: text.replace("\n", " ").replace(";", " ")})
    except BadPlate as refusal:
        told = str(refusal)
    else:
        told = "read"

    assert told


@pytest.mark.parametrize("kind", AIR_PARTS)
def test_no_two_lines_of_a_plate_share_a_name(kind):
    part = find_air_part(kind)
    for lines in (part.part_lines, part.place_lines):
        names = [fold(word) for line in lines.values() for word in {line.name, line.title, *line.aliases}]
        taken = {name for name in names if names.count(name) > 1}

        assert all(
            len([line for line in lines.values() if find_line(name, {line.name: line})]) == 1
            for name in taken
        )


@pytest.mark.parametrize(
    ("typed", "bar"),
    [("PN 16", 16.0), ("pn40", 40.0), ("400 WOG", 27.579029), ("WOG 200", 13.789515), ("250 psi", 17.236893)],
)
def test_rated_pressure_is_read_as_bodies_print_it(typed, bar):
    assert units.convert(part_reading.rated_pressure(typed), "Pa", "bar") == pytest.approx(bar)


def test_one_figure_of_a_gauge_is_the_top_of_its_scale():
    assert part_reading.scale("200 psi") == part_reading.scale("0-200 psi")


# Ratings ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "ratings"),
    [
        ("5 hp, 230 V single-phase", [Rating(230.0, 1, 5 * HP, motor=True)]),
        ("30 A, 230 V, 5 hp", [Rating(230.0, None, 5 * HP, 30.0, motor=True)]),
        (
            "2 hp 115 V / 3 hp 230 V 1 ph",
            [Rating(115.0, None, 2 * HP, motor=True), Rating(230.0, 1, 3 * HP, motor=True)],
        ),
        (
            "2 hp 115 V, 3 hp 230 V",
            [Rating(115.0, None, 2 * HP, motor=True), Rating(230.0, None, 3 * HP, motor=True)],
        ),
        ("16 A, 400 V AC-3", [Rating(400.0, None, None, 16.0, motor=True)]),
        ("pilot duty 600 V", [Rating(600.0, pilot=True)]),
        ("26 A 240 V", [Rating(240.0, None, None, 26.0)]),
        (
            "1-1/2 HP 115/230 VAC",
            [Rating(115.0, None, 1.5 * HP, motor=True), Rating(230.0, None, 1.5 * HP, motor=True)],
        ),
        ("4 kW 400 V 3~", [Rating(400.0, 3, 4000.0, motor=True)]),
    ],
)
def test_rating_is_read_as_it_stands_on_the_cover(typed, ratings):
    read = read_ratings(typed)

    assert [(one.volts, one.phases, one.amps, one.motor, one.pilot) for one in read] == [
        (one.volts, one.phases, one.amps, one.motor, one.pilot) for one in ratings
    ]
    assert [one.power or 0.0 for one in read] == pytest.approx([one.power or 0.0 for one in ratings])


# Threads ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "size", "count"),
    [
        # ASME B1.20.1 and ISO 228-1, ISO 7-1: threads per inch, from memory.
        ("npt", 0.125, 27.0), ("npt", 0.25, 18.0), ("npt", 0.375, 18.0), ("npt", 0.5, 14.0), ("npt", 0.75, 14.0),
        ("npt", 1.0, 11.5), ("npt", 1.25, 11.5), ("npt", 1.5, 11.5), ("npt", 2.0, 11.5),
        ("g", 0.125, 28.0), ("g", 0.25, 19.0), ("g", 0.375, 19.0), ("g", 0.5, 14.0), ("g", 0.75, 14.0),
        ("g", 1.0, 11.0), ("g", 1.25, 11.0), ("g", 1.5, 11.0), ("g", 2.0, 11.0),
        ("r", 0.125, 28.0), ("r", 0.25, 19.0), ("r", 0.375, 19.0), ("r", 0.5, 14.0), ("r", 0.75, 14.0),
        ("r", 1.0, 11.0), ("r", 1.25, 11.0), ("r", 1.5, 11.0), ("r", 2.0, 11.0),
    ],
)  # fmt: skip
def test_pipe_threads_have_the_pitch_of_the_standard(kind, size, count):
    assert Thread(kind, size).threads_per_inch == count


@pytest.mark.parametrize(
    ("typed", "thread"),
    [
        ("1/4 NPT male", Thread("npt", 0.25, "male")),
        ('3/4" FPT', Thread("npt", 0.75)),
        ("NPT 1-1/4 female", Thread("npt", 1.25, "female")),
        ("G1/2", Thread("g", 0.5)),
        ("R 3/8 m", Thread("r", 0.375, "male")),
        ("1/2 in compression", Thread("compression", 0.5)),
        ("18 mm compression", Thread("compression", 18.0 / 25.4)),
        ("6 mm push-in", Thread("push-in", 6.0 / 25.4)),
    ],
)
def test_thread_is_read_as_people_write_it(typed, thread):
    read = read_thread(typed)

    assert (read.kind, read.gender) == (thread.kind, thread.gender)
    assert read.size == pytest.approx(thread.size, abs=1e-6)
    assert read_thread(read.title) == read


@pytest.mark.parametrize(
    ("part", "port", "verdict"),
    [
        ("1/4 NPT male", "1/4 NPT female", Verdict.FITS),
        ("1/4 NPT", "1/4 NPT", Verdict.FITS),
        ("1/4 NPT male", "1/4 NPT male", Verdict.FITS_WITH_CHANGES),
        ("1/4 NPT male", "1/2 NPT female", Verdict.FITS_WITH_CHANGES),
        ("1/2 NPT male", "1/4 NPT female", Verdict.DOES_NOT_FIT),
        ("G 1/4 male", "1/4 NPT female", Verdict.DOES_NOT_FIT),
        ("R 1/2 male", "1/2 NPT female", Verdict.DOES_NOT_FIT),  # the same pitch, another angle
        ("R 1/2 male", "G 1/2 female", Verdict.FITS_WITH_CHANGES),
    ],
)
def test_threads_go_together_or_not(part, port, verdict):
    reason = goes_into(part_rule("gauge-thread"), read_thread(part), read_thread(port), adapted="smaller")

    assert reason.verdict is verdict


@pytest.mark.parametrize(
    ("adapted", "verdict"), [("never", Verdict.DOES_NOT_FIT), ("either", Verdict.FITS_WITH_CHANGES)]
)
def test_adapter_makes_good_only_what_it_may(adapted, verdict):
    reason = goes_into(
        part_rule("switch-thread"), read_thread("3/8 NPT"), read_thread("1/4 NPT"), adapted=adapted
    )

    assert reason.verdict is verdict


# Rules -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "limit", "value"),
    [
        ("relief-margin", "over_normal", 1.10),  # a tenth over cut-out; common practice, no source
        ("relief-capacity", "accumulation", 0.10),  # 29 CFR 1910.169 and ASME section VIII, UG-125
        ("relief-capacity", "least_accumulation", units.convert(3.0, "psi", "Pa")),  # UG-125
        ("switch-range", "relief_over_cut_out", 1.10),  # the same, seen from the switch
        ("gauge-range", "from_share", 0.25),  # ASME B40.100, choice of range, from memory
        ("gauge-range", "to_share", 0.75),
        ("check-area", "drop_at_cut_in", units.convert(2.0, "psi", "Pa")),  # common practice, no source
        ("check-area", "drop_when_empty", units.convert(5.0, "psi", "Pa")),
        ("check-area", "usual_crack", units.convert(1.0, "psi", "Pa")),
        ("check-area", "air", 423.15),
        ("check-area", "discharge_coefficient", 0.8),
        ("drain-opening", "least_bore", 0.003),
        ("regulator-droop", "droop", units.convert(10.0, "psi", "Pa")),
        ("relief-temperature", "asked_above", 383.15),
    ],
)
def test_limits_are_those_that_the_rules_say(code, limit, value):
    assert part_rule(code).limit(limit) == pytest.approx(value)


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ({"code": "x", "line": "y"}, "incomplete"),
        (
            {"code": "x", "line": "y", "rule": "z", "source": "s", "standing": "published", "colour": "red"},
            "unknown key",
        ),
    ],
)
def test_rule_that_is_no_rule_is_refused(monkeypatch, entry, words):
    monkeypatch.setattr(part_rules, "table", lambda _: {"rule": [entry]})
    part_rules.part_rules.cache_clear()
    try:
        with pytest.raises(BadSpec, match=words):
            part_rules.part_rules()
    finally:
        part_rules.part_rules.cache_clear()


def test_word_lists_have_no_spelling_twice():
    for name in tables.table("part_words"):
        assert tables.words("part_words", name)


def test_standard_flows_of_a_stamp_err_on_the_safe_side():
    """A standard cubic foot is counted at 60 °F, a normal cubic metre at 0 °C: both hold more air than free air at 20 °C."""
    standard = part_reading.flow("40 scfm") * 293.15 / 288.706
    normal = part_reading.flow("60 Nm³/h") * 293.15 / 273.15

    assert part_reading.flow("40 scfm") == units.convert(40.0, "cfm", "m³/s") < standard
    assert part_reading.flow("60 Nm³/h") == units.convert(60.0, "m³/h", "m³/s") < normal


def test_flow_without_a_unit_is_given_back_as_typed():
    with pytest.raises(Unreadable, match="'40'"):
        part_reading.flow("40")


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ({"title": "t", "look": "l"}, "lacks title, look or read"),
        ({"title": "t", "look": "l", "read": "presure"}, "Did you mean 'pressure'"),
        ({"title": "t", "look": "l", "read": "flow", "colour": "red"}, "unknown key 'colour'"),
    ],
)
def test_line_that_is_no_line_is_refused(monkeypatch, entry, words):
    monkeypatch.setattr(part_lines, "table", lambda _: {"gauge": {"part": {"range": entry}}})
    part_lines.part_lines.cache_clear()
    try:
        with pytest.raises(BadSpec, match=words):
            part_lines.part_lines("gauge", "part")
    finally:
        part_lines.part_lines.cache_clear()
