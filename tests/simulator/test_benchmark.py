"""The benchmark measures what it says, and says so when SciPy is missing."""

import json
import math
import sys
from dataclasses import replace

import pytest

from simulator import benchmark, engine
from simulator.benchmark import workloads
from simulator.benchmark.processes import Processes
from simulator.cli import main
from simulator.events import Event
from simulator.rig import load_rigs

RIGS = load_rigs()
WHOLE = Processes(1.4, 1.1, 180.0, 2.0, 1.9, 2)


@pytest.fixture(scope="module")
def result():
    return benchmark.measure(["twin-60"], processes=False)


def test_engine_is_faster_than_scipy_at_no_larger_an_error(result):
    for row in result.rows:
        assert row.peer_error_ms <= row.event_error_ms
        assert row.times_faster == row.peer_milliseconds / row.milliseconds > 3.0


def test_references_of_both_solvers_agree(result):
    assert result.rows[0].references_differ_ms < 1.0


def test_a_week_costs_no_more_a_second_than_minutes_do(result):
    assert result.microseconds_per_second_in_a_week < 1.5 * result.microseconds_per_second_by_minutes


@pytest.mark.parametrize("slug", RIGS)
def test_in_its_hour_every_rig_starts_as_often_as_its_plate_allows(slug):
    rig = RIGS[slug]
    work = workloads.as_often_as_allowed(rig)

    starts = workloads.cycles(rig, work.ours(engine.TOLERANCE).events)

    assert starts == workloads.allowed(rig)
    assert f"{starts} {'unloadings' if rig.has_engine else 'starts'}" in work.title
    assert 0.0 < work.demand <= 0.5


def test_table_and_json_hold_every_row(result):
    whole = replace(result, processes=WHOLE)

    words = benchmark.table(whole)
    plain = json.loads(json.dumps(benchmark.plain(whole), allow_nan=False))

    assert words.count("twin-60  ") == len(plain["rows"]) == 2
    assert "ready in a fresh process: 1.40 s" in words
    assert plain["processes"]["two_over_one"] == 1.9


def test_what_has_no_figure_is_none_in_json(result):
    row = replace(result.rows[0], references_differ_ms=math.nan, event_error_ms=math.inf)

    plain = benchmark.plain(replace(result, rows=(row,)))

    assert plain["rows"][0]["references_differ_ms"] is None
    assert plain["rows"][0]["event_error_ms"] is None


def test_other_events_are_no_error_but_no_comparison():
    closed, opened = Event(1.0, "contacts-closed"), Event(2.0, "contacts-open")

    assert benchmark._event_error_ms([closed], [replace(closed, t=1.002)]) == pytest.approx(2.0)
    assert benchmark._event_error_ms([closed], [opened]) == float("inf")


def test_missing_scipy_is_told_in_one_line(monkeypatch, capsys):
    for name in [name for name in sys.modules if name.startswith("simulator.benchmark")]:
        monkeypatch.delitem(sys.modules, name, raising=False)
    monkeypatch.setitem(sys.modules, "scipy", None)
    monkeypatch.setitem(sys.modules, "scipy.integrate", None)

    assert main(["benchmark"]) == 2
    assert "uv sync" in capsys.readouterr().err
