"""Deeds in the log: once each, in order, on the rig's clock, refused in words, never half done."""

import pytest
from django.db import IntegrityError, connection, transaction

from tests.factories.bench import (
    act,
    begin,
    check,
    finish,
    make_safe,
    name_the_truth,
    restore,
    work_to_the_end,
)
from tests.factories.cases import CallFactory
from tests.factories.people import MONDAY, MemberFactory
from training.bench import actions, queries
from training.bench.exceptions import (
    AttemptClosed,
    CannotBeDone,
    ClockRefused,
    NotUnderstood,
    OutOfOrder,
)
from training.bench.models import Attempt, AttemptResult, LogEntry, RowIsInk
from training.bench.replay import follow, forget

pytestmark = pytest.mark.django_db


@pytest.fixture
def attempt():
    return begin()


# ---- begin ---------------------------------------------------------------------------------------------------


def test_opening_freezes_the_case():
    attempt = begin(seed=11)

    assert attempt.case["rig"] == "twin-60"
    assert attempt.case["seed"] == 11
    assert [one["fault"] for one in attempt.case["injected"]] == ["intake-reed-leak"]
    assert len(attempt.case["parameters"]) == 64
    assert attempt.case["sheet"]["right_statement"] == "reed"


def test_opening_again_gives_the_open_attempt_back():
    attempt = begin()

    assert begin(learner=attempt.learner).pk == attempt.pk
    assert begin(learner=MemberFactory(name="Tam Osier")).pk != attempt.pk


def test_a_call_off_the_sheet_is_not_begun():
    call = CallFactory(live=False)

    with pytest.raises(OutOfOrder, match="off the call sheet"):
        actions.open_attempt(learner=MemberFactory(), call=call, now=MONDAY)


def test_after_closing_the_call_can_be_begun_anew(attempt):
    work_to_the_end(attempt, path=["intake-feel"])

    assert begin(learner=attempt.learner).pk != attempt.pk


# ---- keys and the clock --------------------------------------------------------------------------------------


def test_the_same_key_acts_once_and_is_told_the_same(attempt):
    first = act(attempt, "check", key="k1", check="intake-feel")
    again = act(attempt, "check", key="k1", check="intake-feel")

    assert (first.repeated, again.repeated) == (False, True)
    assert (again.number, again.words, again.clock) == (first.number, first.words, first.clock)
    assert attempt.entries.count() == 1


def test_a_key_used_for_another_deed_is_refused(attempt):
    act(attempt, "hand", key="k1", do="start")

    with pytest.raises(NotUnderstood, match="another deed"):
        act(attempt, "hand", key="k1", do="stop")


@pytest.mark.parametrize("key", ["", "a" * 65, "a b", "å", "a\n"])
def test_a_key_that_is_none_is_refused(attempt, key):
    with pytest.raises(NotUnderstood, match="1 to 64"):
        actions.act(attempt=attempt, key=key, at=None, deed="ask", details={}, now=MONDAY)


@pytest.mark.parametrize("at", [float("nan"), float("inf"), "soon", True])
def test_a_clock_that_is_no_number_is_refused(attempt, at):
    with pytest.raises(NotUnderstood):
        act(attempt, "ask", at=at)


def test_the_clock_does_not_run_backwards(attempt):
    check(attempt, "intake-feel")

    with pytest.raises(ClockRefused, match="does not run backwards") as refused:
        act(attempt, "hand", at=5.0, do="start")

    assert refused.value.status == 409
    assert refused.value.clock == 120.0
    assert attempt.entries.count() == 1


def test_the_clock_goes_no_further_than_was_granted(attempt):
    horizon = queries.bench_view(attempt).horizon

    with pytest.raises(ClockRefused, match=f"given up to {horizon:.0f} s"):
        act(attempt, "hand", at=horizon + 5.0, do="start")

    assert act(attempt, "hand", at=horizon, do="start").clock == horizon


def test_a_deed_within_the_grant_happens_at_its_moment(attempt):
    act(attempt, "hand", do="start")
    act(attempt, "hand", at=30.0, do="open-drain")

    assert list(attempt.entries.order_by("number").values_list("at", flat=True)) == [0.0, 30.0]


def test_a_call_without_end_is_brought_to_its_end(attempt, monkeypatch):
    monkeypatch.setattr(actions, "MOST_LINES", 2)
    act(attempt, "suspect", fault="ring-wear")
    act(attempt, "suspect", fault="ring-wear", out=False)

    with pytest.raises(OutOfOrder, match="long enough"):
        act(attempt, "suspect", fault="ring-wear")
    name_the_truth(attempt)
    finish(attempt, "none")

    assert AttemptResult.objects.filter(attempt=attempt).exists()


# ---- the lock -----------------------------------------------------------------------------------------------


@pytest.mark.django_db(transaction=True)
def test_the_machine_never_runs_while_the_lock_is_held(attempt, monkeypatch):
    held = []

    def watched(job, line):
        held.append(connection.in_atomic_block)
        return follow(job, line)

    monkeypatch.setattr(actions, "follow", watched)
    work_to_the_end(attempt, path=["intake-feel"])

    assert held
    assert not any(held)


