"""The loader's refusals, and what holds for every question in the drawer."""

import re
from collections import Counter
from pathlib import Path

import pytest
from django.conf import settings

from simulator import units
from simulator.components.spec import tables
from simulator.quantities import QUANTITIES
from training.grading.papers import is_near
from training.papers import drawer

QUESTIONS = settings.FIXTURES / "questions"
ENTRIES = drawer.read_questions(QUESTIONS)
PAPERS = drawer.read_papers(settings.FIXTURES / "papers.toml")
EACH = pytest.mark.parametrize("entry", ENTRIES.values(), ids=ENTRIES)
FAULTS = {row["slug"]: row for _, row in tables(settings.FIXTURES / "faults", "fault")}
RIGS = {row["slug"] for _, row in tables(settings.FIXTURES / "rigs", "rig")}
NUMBERS = {slug: entry for slug, entry in ENTRIES.items() if entry.question["kind"] == "number"}

SINGLE = """
[[question]]
slug = "lever-at-off"
area = "safety"
criterion = "U1.2a"
kind = "single"
level = "recall"
safety = true
procedure = "p-make-safe"
stem = "What isolates a 60 gal twin at rest?"
explanation = "A disconnect."
source = "common practice, no source"
[[question.option]]
text = "The lever at OFF with a tag"
reason = "One leg may be live."
[[question.option]]
text = "The disconnect, locked"
right = true
reason = "Proved dead."
[[question.option]]
text = "The plug in a colleague's hand"
reason = "Not in your control."
"""
HEAD = SINGLE.split("[[question.option]]", maxsplit=1)[0]
ORDER = HEAD.replace('"single"', '"order"') + "".join(
    f'[[question.step]]\ntext = "{word}"\nreason = "So."\n' for word in ("Stop", "Open", "Lock", "Prove")
)
NUMBER = HEAD.replace('"single"', '"number"') + (
    '[question.number]\nquantity = "current"\nkey = "10 A"\n'
    '[[question.number.slip]]\nvalue = "20 A"\nreason = "Doubled."\n'
)
PAPER = """
[[paper]]
slug = "first"
title = "First"
lede = "Ten questions."
pass_percent = 75
draw = { safety = 3 }
at_least = { order = 1 }
"""


def read(tmp_path, text):
    (tmp_path / "safety.toml").write_text(text, encoding="utf-8")
    return drawer.read_questions(tmp_path)


@pytest.mark.parametrize("text", [SINGLE, ORDER, NUMBER], ids=["single", "order", "number"])
def test_question_that_says_what_it_must_is_read(tmp_path, text):
    question = read(tmp_path, text)["lever-at-off"].question

    assert (question["area"], question["safety"], question["procedure"]) == ("safety", True, "p-make-safe")


