"""What holds of every question that any maker makes of any seed, in both unit systems."""

import json
import re
from collections import Counter
from itertools import combinations

import pytest

from simulator import units
from tests.training.papers.makers.making import over_seeds, right_ones
from training.grading.papers import is_near, mark_answer, right_order, slip_made
from training.papers import drawer
from training.papers.makers import MAKERS, make, specimens
from training.papers.makers.beliefs import beliefs
from training.papers.makers.maker import Draft, Maker, MakerGaveUp
from training.papers.makers.unsuitable import Unsuitable

EACH = pytest.mark.parametrize("maker", MAKERS.values(), ids=MAKERS)
SYSTEM_OF_THE_OTHER = {
    "us": re.compile(r"\d (?:bar|L/min|kW|mm|L|m)\b(?!\))"),
    "metric": re.compile(r"\d (?:psi|cfm|gal|ft³?|fl oz|in)\b(?!\))"),
}
# What is met on shop compressors up to 10 hp: common practice, no source.
MET = {
    "hp": (0.5, 10), "kW": (0.37, 7.5), "V": (50, 480), "A": (1, 130), "rpm": (400, 3600), "psi": (10, 1000), "bar": (0.6, 100),
    "cfm": (0.05, 180), "L/min": (1, 5000), "gal": (20, 120), "L": (50, 500), "in": (0.02, 20), "mm": (0.5, 500), "ft": (20, 160),
    "m": (7, 55), "min": (1, 25), "s": (5, 900), "h": (1, 8), "AWG": (4, 16),
}  # fmt: skip


def words_of(question):
    """What the question asks and answers, without its sources."""
    yield question["stem"]
    yield from (part["text"] for part in question["options"] + question["steps"])


def feedback_of(question):
    yield question["explanation"]
    yield from (part["reason"] for part in question["options"] + question["steps"])
    if question["number"]:
        yield from (slip["reason"] for slip in question["number"]["slips"])


def test_there_are_makers_enough_for_motors_and_safety():
    areas = Counter(maker.area for maker in MAKERS.values())

    assert areas["motor"] + areas["safety"] >= 25
    assert set(areas) <= set(drawer.AREAS)
    assert {maker.kind for maker in MAKERS.values()} == set(drawer.KINDS)
    assert Counter(maker.level for maker in MAKERS.values())["recall"] <= 0.3 * len(MAKERS)


@EACH
def test_maker_says_where_its_questions_belong(maker):
    assert drawer.SLUG.match(maker.slug)
    assert maker.slug.startswith("made-")
    assert drawer.CRITERION.match(maker.criterion)
    assert maker.level in drawer.LEVELS
    assert maker.family
    assert maker.fault or maker.procedure


@EACH
@over_seeds()
def test_same_seed_makes_the_same_question_and_it_survives_the_database(maker, seed, system):
    question = make(maker, seed, system)

    assert make(maker, seed, system) == question
    assert json.loads(json.dumps(question)) == question


@EACH
def test_other_seeds_make_other_questions(maker):
    made = {json.dumps(make(maker, str(seed), "us")) for seed in range(24)}

    assert len(made) >= 5


@EACH
@over_seeds()
def test_exactly_the_right_answer_earns_the_mark(maker, seed, system):
    question = make(maker, seed, system)

    assert question["kind"] == maker.kind
    match maker.kind:
        case "single":
            points = [mark_answer(question, {"chosen": [one["id"]]}).points for one in question["options"]]
            assert sorted(points) == [0, *[0] * (len(points) - 2), 1]
        case "multiple":
            right = [one["id"] for one in question["options"] if one["right"]]
            assert 0 < len(right) < len(question["options"])
            assert mark_answer(question, {"chosen": right}).is_right
            assert mark_answer(question, {"chosen": [one["id"] for one in question["options"]]}).points == 0
        case "order":
            assert mark_answer(question, {"order": right_order(question)}).is_right
        case "number":
            number = question["number"]
            typed = units.read(number["shown"], number["quantity"])
            assert mark_answer(question, {"value": typed}).is_right
            for slip in number["slips"]:
                wrong = units.read(slip["shown"], number["quantity"])
                assert mark_answer(question, {"value": wrong}).points == 0
                assert slip_made(slip["value"], number) == slip


@EACH
@over_seeds()
def test_wrong_answers_are_apart_from_the_right_one_and_from_each_other(maker, seed, system):
    question = make(maker, seed, system)
    texts = [part["text"].casefold() for part in question["options"] + question["steps"]]

    assert len(set(texts)) == len(texts)
    if question["number"]:
        values = [question["number"]["key"], *(slip["value"] for slip in question["number"]["slips"])]
        assert len(values) >= 3
        assert not any(is_near(one, other, 0.01) for one, other in combinations(values, 2))