def test_a_deed_that_another_one_overtook_is_worked_out_anew(attempt, monkeypatch):
    def overtaken(job, line):
        monkeypatch.setattr(actions, "follow", follow)
        act(attempt, "hand", do="start")
        return follow(job, line)

    monkeypatch.setattr(actions, "follow", overtaken)
    act(attempt, "check", check="intake-feel")

    forget()
    assert list(attempt.entries.order_by("number").values_list("deed", flat=True)) == ["hand", "check"]
    assert queries.job_of(attempt).told[-1].ended == attempt.entries.get(number=2).ended


def test_a_deed_that_is_always_overtaken_is_refused_in_the_end(attempt, monkeypatch):
    def overtaken(job, line):
        if line.deed == "ask":
            act(attempt, "suspect", fault="ring-wear")
        return follow(job, line)

    monkeypatch.setattr(actions, "follow", overtaken)

    with pytest.raises(OutOfOrder, match="coming in between"):
        act(attempt, "ask")


# ---- the log is ink ------------------------------------------------------------------------------------------


def test_rows_are_only_ever_added(attempt):
    act(attempt, "ask")
    entry = attempt.entries.get()

    for deed in (entry.save, entry.delete, attempt.save, attempt.delete):
        with pytest.raises(RowIsInk):
            deed()
    for rows in (LogEntry.objects.all(), Attempt.objects.all()):
        with pytest.raises(RowIsInk):
            rows.delete()
        with pytest.raises(RowIsInk):
            rows.update()


@pytest.mark.parametrize(
    "wrong",
    [
        {"key": "k1"},
        {"number": 1},
        {"number": 0},
        {"at": -1.0},
        {"at": 200.0},
        {"key": ""},
    ],
)
def test_the_database_holds_the_order_of_the_log(attempt, wrong):
    act(attempt, "ask", key="k1")
    row = {"number": 2, "key": "k2", "at": 180.0, "ended": 180.0, "deed": "ask"} | wrong

    with pytest.raises(IntegrityError), transaction.atomic():
        LogEntry.objects.create(attempt=attempt, recorded_at=MONDAY, **row)


def test_the_database_refuses_competent_with_a_critical_failure(attempt):
    with pytest.raises(IntegrityError), transaction.atomic():
        AttemptResult.objects.create(
            attempt=attempt, score=90, result="competent", critical_count=1, used_minutes=1, closed_at=MONDAY
        )


# ---- order of stages -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("deed", "details", "words"),
    [
        ("repair", {"repair": "belt"}, "Name the fault before"),
        ("proof", {}, "Name the fault before"),
        ("say", {"statement": "reed"}, "Prove the repair"),
        ("close", {}, "Tell the customer first"),
    ],
)
def test_stages_come_in_order(attempt, deed, details, words):
    with pytest.raises(OutOfOrder, match=words):
        act(attempt, deed, **details)

    assert attempt.entries.count() == 0


def test_each_stage_is_done_once_and_checks_go_on_between(attempt):
    name_the_truth(attempt)
    with pytest.raises(OutOfOrder, match="in ink"):
        name_the_truth(attempt)
    with pytest.raises(OutOfOrder, match="Repair first"):
        act(attempt, "proof")
    act(attempt, "repair", repair="none")
    check(attempt, "intake-feel")
    act(attempt, "proof")
    with pytest.raises(OutOfOrder, match="proof is done"):
        act(attempt, "proof")
    act(attempt, "repair", repair="none")  # the figures asked for another one
    act(attempt, "proof")
    act(attempt, "say", statement="rings")
    with pytest.raises(OutOfOrder, match="has been told"):
        act(attempt, "say", statement="reed")
    with pytest.raises(OutOfOrder, match="has been told"):
        act(attempt, "repair", repair="none")
    act(attempt, "close")

    with pytest.raises(AttemptClosed) as refused:
        act(attempt, "ask")
    assert refused.value.status == 409


def test_the_customer_tells_once_and_it_takes_three_minutes(attempt):
    assert act(attempt, "ask").clock == 180.0

    with pytest.raises(OutOfOrder, match="all there is to tell"):
        act(attempt, "ask")


@pytest.mark.parametrize(
    ("do", "words"),
    [("stop", "at OFF already"), ("lock", "Open the disconnect first"), ("unlock", "no lock of yours"), ("shut-drain", "shut already")],
)  # fmt: skip
def test_a_hand_that_makes_no_sense_is_refused(attempt, do, words):
    with pytest.raises(CannotBeDone, match=words):
        act(attempt, "hand", do=do)


def test_a_check_that_needs_power_says_so_on_a_locked_machine(attempt):
    make_safe(attempt, "S2")

    with pytest.raises(CannotBeDone, match="isolated"):
        check(attempt, "intake-feel")

    restore(attempt)
    assert check(attempt, "intake-feel").words


def test_only_findings_are_pinned(attempt):
    act(attempt, "ask")
    check(attempt, "intake-feel")

    with pytest.raises(NotUnderstood, match="finding to pin"):
        act(attempt, "pin", note=1)
    act(attempt, "pin", note=2)
    assert [note.number for note in queries.bench_view(attempt).notes if note.pinned] == [2]
    act(attempt, "unpin", note=2)
    assert not any(note.pinned for note in queries.bench_view(attempt).notes)


def test_waiting_backwards_or_for_days_is_refused(attempt):
    check(attempt, "intake-feel")

    with pytest.raises(NotUnderstood, match="later time"):
        act(attempt, "wait", until=60)
    with pytest.raises(NotUnderstood, match="Two hours"):
        act(attempt, "wait", until=1e9)
