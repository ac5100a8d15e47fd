"""Every call can be done well by its best path within par, and guessed at only badly."""

import pytest

from tests.factories.bench import begin, check_safely, finish, name_the_truth, work_to_the_end
from training.bench import queries
from training.bench.case import rig_of
from training.bench.models import AttemptResult
from training.cases.book import load_calls

pytestmark = pytest.mark.django_db
CALLS = tuple(load_calls())


@pytest.mark.parametrize("call", CALLS)
def test_the_best_path_is_competent_and_within_par(call):
    attempt = begin(call)
    work_to_the_end(attempt)

    result = AttemptResult.objects.get(attempt=attempt)
    marks = {one["criterion"]: one["marks"] for one in result.marks}
    assert (result.result, result.critical) == ("competent", [])
    assert marks["evidence"] >= 20.0
    assert marks["time"] == 10.0
    assert result.score >= 90.0


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize("call", ["longer-than-tea", "new-switch-on-the-bench", "only-hums"])
def test_the_best_path_does_not_hang_on_luck_with_the_instruments(call, seed):
    attempt = begin(call, seed=seed)
    work_to_the_end(attempt)

    assert AttemptResult.objects.get(attempt=attempt).result == "competent"


@pytest.mark.parametrize("call", CALLS)
def test_a_right_guess_without_a_check_scores_at_most_40(call):
    attempt = begin(call)
    work_to_the_end(attempt, path=[])

    result = AttemptResult.objects.get(attempt=attempt)
    assert result.score <= 40.0
    assert result.result == "not-yet-competent"


SOUND = {
    "Time the pump-up with the outlet shut": "About the time on the sheet.",
    "Listen at the stop": "A psst, then silence.",
    "Time the fall, locked out and outlet shut": "Holds.",
    "Clamp the lead at cut-in and near cut-out": "As the sheet at both ends.",
}
SOUND_ENGINE = {
    **{check: words for check, words in SOUND.items() if "Clamp" not in check},
    "Listen at the stop": "A whoosh as it unloads, which goes on as long as it idles.",
}


@pytest.mark.parametrize("call", CALLS)
def test_the_run_proof_shows_a_sound_machine_after_the_right_repair(call):
    attempt = begin(call)
    work_to_the_end(attempt, path=[])

    sound = SOUND_ENGINE if rig_of(attempt.call.rig).has_engine else SOUND
    after = {row.what: row.after for row in queries.bench_view(attempt).proof}
    assert {check: after.get(check) for check in sound} == sound
    assert "could not be taken" not in after.values()


def test_a_finding_that_does_not_part_them_rules_nothing_out():
    attempt = begin("longer-than-tea")
    check_safely(attempt, "look:lp-tank-relief")
    name_the_truth(attempt)
    finish(attempt, "valve-plate")

    view = queries.teardown_view(attempt)
    assert {row.standing for row in view.suspects if row.lookalike} == {"open"}
    assert view.capped


def test_checks_after_the_naming_are_no_evidence_for_it():
    attempt = begin("longer-than-tea")
    name_the_truth(attempt)
    check_safely(attempt, "intake-feel")
    check_safely(attempt, "breather-feel")
    finish(attempt, "valve-plate")

    assert queries.teardown_view(attempt).score <= 40.0


def test_a_repair_never_hides_what_was_there_before_it():
    attempt = begin("wakes-the-flat-above")
    work_to_the_end(attempt, path=[])

    rows = {row.what: row for row in queries.bench_view(attempt).proof}
    fall = rows["Time the fall, locked out and outlet shut"]
    assert fall.before != fall.after == "Holds."