@pytest.mark.parametrize(
    ("text", "old", "new", "words"),
    [
        (SINGLE, "explanation", "explanaton", "unknown key 'explanaton'; the nearest is 'explanation'"),
        (SINGLE, "safety = true", "saftey = true", "unknown key 'saftey'; the nearest is 'safety'"),
        (SINGLE, "safety = true", 'safety = "yes"', "safety must be true or false"),
        (SINGLE, 'source = "common practice, no source"\n', "", "'source' is missing"),
        (SINGLE, "common practice, no source", " ", "source is empty"),
        (SINGLE, 'reason = "One leg may be live."\n', "", "option 1: 'reason' is missing"),
        (SINGLE, "One leg may be live.", "", "option 1: reason is empty"),
        (SINGLE, '"safety"\n', '"safty"\n', "area is 'safty', not one of diagnosis, motor, safety; the nearest is 'safety'"),
        (SINGLE, '"single"', '"singel"', "kind is 'singel'"),
        (SINGLE, "U1.2a", "U1", "criterion 'U1' is not written like 'U4.2a'"),
        (SINGLE, "lever-at-off", "Lever at off", "slug 'Lever at off' is not written like"),
        (SINGLE, 'procedure = "p-make-safe"\n', "", "name the fault or the procedure"),
        (SINGLE, "The disconnect, locked", "The disconnect, locked by yourself and proved", "the right option is the longest"),
        (SINGLE, "right = true\n", "", "some right and some wrong"),
        (SINGLE, 'reason = "One leg', 'right = true\nreason = "One leg', "one right option, not 2"),
        (SINGLE, "The lever at OFF with a tag", "All of the above", "points at other options"),
        (SINGLE, "The lever at OFF with a tag", "The plug in a colleague's hand", "two options say"),
        (SINGLE, "[[question.option]]", "[[question.step]]", "has no 'step'"),
        (SINGLE, '"single"', '"number"', "has no 'option'"),
        (SINGLE, SINGLE, SINGLE + "[[quest]]\n", "unknown key 'quest'; the nearest is 'question'"),
        (ORDER, '[[question.step]]\ntext = "Stop"\nreason = "So."\n', "", "at least 4 steps"),
        (ORDER, '"Lock"', '"Stop"', "two steps say 'Stop'"),
        (NUMBER, "10 A", "10", "'10' is not a current"),
        (NUMBER, "10 A", "10 psi", "'10 psi' is not a current"),
        (NUMBER, "20 A", "10.4 A", "slip '10.4 A' lies within the tolerance"),
        (NUMBER, '"current"', '"curent"', "did you mean 'current'"),
        (NUMBER, 'key = "10 A"', 'key = "10 A"\ntolerance = 5', "tolerance must be a fraction"),
        (SINGLE, SINGLE, SINGLE + SINGLE, "question 'lever-at-off' is there twice"),
        (SINGLE, SINGLE, "[[question]\n", "it cannot be read"),
        (SINGLE, SINGLE, "question = 3\n", "write each entry under [[question]]"),
    ],
)  # fmt: skip
def test_question_that_cannot_be_used_is_refused_with_place_and_mend(tmp_path, text, old, new, words):
    assert old in text

    with pytest.raises(drawer.BadDrawer, match=re.escape(words)) as refusal:
        read(tmp_path, text.replace(old, new))

    assert str(refusal.value).startswith("safety.toml")


def test_empty_folder_is_refused(tmp_path):
    with pytest.raises(drawer.BadDrawer, match="no file of questions"):
        drawer.read_questions(tmp_path)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("lede", "leed", "unknown key 'leed'; the nearest is 'lede'"),
        ("75", "0", "pass_percent must be a whole number from 1 to 100"),
        ("{ safety = 3 }", "{ saftey = 3 }", "unknown key 'saftey'; the nearest is 'safety'"),
        ("{ safety = 3 }", "{ safety = 0 }", "safety must be a whole number from 1 up"),
        ("{ order = 1 }", "{ order = 4 }", "more questions than draw gives"),
        (PAPER, PAPER + PAPER, "paper 'first' is there twice"),
    ],
)
def test_paper_that_cannot_be_set_is_refused(tmp_path, old, new, words):
    path = tmp_path / "papers.toml"
    path.write_text(PAPER.replace(old, new), encoding="utf-8")

    with pytest.raises(drawer.BadDrawer, match=re.escape(words)):
        drawer.read_papers(path)


def test_drawer_holds_enough_of_every_area_and_kind():
    areas = Counter(entry.question["area"] for entry in ENTRIES.values())
    kinds = Counter(entry.question["kind"] for entry in ENTRIES.values())

    assert len(ENTRIES) >= 36
    assert min(areas.values()) >= 12
    assert set(areas) == set(drawer.AREAS)
    assert min(kinds[kind] for kind in drawer.KINDS) >= 6


def test_level_mix_keeps_to_the_blueprint():
    # Competence framework: recall at most 30 per cent, application at least 40.
    levels = Counter(entry.level for entry in ENTRIES.values())

    assert levels["recall"] <= 0.3 * len(ENTRIES)
    assert levels["application"] >= 0.4 * len(ENTRIES)


