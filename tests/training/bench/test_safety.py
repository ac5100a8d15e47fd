"""What may hurt somebody is refused or recorded, by the machine's own state."""

import pytest

from simulator import engine
from simulator.checks import Finding
from simulator.engine import EngineFailed
from tests.factories.bench import (
    act,
    begin,
    make_safe,
    name_the_truth,
    work_to_the_end,
)
from training.bench import queries
from training.bench.case import repairs
from training.bench.exceptions import (
    CannotBeDone,
    OutOfOrder,
)
from training.bench.job import Job, Line, Told
from training.bench.models import AttemptResult

pytestmark = pytest.mark.django_db


@pytest.fixture
def attempt():
    return begin()


@pytest.mark.parametrize(
    ("step", "words"),
    [("isolate", None), ("lock", "Isolate it first"), ("bleed", "Isolate it first"), ("try", "Isolate it first")],
)  # fmt: skip
def test_make_safe_has_its_order_with_reasons(attempt, step, words):
    if words is None:
        assert act(attempt, "safe", step=step).critical == ""  # at rest, lever at OFF: stopping holds already
    else:
        with pytest.raises(OutOfOrder, match=words):
            act(attempt, "safe", step=step)


def test_making_safe_ends_at_zero_by_the_physics(attempt):
    make_safe(attempt)

    view = queries.bench_view(attempt)
    assert view.safe_state == "S3"
    assert view.machine_state == "safe"
    assert [step.done for step in view.safe_steps] == [True] * 6


def test_a_step_undone_on_the_machine_does_not_hold(attempt):
    make_safe(attempt)
    act(attempt, "hand", do="unlock")

    steps = {step.slug: step.done for step in queries.bench_view(attempt).safe_steps}
    assert (steps["isolate"], steps["lock"], steps["try"]) == (True, False, False)


@pytest.mark.parametrize(
    ("deed", "details"),
    [
        ("check", {"check": "soap", "place": "lp-switch-cover"}),
        ("check", {"check": "capacitor"}),
        ("check", {"check": "head-line-gauge"}),
        ("check", {"check": "bleed-down"}),
    ],
)
def test_an_unsafe_check_is_a_critical_failure_and_not_carried_out(attempt, deed, details):
    outcome = act(attempt, deed, **details)

    assert outcome.critical
    assert outcome.clock == 0.0
    job = queries.job_of(attempt)
    assert job.critical == (outcome.critical,)
    assert job.session.events == []


@pytest.mark.parametrize(
    ("deed", "details"),
    [
        ("hand", {"do": "start"}),
        ("check", {"check": "pump-up"}),
        ("check", {"check": "duty-log"}),
        ("check", {"check": "volts-run", "place": "supply"}),
        ("proof", {}),
    ],
)
def test_a_machine_found_unfit_to_run_is_not_run(attempt, monkeypatch, deed, details):
    monkeypatch.setattr(Job, "stop_words", lambda _: ["The plate sweats."])
    name_the_truth(attempt)
    act(attempt, "repair", repair="none")

    outcome = act(attempt, deed, **details)

    assert "Not another run after this was found: The plate sweats." in outcome.critical
    assert queries.bench_view(attempt).stage == "repaired"


def test_power_is_not_restored_to_an_unfit_machine_with_its_lever_at_auto(attempt, monkeypatch):
    monkeypatch.setattr(Job, "stop_words", lambda _: ["The plate sweats."])
    act(attempt, "hand", do="isolate")
    act(attempt, "hand", do="restore")
    act(attempt, "hand", do="isolate")
    monkeypatch.setattr(Job, "stop_words", lambda _: [])
    act(attempt, "hand", do="start")
    monkeypatch.setattr(Job, "stop_words", lambda _: ["The plate sweats."])

    assert act(attempt, "hand", do="restore").critical
    assert queries.bench_view(attempt).hands.isolated


def test_only_a_repair_that_mends_something_lets_an_unfit_machine_run(attempt):
    job = queries.job_of(attempt)
    unfit = Finding("relief-tag", "lp-tank-relief", "tag-above-plate", (), 0.0, 60.0)
    job.told.append(Told(Line(1, 0.0, "check", {}), 60.0, "", unfit))

    job.repairs.append((2, repairs()["none"]))
    assert job.stop_words()
    job.repairs.append((3, repairs()["relief-like"]))
    assert not job.stop_words()


def test_a_machine_that_the_engine_cannot_follow_is_a_refusal(attempt, monkeypatch):
    def fails(*_, **__):
        raise EngineFailed("The engine cannot follow the machine beyond 3.000 s.")

    act(attempt, "hand", do="start")
    monkeypatch.setattr(engine, "advance", fails)

    with pytest.raises(CannotBeDone, match="cannot follow the machine"):
        act(attempt, "wait", until=60)


def test_a_repair_in_the_wrong_state_is_a_critical_failure_and_not_carried_out(attempt):
    name_the_truth(attempt)

    outcome = act(attempt, "repair", repair="valve-plate")

    assert "isolated, locked, bled to zero" in outcome.critical
    assert queries.bench_view(attempt).stage == "named"


def test_a_prohibited_repair_is_critical_in_any_state(attempt):
    name_the_truth(attempt)
    make_safe(attempt)

    assert "rots from the bottom" in act(attempt, "repair", repair="drain-plug").critical


def test_a_hand_in_a_running_machine_is_critical_and_not_carried_out(attempt):
    act(attempt, "hand", do="start")
    act(attempt, "hand", do="open-drain")
    act(attempt, "wait", until="event")
    act(attempt, "wait", until=str(queries.job_of(attempt).clock + 10))

    assert act(attempt, "hand", do="element-out").critical
    assert not queries.bench_view(attempt).hands.element_out


def test_after_a_critical_failure_the_call_is_not_yet_competent(attempt):
    act(attempt, "check", check="soap", place="lp-switch-cover")
    work_to_the_end(attempt)

    result = AttemptResult.objects.get(attempt=attempt)
    assert result.score >= 75
    assert (result.result, result.critical_count) == ("not-yet-competent", 1)
