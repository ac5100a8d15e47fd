"""Whatever a learner does in whatever order: an answer or a refusal in words, and the log replays to the digit."""

import json
from contextlib import suppress
from itertools import pairwise

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from simulator.faults import Injected
from training.bench import deeds, tracing
from training.bench.case import Case, checks_of, faults_of, repairs, rig_of
from training.bench.exceptions import Refusal
from training.bench.handles import handles_of
from training.bench.job import Line
from training.bench.replay import follow, horizon, replay_afresh
from training.cases.book import load_calls

CALLS = tuple(load_calls().values())
PLACES = [(check.slug, place.slug) for check in checks_of("twin-60").values() for place in check.places]
FAULTS = [
    (slug, place)
    for slug, fault in faults_of("twin-60").items()
    for place in (fault.locations_on(rig_of("twin-60")) or ("",))
]

deed = st.one_of(
    st.sampled_from(tuple(handles_of(rig_of("twin-60")))).map(lambda do: ("hand", {"do": do})),
    st.sampled_from(PLACES).map(lambda pair: ("check", {"check": pair[0], "place": pair[1]})),
    st.sampled_from(deeds.SAFE_STEPS).map(lambda step: ("safe", {"step": step})),
    st.just(("wait", {"until": "event"})),
    st.floats(0, 4000).map(lambda until: ("wait", {"until": until})),
    st.sampled_from(FAULTS).map(
        lambda one: ("name", {"named": [{"fault": one[0], "location": one[1]}], "confidence": "sure"})
    ),
    st.sampled_from(tuple(repairs())).map(lambda slug: ("repair", {"repair": slug})),
    st.sampled_from(
        [("ticket", {"kind": "motor", "lines": {"power": "3 hp"}}), ("ticket", {"kind": "gone", "lines": {}})]
    ),
    st.sampled_from([("ask", {}), ("proof", {}), ("close", {}), ("say", {"statement": "x"})]),
)


def play(case, wanted):
    """Do what can be done, at the share of the granted time that was drawn; return the lines that were taken."""
    job, lines = replay_afresh(case, []), []
    for (name, details), share in wanted:
        at = job.clock + share * (horizon(job) - job.clock)
        line = Line(len(lines) + 1, at, name, details)
        attempt = job.copy()
        with suppress(Refusal):
            follow(attempt, line)
            job = attempt
            lines.append(line)
    return job, lines


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.sampled_from(CALLS),
    st.integers(0, 2**31),
    st.lists(st.tuples(deed, st.sampled_from([0.0, 0.0, 0.3, 1.0])), max_size=14),
)
def test_any_order_of_deeds_gives_answers_or_refusals_and_replays(call, seed, wanted):
    case = Case.begin(call.rig, [Injected(**fault) for fault in call.faults], seed)

    job, lines = play(case, wanted)

    again = replay_afresh(case, lines)
    assert [told.answer() for told in again.told] == [told.answer() for told in job.told]
    assert again.session.now() == job.session.now()
    for one, other in pairwise(job.told):
        assert one.line.at <= one.ended <= other.line.at + 1e-9
    json.dumps([told.answer() for told in job.told], allow_nan=False)
    json.dumps([tracing.history(job), tracing.ahead(job, 300.0)], allow_nan=False)