def test_every_paper_asks_ten_questions():
    assert [sum(paper.draw.values()) for paper in PAPERS.values()] == [10]


@EACH
def test_source_is_named_or_said_to_be_none(entry):
    source = entry.question["source"]

    assert re.search(r"no source|CFR|ASME|NEC|NEMA|relation|manual|public|memory", source)


@EACH
def test_fault_that_the_simulator_knows_can_sit_on_the_rig_of_the_question(entry):
    # The drawer also asks about faults that no rig of the simulator can have yet.
    fault, rig = FAULTS.get(entry.question["fault"]), entry.question["rig"]

    assert fault is None or rig not in RIGS or rig in fault["rigs"]


@EACH
def test_machine_in_the_stem_is_the_rig(entry):
    sizes = {"single-20": "20 gal", "twin-60": "60 gal", "two-stage-80": "80 gal", "two-stage-120": "120 gal"}

    assert sizes[entry.question["rig"]] in entry.question["stem"].replace("22-year-old ", "")


def test_right_options_do_not_stand_out_by_their_place_in_the_file():
    # A drawer whose right options were always the shortest would teach to pick the shortest.
    singles = [entry.question["options"] for entry in ENTRIES.values() if entry.question["kind"] == "single"]
    shortest = sum(min(options, key=lambda o: len(o["text"]))["right"] for options in singles)

    assert shortest <= 0.6 * len(singles)


# Numbers: every key computed again from the figures of its stem, in SI.
PSI = 6894.757293168  # [Pa] exact: 0.45359237 kg times 9.80665 m/s² / (0.0254 m)²
GALLON = 231 * 0.0254**3  # [m³] 231 cubic inches, exact
ATMOSPHERE = 14.7 * PSI  # [Pa] as the stems give it
HORSEPOWER = 745.6998715822702  # [W] 550 ft·lbf/s


def pumped_up(gallons, low_psi, high_psi, seconds):
    """Free air delivered, V·Δp/(p_atm·t): receiver-sizing worksheets (public); constructed figures."""
    return gallons * GALLON * (high_psi - low_psi) * PSI / (ATMOSPHERE * seconds)


KEYS = {
    "free-air-from-a-timed-fill": pumped_up(60, 95, 125, 140),
    # V·Δp/(p_atm·t): leak-down relation, government leak guidance (public).
    "leak-from-a-ten-minute-fall": 0.303 * 4 * PSI / (ATMOSPHERE * 600),
    # T_on·100/(T_on + T_off): same guidance; its worked case 8 min on, 48 min off gives 14.3 %.
    "on-time-with-no-tool-in-use": 100 * 3 / (3 + 12),
    # NEC Table 430.248: 2 hp takes 24 A at 115 V and 12 A at 230 V, two to one.
    "restrapped-from-115-to-230": 20 * 12 / 24,
    "starting-torque-at-ninety-per-cent": 100 * (184 / 230) ** 2,
    # Sheaves: rpm times pitch diameter is equal on both shafts (from memory, common practice).
    "pump-speed-from-the-sheaves": 1740 * 193 / 482.6,
    "shaft-power-from-the-clamp": 230 * 22.5 * 0.86 * 0.84,
    # NEC 430.32(A)(1): 125 % of the plate current with a service factor of 1.15 or more.
    "overload-for-the-plate": 1.25 * 15,
    # NEMA MG 1, 4.4.1: first two digits of a three-digit frame / 4 = D in inches; table gives 184T 4.50 in.
    "shaft-height-of-a-184t": 18 / 4 * 0.0254,
    # ASME BPVC VIII-1 UG-125: 10 % or 3 psi over MAWP, whichever is greater, with one relief.
    "pressure-while-the-relief-blows": max(150 * 1.10, 150 + 3) * PSI,
    # 29 CFR 1910.95 Table G-16: 95 dBA, 4 h; halved for each 5 dB.
    "hours-beside-a-loud-pump": 8 / 2 ** ((95 - 90) / 5) * 3600,
    "free-air-in-a-full-receiver": 0.303 * 175 * PSI / ATMOSPHERE,
}


