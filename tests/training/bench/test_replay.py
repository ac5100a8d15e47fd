"""State is a function of case and log: stop anywhere, and the attempt is whole."""

import json
from dataclasses import replace

import numpy as np
import pytest

from tests.factories.bench import act, begin, check, work_to_the_end
from training.bench import queries, tracing
from training.bench import replay as replaying
from training.bench.case import Case
from training.bench.exceptions import CaseChanged
from training.bench.job import Line
from training.bench.replay import KEPT, follow, forget, replay, replay_afresh

pytestmark = pytest.mark.django_db
CALLS = ("longer-than-tea", "new-switch-on-the-bench", "only-hums", "quote-me-a-rebuild")


def state_of(job):
    """Everything that could differ: machine, record, notes, stage."""
    session = job.session
    return {
        "clock": session.clock,
        "now": session.now(),
        "hands": session.hands,
        "events": session.events,
        "told": [told.answer() for told in job.told],
        "stage": job.stage,
        "history": json.dumps(tracing.history(job)),
        "ahead": json.dumps(tracing.ahead(job, 600.0)),
    }


@pytest.mark.parametrize("call", CALLS)
def test_stopping_between_any_two_deeds_finds_the_attempt_whole(call):
    attempt = begin(call)
    act(attempt, "ask")
    act(attempt, "hand", do="start")
    act(attempt, "wait", until="event")
    act(attempt, "check", check="soap", place="lp-switch-cover")
    work_to_the_end(attempt)
    case, lines = Case.read(attempt.case), queries.lines_of(attempt)
    answers = list(attempt.entries.order_by("number").values_list("answer", flat=True))

    forget()
    unbroken = replay_afresh(case, [])
    for count, line in enumerate(lines, start=1):
        follow(unbroken, line)
        from_the_log = replay_afresh(case, lines[:count])
        gone_on_with = replay(case, lines[:count])

        np.testing.assert_equal(state_of(from_the_log), state_of(unbroken))
        np.testing.assert_equal(state_of(gone_on_with), state_of(unbroken))
        assert [told.answer() for told in from_the_log.told] == answers[:count]


def test_a_kept_job_is_neither_changed_nor_taken_for_another_log():
    attempt = begin()
    check(attempt, "intake-feel")
    case, lines = Case.read(attempt.case), queries.lines_of(attempt)
    clock = replay(case, lines).clock

    replay(case, lines).session.run(500.0)
    other = replay(case, [replace(lines[0], details={"check": "breather-feel", "place": "lp-breather"})])

    assert other.told[0].finding.check == "breather-feel"
    assert replay(case, lines).clock == clock


def test_only_so_many_jobs_are_kept():
    forget()
    for seed in range(KEPT + 3):
        replay(Case.begin("twin-60", [], seed), [])

    assert len(replaying._kept) == KEPT


def test_what_was_played_ahead_is_what_happens():
    attempt = begin()
    act(attempt, "hand", do="start")
    act(attempt, "hand", do="open-drain")
    granted = queries.bench_view(attempt).trace

    act(attempt, "hand", at=granted["to"], do="shut-drain")
    history = queries.bench_view(attempt).history

    for moment in np.linspace(granted["from"], granted["to"], 23):
        promised = np.interp(moment, granted["t"], granted["ch"]["tank"])
        happened = np.interp(moment, history["t"], history["ch"]["tank"])
        assert happened == pytest.approx(promised, abs=1.0)  # both thinned for the chart


def test_looking_at_the_bench_writes_nothing_and_moves_no_clock():
    attempt = begin()
    act(attempt, "hand", do="start")

    assert queries.bench_view(attempt, at=20.0).clock == 20.0
    assert queries.bench_view(attempt).clock == 0.0
    assert attempt.entries.count() == 1


def test_the_same_seed_reads_the_same_and_another_reads_otherwise():
    one, same, other = begin(seed=5), begin(seed=5, learner=None), begin(seed=6)

    readings = [
        (check(attempt, "pump-up"), attempt.entries.get().answer["finding"]["readings"][0]["value"])[1]
        for attempt in (one, same, other)
    ]

    assert readings[0] == readings[1] != readings[2]


def test_the_trace_holds_the_fixed_instruments_and_nothing_of_what_is_hidden():
    attempt = begin()

    shown = queries.bench_view(attempt).trace["ch"]

    assert set(shown) == {"tank", "line", "reg", "amps", "volts", "rpm", "head_f", "line_f"}
    assert shown["amps"][0] == shown["line"][0] == 0.0  # nothing runs, and a needle on its stop stays there


def test_dials_have_errors_of_their_own_that_stay_for_the_whole_attempt():
    one, other = begin(seed=5), begin(seed=6)

    at_start = [queries.bench_view(attempt).trace["ch"]["tank"][0] for attempt in (one, other)]
    check(one, "look")
    later = queries.bench_view(one).trace["ch"]["tank"][0]

    assert at_start[0] != at_start[1]
    assert abs(at_start[0] - later) < 0.5  # the receiver lost next to nothing meanwhile


def test_a_trace_is_small_and_rises_in_time():
    attempt = begin("starts-in-the-night")
    act(attempt, "hand", do="start")
    for _ in range(12):
        act(attempt, "wait", until="event")

    history = queries.bench_view(attempt).history
    assert len(json.dumps(history)) < 60_000
    assert history["t"] == sorted(history["t"])
    assert all(len(values) == len(history["t"]) for values in history["ch"].values())
    assert all(np.isfinite(values).all() for values in history["ch"].values())


@pytest.mark.parametrize("gone", [{"check": "sniff", "place": ""}, {"check": "soap", "place": "lp-moon"}])
def test_a_log_with_a_check_that_is_gone_is_refused_in_words(gone):
    attempt = begin()

    with pytest.raises(CaseChanged, match="begin the call again"):
        replay(Case.read(attempt.case), [Line(1, 0.0, "check", gone)])
