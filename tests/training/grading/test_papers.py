"""Marks of written answers: cases by hand, and laws that hold for every answer."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from training.grading import papers

RIGHT, WRONG = ("a", "b", "c"), ("d", "e")
STEPS = ("a", "b", "c", "d", "e")


def keyed(kind, **parts):
    question = {
        "slug": "s", "version": 1, "area": "safety", "criterion": "U1.2a", "kind": kind, "rig": "", "stem": "?",
        "safety": False, "explanation": "", "source": "", "fault": "", "procedure": "",
        "options": [], "steps": [], "number": None,
    }  # fmt: skip
    return question | parts


def options(*right, of="abcd"):
    return [{"id": i, "text": i, "right": i in right, "reason": ""} for i in of]


@pytest.mark.parametrize(
    ("chosen", "points"),
    [
        ([], 0),
        (["a"], Fraction(1, 3)),
        (["a", "b"], Fraction(2, 3)),
        (["a", "b", "c"], 1),
        (["a", "b", "c", "d"], Fraction(1, 2)),
        (["a", "b", "c", "d", "e"], 0),
        (["d"], 0),
        (["d", "e"], 0),
        (["a", "d"], 0),
    ],
)
def test_multiple_is_share_right_minus_share_wrong_never_below_nothing(chosen, points):
    assert papers.mark_multiple(chosen, RIGHT, WRONG) == points


@given(st.sets(st.sampled_from(RIGHT + WRONG)))
def test_multiple_lies_between_nothing_and_all_and_only_the_exact_set_is_all(chosen):
    points = papers.mark_multiple(chosen, RIGHT, WRONG)

    assert 0 <= points <= 1
    assert (points == 1) == (chosen == set(RIGHT))


@given(st.sets(st.sampled_from(RIGHT + WRONG)), st.sampled_from(WRONG))
def test_multiple_never_gains_by_a_wrong_tick(chosen, wrong):
    assert papers.mark_multiple(chosen | {wrong}, RIGHT, WRONG) <= papers.mark_multiple(chosen, RIGHT, WRONG)


@given(st.sets(st.sampled_from(RIGHT + WRONG)), st.sampled_from(RIGHT))
def test_multiple_never_loses_by_a_right_tick(chosen, right):
    assert papers.mark_multiple(chosen | {right}, RIGHT, WRONG) >= papers.mark_multiple(chosen, RIGHT, WRONG)


@pytest.mark.parametrize(
    ("order", "points"),
    [
        ("abcde", 1),
        ("edcba", 0),
        ("bacde", Fraction(9, 10)),
        ("eabcd", Fraction(6, 10)),
        ("baced", Fraction(8, 10)),
    ],
)
def test_order_is_the_share_of_pairs_in_the_right_order(order, points):
    assert papers.mark_order(list(order), STEPS) == points


@given(st.permutations(STEPS))
def test_order_and_its_mirror_share_the_mark_and_only_the_right_order_is_all(order):
    points = papers.mark_order(order, STEPS)

    assert points + papers.mark_order(order[::-1], STEPS) == 1
    assert (points == 1) == (tuple(order) == STEPS)


@given(st.permutations(STEPS), st.integers(0, len(STEPS) - 2))
def test_order_gains_one_pair_when_two_neighbours_are_put_right(order, i):
    mended = list(order)
    mended[i : i + 2] = sorted(mended[i : i + 2])

    gained = papers.mark_order(mended, STEPS) - papers.mark_order(order, STEPS)

    assert gained == (0 if mended == order else Fraction(1, 10))


@pytest.mark.parametrize("order", ["abcd", "abcda", "abcdx", ""])
def test_order_without_every_step_once_is_refused(order):
    with pytest.raises(ValueError, match="every step once"):
        papers.mark_order(list(order), STEPS)


@pytest.mark.parametrize(
    ("value", "points"),
    [(10.0, 1), (10.5, 1), (9.5, 1), (10.51, 0), (9.49, 0), (-10.0, 0), (float("nan"), 0), (float("inf"), 0)],
)
def test_number_is_right_within_five_percent_edge_included(value, points):
    assert papers.mark_number(value, 10.0, 0.05) == points


@given(st.floats(1e-6, 1e9), st.floats(0.001, 0.2))
def test_number_takes_its_own_key_and_both_edges(key, tolerance):
    for value in (key, key * (1 + tolerance), key * (1 - tolerance)):
        assert papers.mark_number(value, key, tolerance) == 1
    assert papers.mark_number(key * (1 + 1.01 * tolerance), key, tolerance) == 0


NUMBER = {
    "quantity": "current", "key": 10.0, "shown": "10 A", "tolerance": 0.05,
    "slips": [{"value": 20.0, "shown": "20 A", "reason": "doubled"}, {"value": 10.2, "shown": "10.2 A", "reason": "near"}],
}  # fmt: skip


def test_slip_is_named_for_a_wrong_number_only():
    assert papers.slip_made(20.4, NUMBER)["reason"] == "doubled"
    assert papers.slip_made(14.0, NUMBER) is None
    assert papers.slip_made(10.2, NUMBER) is None


@pytest.mark.parametrize(
    ("question", "answer", "points"),
    [
        (keyed("single", options=options("b")), {"chosen": ["b"]}, 1),
        (keyed("single", options=options("b")), {"chosen": ["a"]}, 0),
        (keyed("multiple", options=options("a", "b")), {"chosen": ["a"]}, Fraction(1, 2)),
        (keyed("number", number=NUMBER), {"text": "10.4 A", "value": 10.4}, 1),
        (
            keyed("order", steps=[{"id": i, "text": i, "place": p, "reason": ""} for i, p in zip("abc", (2, 3, 1), strict=True)]),
            {"order": ["c", "b", "a"]},
            Fraction(2, 3),
        ),
    ],
)  # fmt: skip
def test_answer_is_marked_by_its_kind(question, answer, points):
    assert papers.mark_answer(question, answer).points == points


@pytest.mark.parametrize("kind", ["single", "multiple", "order", "number"])
def test_question_left_open_earns_nothing_and_counts_as_missed(kind):
    mark = papers.mark_answer(keyed(kind, safety=True), None)

    assert (mark.points, mark.is_right, mark.safety) == (0, False, True)


def marks(*points, safety=()):
    return [papers.Mark(points=Fraction(p), safety=i in safety) for i, p in enumerate(points)]


@pytest.mark.parametrize(
    ("lines", "result"),
    [
        (marks(*[1] * 7, "1/2", 0, 0), "competent"),
        (marks(*[1] * 7, "0.4999", 0, 0), "not yet competent"),
        (marks(*[1] * 9, 0, safety={9}), "not yet competent"),
        (marks(*[1] * 9, "9/10", safety={9}), "not yet competent"),
        (marks(*[1] * 9, 0, safety={0}), "competent"),
        (marks(*[1] * 10, safety={0, 1}), "competent"),
    ],
)
def test_competent_needs_the_pass_line_and_every_safety_question_right(lines, result):
    assert papers.judge(lines, 75).result == result


@given(st.lists(st.fractions(0, 1), min_size=1, max_size=12))
def test_percent_is_the_mean_of_the_points(points):
    verdict = papers.judge([papers.Mark(p, safety=False) for p in points], 75)

    assert verdict.percent == 100 * sum(points) / len(points)


def test_paper_without_questions_is_not_judged():
    with pytest.raises(ValueError, match="without questions"):
        papers.judge([], 75)