def test_every_number_is_computed_again():
    assert set(KEYS) == set(NUMBERS)


@pytest.mark.parametrize(("slug", "expected"), KEYS.items(), ids=KEYS)
def test_number_key_is_what_its_figures_give(slug, expected):
    assert NUMBERS[slug].question["number"]["key"] == pytest.approx(expected, rel=2e-3)


SLIPS = {
    "free-air-from-a-timed-fill": [
        pumped_up(60, 95, 125, 60), pumped_up(60 * 1728 / 231, 95, 125, 140), pumped_up(60, 0, 125, 140),
    ],
    "leak-from-a-ten-minute-fall": [0.303 * 4 / 14.7 / 60, 0.303 * 4 / 600],
    "on-time-with-no-tool-in-use": [100 * 3 / 12, 100 * 12 / 15],
    "restrapped-from-115-to-230": [20, 40],
    "starting-torque-at-ninety-per-cent": [100 * 184 / 230, 100 * (1 - 0.64)],
    "pump-speed-from-the-sheaves": [1740 * 482.6 / 193, 1740],
    "shaft-power-from-the-clamp": [230 * 22.5, 230 * 22.5 * 0.86, 230 * 22.5 * 0.84],
    "overload-for-the-plate": [1.15 * 15, 2.5 * 15, 1.25 * 17],
    "shaft-height-of-a-184t": [184 / 16 * 0.0254, 1.125 * 0.0254],
    "pressure-while-the-relief-blows": [150 * PSI, 135 * PSI],
    "hours-beside-a-loud-pump": [8 * 3600, 8 / 2 ** (5 / 3) * 3600],
    "free-air-in-a-full-receiver": [0.303, 0.303 * (175 + 14.7) / 14.7],
}  # fmt: skip


@pytest.mark.parametrize(("slug", "expected"), SLIPS.items(), ids=SLIPS)
def test_slip_is_what_its_mistake_gives(slug, expected):
    slips = [slip["value"] for slip in NUMBERS[slug].question["number"]["slips"]]

    assert slips == pytest.approx(expected, rel=5e-3)


def test_second_unit_in_an_explanation_agrees_with_the_key():
    assert units.read("199 L/min", "air_flow") == pytest.approx(KEYS["free-air-from-a-timed-fill"], rel=5e-3)
    assert units.read("5.0 hp", "power") == pytest.approx(KEYS["shaft-power-from-the-clamp"], rel=5e-3)
    assert units.read("114 mm", "small_length") == pytest.approx(KEYS["shaft-height-of-a-184t"], rel=5e-3)
    assert units.read("127 ft3", "volume") == pytest.approx(KEYS["free-air-in-a-full-receiver"], rel=5e-3)


def test_three_horsepower_is_what_fifteen_amps_at_230_volts_make():
    # The first question of the area rests on it; power factor and efficiency typical of the class, no source.
    shaft_power = 230 * 15 * 0.82 * 0.79

    assert shaft_power == pytest.approx(3.0 * HORSEPOWER, rel=5e-3)


@pytest.mark.parametrize("slug", NUMBERS)
def test_hint_on_how_to_write_a_number_never_gives_the_number(slug):
    number = NUMBERS[slug].question["number"]
    kind = QUANTITIES[number["quantity"]]
    examples = [
        units.read(f"{figure:g} {unit.label}", number["quantity"])
        for figure, unit in ((kind.us_example, kind.us), (kind.metric_example, kind.metric))
    ]

    assert not any(is_near(example, number["key"], number["tolerance"]) for example in examples)


def test_files_of_questions_stay_readable():
    assert all(
        len(path.read_text(encoding="utf-8").splitlines()) <= 400 for path in Path(QUESTIONS).glob("*.toml")
    )
