"""Each rig is worked by the handles it has, in its own words; its bench shows the instruments it is fitted with."""

import re

import pytest

from simulator.hands import DEEDS, Hands, deeds_for
from simulator.rig import load_rigs
from tests.factories.bench import act, begin
from training.bench import deeds, queries, tracing
from training.bench.deeds import SAFE_STEPS
from training.bench.drawing.wording import large_dial, pens, psi
from training.bench.exceptions import NotUnderstood
from training.bench.handles import handles_of, steps_of
from training.bench.shown import Hands as HandsShown

RIGS = load_rigs()
CALLS = {
    "oilfree-6": "fine-at-the-van",
    "single-20": "red-button-again",
    "twin-60": "longer-than-tea",
    "two-stage-80": "stronger-one-on-the-side",
    "two-stage-120": "quiet-since-sunday",
    "engine-30": "blows-while-it-waits",
    "w3-80": "half-of-what-it-was",
    "metric-100": "like-a-fridge",
}


@pytest.mark.parametrize("rig", RIGS.values(), ids=lambda rig: rig.slug)
def test_hands_are_offered_what_the_rig_has_a_handle_for(rig):
    own = handles_of(rig)

    assert set(own) == set(deeds_for(rig))
    assert len({handle.title for handle in own.values()}) == len(own)
    assert set(steps_of(rig)) == set(SAFE_STEPS)


def test_every_deed_of_the_simulator_has_its_words_somewhere():
    assert {do for rig in RIGS.values() for do in handles_of(rig)} == set(DEEDS)


def test_an_engine_is_isolated_by_its_leads_and_a_cord_by_its_plug():
    isolating = {slug: handles_of(rig)["isolate"].title for slug, rig in RIGS.items()}

    assert isolating["engine-30"] == "Pull plug lead and battery lead"
    assert {slug for slug, title in isolating.items() if title == "Pull the plug"} == {
        "metric-100", "oilfree-6", "single-20",
    }  # fmt: skip
    assert (
        "lever" not in " ".join(handle.title for handle in handles_of(RIGS["engine-30"]).values()).casefold()
    )


@pytest.mark.parametrize(
    ("rig", "do"), [("twin-60", "toggle-start"), ("engine-30", "roll-leads"), ("oilfree-6", "belt-off")]
)
def test_a_handle_that_the_rig_lacks_is_refused(rig, do):
    lists = deeds.Lists({}, {}, (), (), RIGS[rig])

    with pytest.raises(NotUnderstood, match=f"no thing for a hand to do '{do}' here"):
        deeds.read("hand", {"do": do}, lists)


def test_the_page_shows_of_hands_what_the_simulator_tells_of_them():
    told = set(Hands.__dataclass_fields__) - {"leads_rolled"}

    assert set(HandsShown.__dataclass_fields__) == told


def test_each_rig_shows_the_instruments_it_is_fitted_with():
    usual = {"tank", "line", "reg", "rpm", "head_f", "line_f"}
    electric = usual | {"amps", "volts"}

    assert {slug: set(tracing.in_view(rig)) for slug, rig in RIGS.items()} == {
        slug: electric | {"inter", "oil"}
        if slug == "two-stage-120"
        else usual
        if slug == "engine-30"
        else electric
        for slug in RIGS
    }


@pytest.mark.parametrize("rig", RIGS.values(), ids=lambda rig: rig.slug)
def test_dials_and_pens_hold_what_the_rig_does(rig):
    assert large_dial(rig)["full_scale"] > 1.25 * psi(rig.switch.cut_out)
    assert pens(rig).pressure_top >= psi(rig.relief.set_pressure)
    if not rig.has_engine:
        assert 1.2 * rig.electric_motor.full_load_current <= pens(rig).lower_top


@pytest.mark.django_db
@pytest.mark.parametrize("rig", CALLS)
def test_the_bench_of_every_rig_can_be_opened_and_shows_its_own_dials(client, rig):
    attempt = begin(CALLS[rig])
    client.force_login(attempt.learner)

    page = client.get(f"/bench/{attempt.public_id}/").text

    assert re.search(r'<svg class="rig"', page)
    assert ('data-read="inter"' in page) == (rig == "two-stage-120")
    assert ('data-read="amps"' in page) == (rig != "engine-30")
    for handle in handles_of(RIGS[rig]).values():
        if handle.title in ("Lever to AUTO", "Turn the key", "Pull the plug"):
            assert handle.title in page


@pytest.mark.django_db
def test_an_engine_is_started_waited_for_and_made_safe_by_its_own_handles():
    attempt = begin(CALLS["engine-30"])
    for do in ("toggle-start", "start"):
        act(attempt, "hand", do=do)
    act(attempt, "wait", until=queries.bench_view(attempt).clock + 20.0)
    assert queries.bench_view(attempt).machine_state == "running"
    act(attempt, "hand", do="toggle-run")
    act(attempt, "wait", until="event")

    said = [event["say"] for event in queries.bench_view(attempt).history["events"]]
    assert "The engine fired" in said
    for step in ("stop", "isolate", "lock"):
        act(attempt, "safe", step=step)
    view = queries.bench_view(attempt)
    assert view.machine_state != "running"
    assert [step.title for step in view.safe_steps if step.done][:3] == ["Stop", "Isolate", "Lock and tag"]
    assert any("Plug lead and battery lead are off" in note.words for note in view.notes)
