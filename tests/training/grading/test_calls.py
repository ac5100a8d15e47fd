"""Marks for a call against the scheme: 30/25/20/10/10/5, the cap on guesses, critical failures."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from training.grading import calls as grading
from training.grading.calls import Placed, RepairDone, TicketWork, Work

SUSPECTS = ("ring-wear", "intake-filter-plugged", "discharge-reed-leak", "belt-slack", "drain-leaks")
REED = Placed("intake-reed-leak", "cyl2")
RIGHT_REPAIR = RepairDone("Valve plate", frozenset({"intake-reed-leak"}), part=True)
WRONG_REPAIR = RepairDone("Piston rings", frozenset(), part=True)
FULL = Work(
    truth=(REED,),
    nothing_wrong=False,
    named=(REED,),
    confidence="sure",
    lookalikes=frozenset({"ring-wear", "intake-filter-plugged", "discharge-reed-leak", "belt-slack"}),
    ruled_out=dict.fromkeys(
        ("ring-wear", "intake-filter-plugged", "discharge-reed-leak", "belt-slack"), "a finding"
    ),
    shows_fault="a paper strip that kicks outward",
    repairs=(RIGHT_REPAIR,),
    used_minutes=20.0,
    par_minutes=25.0,
    statement_right=True,
)


def marks_of(work):
    return {one.criterion: one.marks for one in grading.mark(work).marks}


def test_everything_right_earns_every_mark():
    marked = grading.mark(FULL)

    assert marks_of(FULL) == {
        "fault": 30, "evidence": 25, "repair": 20, "time": 10, "parts": 10, "customer": 5,
    }  # fmt: skip
    assert (marked.score, marked.result, marked.capped) == (100.0, "competent", "")
    assert all(one.reason for one in marked.marks)


@pytest.mark.parametrize(
    ("change", "criterion", "marks"),
    [
        ({"named": (Placed("intake-reed-leak", "cyl1"),)}, "fault", 20.0),
        ({"named": (Placed("ring-wear"),)}, "fault", 0.0),
        ({"named": (REED, Placed("ring-wear"))}, "fault", 15.0),
        ({"named": ()}, "fault", 0.0),
        ({"ruled_out": {"ring-wear": "x", "belt-slack": "x"}}, "evidence", 17.5),
        ({"ruled_out": {}, "shows_fault": ""}, "evidence", 0.0),
        ({"repairs": (WRONG_REPAIR, RIGHT_REPAIR)}, "repair", 10.0),
        ({"repairs": (WRONG_REPAIR,)}, "repair", 0.0),
        ({"repairs": (WRONG_REPAIR, RIGHT_REPAIR)}, "parts", 5.0),
        ({"repairs": (WRONG_REPAIR, WRONG_REPAIR, WRONG_REPAIR)}, "parts", 0.0),
        ({"used_minutes": 25.0}, "time", 10.0),
        ({"used_minutes": 50.0}, "time", 5.0),
        ({"used_minutes": 75.0}, "time", 0.0),
        ({"used_minutes": 500.0}, "time", 0.0),
        ({"statement_right": False}, "customer", 0.0),
        ({"statement_right": None}, "customer", 0.0),
    ],
)
def test_each_criterion_follows_the_scheme(change, criterion, marks):
    assert marks_of(replace(FULL, **change))[criterion] == pytest.approx(marks)


def test_right_name_without_separating_evidence_scores_at_most_40():
    guess = replace(FULL, ruled_out={}, shows_fault="")

    assert grading.mark(guess).score == 40.0
    assert grading.mark(guess).capped


def test_half_of_the_lookalikes_ruled_out_is_more_than_a_guess():
    work = replace(FULL, ruled_out={"ring-wear": "x", "belt-slack": "x"})

    assert grading.mark(work).capped == ""


@pytest.mark.parametrize(("confidence", "cost"), [("sure", 3.0), ("fairly", 1.0), ("unsure", 0.0)])
def test_sure_and_wrong_costs_three_more_than_unsure_and_wrong(confidence, cost):
    wrong = replace(FULL, named=(Placed("ring-wear"),))

    unsure = grading.mark(replace(wrong, confidence="unsure")).score

    assert grading.mark(replace(wrong, confidence=confidence)).score == pytest.approx(unsure - cost)


def test_critical_failure_is_not_yet_competent_whatever_the_score():
    marked = grading.mark(replace(FULL, critical=("Soap on a live switch.",)))

    assert (marked.score, marked.result) == (100.0, "not-yet-competent")


def test_voided_is_neither():
    assert grading.mark(replace(FULL, voided=True)).result == "voided"


def test_nothing_wrong_is_proved_by_ruling_out_alone():
    quiet = Placed("nofault-demand")
    tell = RepairDone("No repair", frozenset({"nofault-demand"}), part=False)
    work = replace(FULL, truth=(quiet,), named=(quiet,), nothing_wrong=True, shows_fault="", repairs=(tell,))

    assert grading.mark(work).score == 100.0


@pytest.mark.parametrize("change", [{"truth": ()}, {"par_minutes": 0.0}, {"par_minutes": float("nan")}, {"used_minutes": -1.0}, {"used_minutes": float("nan")}])  # fmt: skip
def test_work_that_cannot_be_is_refused(change):
    with pytest.raises(ValueError, match=r"least one|above 0"):
        replace(FULL, **change)


# ---- properties ----------------------------------------------------------------------------------------------

names = st.sampled_from((*SUSPECTS, "intake-reed-leak"))
repairs = st.lists(st.sampled_from((RIGHT_REPAIR, WRONG_REPAIR)), max_size=5).map(tuple)


@st.composite
def works(draw):
    named = draw(st.lists(names, max_size=2, unique=True))
    places = st.sampled_from(("", "cyl1", "cyl2"))
    return Work(
        truth=(REED,),
        nothing_wrong=draw(st.booleans()),
        named=tuple(Placed(name, draw(places)) for name in named),
        confidence=draw(st.sampled_from(("sure", "fairly", "unsure"))),
        lookalikes=frozenset(draw(st.sets(st.sampled_from(SUSPECTS)))),
        ruled_out=dict.fromkeys(draw(st.sets(st.sampled_from(SUSPECTS))), "x"),
        shows_fault=draw(st.sampled_from(("", "a finding"))),
        repairs=draw(repairs),
        used_minutes=draw(st.floats(0, 1e4)),
        par_minutes=draw(st.floats(1, 500)),
        statement_right=draw(st.sampled_from((True, False, None))),
        critical=tuple(draw(st.lists(st.just("prohibited"), max_size=2))),
        voided=draw(st.booleans()),
    )


@given(works())
def test_marks_stay_within_their_bounds(work):
    marked = grading.mark(work)

    assert 0.0 <= marked.score <= 100.0
    for one in marked.marks:
        if one.criterion != "confidence":
            assert 0.0 <= one.marks <= one.out_of
    assert sum(one.out_of for one in marked.marks) == 100.0


@given(works(), st.sampled_from(SUSPECTS))
def test_more_ruled_out_never_lowers_the_score(work, suspect):
    more = replace(work, ruled_out={**work.ruled_out, suspect: "x"})

    assert grading.mark(more).score >= grading.mark(work).score


@given(works())
def test_a_finding_that_shows_the_fault_never_lowers_the_score(work):
    assert grading.mark(replace(work, shows_fault="x")).score >= grading.mark(work).score


@given(works())
def test_a_prohibited_act_never_passes(work):
    assert grading.mark(replace(work, critical=(*work.critical, "prohibited"))).result != "competent"


@given(works())
def test_a_right_guess_never_passes(work):
    guess = replace(work, named=(REED,), nothing_wrong=False, shows_fault="", voided=False)

    assert grading.mark(guess).score <= 40.0
    assert grading.mark(guess).result == "not-yet-competent"


@given(works(), st.floats(0, 1e4))
def test_more_minutes_never_raise_the_score(work, more):
    slower = replace(work, used_minutes=work.used_minutes + more)

    assert grading.mark(slower).score <= grading.mark(work).score


@given(works())
def test_a_part_too_many_never_raises_the_score(work):
    assert (
        grading.mark(replace(work, repairs=(*work.repairs, WRONG_REPAIR))).score <= grading.mark(work).score
    )


@given(works())
def test_surer_and_wrong_never_scores_more(work):
    wrong = replace(work, named=(Placed("ring-wear"),))
    scores = [grading.mark(replace(wrong, confidence=one)).score for one in ("unsure", "fairly", "sure")]

    assert scores == sorted(scores, reverse=True)


@pytest.mark.parametrize(
    ("verdict", "marks"),
    [
        ("fits", 10.0),
        ("fits-with-changes", 10.0),
        ("unanswered", 8.0),
        ("does-not-fit", 5.0),
        ("other-kind", 5.0),
        ("", 5.0),
        ("unsafe", 0.0),
    ],
)
def test_parts_ticket_counts_within_the_marks_for_parts(verdict, marks):
    marked = grading.mark(replace(FULL, ticket=TicketWork("check valve", verdict, ("So it is.",))))

    parts = next(one for one in marked.marks if one.criterion == "parts")
    assert (parts.marks, parts.out_of) == (marks, 10.0)
    assert "check valve" in parts.reason
    assert "So it is." in parts.reason


def test_needless_part_and_no_ticket_never_cost_more_than_the_marks_for_parts():
    marked = grading.mark(
        replace(FULL, repairs=(WRONG_REPAIR, WRONG_REPAIR), ticket=TicketWork("check valve", "", ()))
    )

    assert next(one.marks for one in marked.marks if one.criterion == "parts") == 0.0


def test_unsafe_part_is_critical_and_no_other():
    assert TicketWork("relief valve", "unsafe", ("Set too high.",)).critical == (
        "The parts ticket asks for a relief valve that is unsafe here. Set too high.",
    )
    assert TicketWork("relief valve", "does-not-fit", ("Thread.",)).critical == ()


def test_ticket_of_no_known_verdict_is_refused():
    with pytest.raises(ValueError, match="perhaps"):
        TicketWork("relief valve", "perhaps", ())