@EACH
@over_seeds()
def test_every_answer_says_why_and_where_that_is_from(maker, seed, system):
    question = make(maker, seed, system)

    assert all(text.strip() and "  " not in text for text in feedback_of(question))
    assert len(question["source"]) > 10
    assert "None" not in question["source"]
    wrong = [option for option in question["options"] if not option["right"]]
    wrong += question["number"]["slips"] if question["number"] else []
    for part in wrong:
        if "belief" in part:
            assert part["reason"].endswith(beliefs()[part["belief"]].truth)


@EACH
@over_seeds()
def test_beliefs_of_the_trade_are_among_the_wrong_answers(maker, seed, system):
    question = make(maker, seed, system)
    slips = question["number"]["slips"] if question["number"] else []
    found = [part for part in [*question["options"], *slips] if "belief" in part]

    # An order asks for the belief by its amps, a choice or a number by an answer of its own.
    assert found or maker.kind == "order"
    assert maker.kind == "multiple" or not any(part.get("right") for part in found)


@EACH
@over_seeds()
def test_question_speaks_the_units_of_who_sits_it(maker, seed, system):
    question = make(maker, seed, system)

    for text in words_of(question):
        assert not SYSTEM_OF_THE_OTHER[system].search(text), text


@EACH
@over_seeds()
def test_numbers_are_such_as_are_met_in_the_trade(maker, seed, system):
    question = make(maker, seed, system)

    for text in words_of(question):
        for figure, unit in re.findall(
            r"(?<![\d/.-])(\d+(?:\.\d+)?) (hp|kW|V|A|rpm|psi|bar|cfm|L/min|gal|L|in|mm|ft|m|min|s|h|AWG)\b",
            text,
        ):
            low, high = MET[unit]
            assert low <= float(figure) <= high, f"{figure} {unit}: {text}"


SINGLES = [maker for maker in MAKERS.values() if maker.kind == "single"]


@pytest.mark.parametrize("maker", SINGLES, ids=[maker.slug for maker in SINGLES])
def test_length_never_gives_the_key_away(maker):
    longest = shortest = 0
    for seed in range(60):
        options = make(maker, str(seed), "us")["options"]
        right = next(len(one["text"]) for one in options if one["right"])
        wrong = [len(one["text"]) for one in options if not one["right"]]
        longest += right > max(wrong)
        shortest += right < min(wrong)

    assert longest <= 36
    assert shortest <= 36


@pytest.mark.parametrize(
    "slug",
    ["made-thinnest-wire", "made-which-sheave", "made-scale-of-a-gauge", "made-which-relief"],
)
def test_rank_never_gives_the_key_away(slug):
    ranks = set()
    for seed in range(60):
        options = make(MAKERS[slug], str(seed), "us")["options"]
        ordered = sorted(
            options, key=lambda one: [float(n) for n in re.findall(r"\d+(?:\.\d+)?", one["text"])]
        )
        ranks.add([one["right"] for one in ordered].index(True))

    assert len(ranks) >= 2


def test_endings_are_of_one_length_and_all_come_up():
    for slug in ("made-how-a-swap-ends", "made-how-a-relief-ends"):
        questions = [make(MAKERS[slug], str(seed), "us") for seed in range(60)]

        assert {len(one["text"]) for question in questions for one in question["options"]} == {20}
        assert len({text for question in questions for text in right_ones(question)}) == 4


def test_every_belief_is_used():
    used = set()
    for maker in MAKERS.values():
        for seed in range(40):
            question = make(maker, str(seed), "us")
            slips = question["number"]["slips"] if question["number"] else []
            used |= {part["belief"] for part in [*question["options"], *slips] if "belief" in part}

    assert used == set(beliefs())


def test_specimens_are_what_the_drawer_takes():
    assert set(specimens()) == set(MAKERS)
    for slug, entry in specimens().items():
        assert entry.question["slug"] == slug
        assert (entry.question["area"], entry.level) == (MAKERS[slug].area, MAKERS[slug].level)


def test_maker_without_a_fair_draw_gives_up_instead_of_asking_something_unfair():
    def never(_rng, _system):
        raise Unsuitable

    def two_right(_rng, _system):
        return Draft(stem="?", explanation="!", source="none", choices=())

    for draft in (never, two_right):
        with pytest.raises(MakerGaveUp, match="made-nothing"):
            make(Maker("made-nothing", "motor", "U7.2a", "single", "recall", draft), "1", "us")
