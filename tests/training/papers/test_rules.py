"""Drawing and laying out a sitting."""

import re
from collections import Counter
from random import Random

import pytest
from django.conf import settings
from hypothesis import given
from hypothesis import strategies as st

from tests.factories.papers import content
from training.grading.papers import mark_answer, right_order
from training.papers import drawer, rules
from training.papers.exceptions import DrawerTooThin

ENTRIES = drawer.read_questions(settings.FIXTURES / "questions").values()
CARDS = [rules.Card(entry.question, entry.family) for entry in ENTRIES]
FAMILIES = {entry.question["slug"]: entry.family for entry in ENTRIES}
PAPER = drawer.read_papers(settings.FIXTURES / "papers.toml")["diagnose-replace-make-safe"]
SEEDS = st.integers(0, 2**31 - 1)


def rng(seed):
    return Random(seed)  # noqa: S311  a shuffle that can be repeated


def drawn(seed):
    return rules.draw(CARDS, PAPER.draw, PAPER.at_least, seed)


@given(SEEDS)
def test_draw_is_balanced_over_the_areas_and_has_every_kind_asked_for(seed):
    questions = drawn(seed)

    assert Counter(one["area"] for one in questions) == {"diagnosis": 4, "motor": 3, "safety": 3}
    assert {"multiple", "order", "number"} <= {one["kind"] for one in questions}


@given(SEEDS)
def test_draw_never_has_a_question_twice_or_two_of_a_family(seed):
    slugs = [one["slug"] for one in drawn(seed)]
    families = [FAMILIES[slug] for slug in slugs if FAMILIES[slug]]

    assert len(set(slugs)) == len(slugs)
    assert len(set(families)) == len(families)


@given(SEEDS, st.randoms(use_true_random=False))
def test_same_seed_draws_the_same_paper_whatever_the_order_of_the_drawer(seed, shuffler):
    mixed = shuffler.sample(CARDS, len(CARDS))

    assert rules.draw(mixed, PAPER.draw, PAPER.at_least, seed) == drawn(seed)


def test_every_question_of_the_drawer_comes_up():
    seen = {one["slug"] for seed in range(200) for one in drawn(seed)}

    assert seen == set(FAMILIES)


def test_right_option_is_at_no_favoured_place():
    # 2,000 draws at three degrees of freedom; 16.27 is the 0.1 % point of chi-squared (published tables).
    question = content("q")
    places = Counter(
        next(option["id"] for option in rules.lay_out(question, rng(seed))["options"] if option["right"])
        for seed in range(2000)
    )

    assert set(places) == set("abcd")
    assert sum((count - 500) ** 2 / 500 for count in places.values()) < 16.27


@given(SEEDS)
def test_laid_out_steps_are_never_already_in_order_and_keep_their_places(seed):
    question = rules.lay_out(content("q", kind="order"), rng(seed))
    ids = [step["id"] for step in question["steps"]]

    assert ids == ["a", "b", "c", "d"]
    assert [step["place"] for step in question["steps"]] != [1, 2, 3, 4]
    assert mark_answer(question, {"order": right_order(question)}).is_right


def test_laying_out_leaves_the_drawer_as_it_was():
    question = content("q")
    before = [dict(option) for option in question["options"]]

    rules.lay_out(question, rng(5))

    assert question["options"] == before


@pytest.mark.parametrize(
    ("draw", "at_least", "words"),
    [
        ({"safety": 3}, {}, "fewer than 3 questions on safety"),
        ({"motor": 1}, {}, "fewer than 1 questions on motor"),
        ({"safety": 2}, {"order": 1}, "the kinds of question"),
        ({"diagnosis": 2}, {"single": 1}, "the kinds of question"),
    ],
)
def test_drawer_that_cannot_serve_a_paper_is_refused(draw, at_least, words):
    cards = [rules.Card(content(f"s{i}", area="safety"), "") for i in range(2)]
    cards += [rules.Card(content(f"d{i}"), "pair") for i in range(2)]

    with pytest.raises(DrawerTooThin, match=re.escape(words)):
        rules.draw(cards, draw, at_least, seed=1)
