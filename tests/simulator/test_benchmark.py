"""The benchmark measures what it says, and says so when SciPy is missing."""

import json
import sys
from dataclasses import replace

import pytest

from simulator import benchmark
from simulator.benchmark import Row
from simulator.cli import main
from simulator.events import Event

ROW = Row("engine", 1e-4, 2.0, 300_000.0, 200, 3000, 30.0, 35.0)


@pytest.fixture(scope="module")
def result():
    return benchmark.measure()


def test_engine_is_faster_at_no_larger_an_error(result):
    engine, *others = result.rows
    against = next(row for row in others if f"{row.solver} at {row.tolerance:g}" == result.compared_with)

    assert engine.event_error_ms <= against.event_error_ms
    assert result.faster == against.times_engine > 3.0


def test_references_of_both_solvers_agree(result):
    assert result.references_differ_ms < 1.0
    assert result.gave_up == ()


def test_tighter_tolerance_costs_steps_and_buys_accuracy(result):
    for solver in ("engine", "SciPy LSODA"):
        rows = [row for row in result.rows if row.solver == solver]
        assert [row.steps for row in rows] == sorted(row.steps for row in rows)
        assert rows[-1].event_error_ms < rows[0].event_error_ms


def test_table_and_json_hold_every_row(result):
    words = benchmark.table(result)
    plain = json.loads(json.dumps(benchmark.plain(result), allow_nan=False))

    assert words.count("SciPy LSODA  ") == len(benchmark.PEER_TOLERANCES)
    assert len(plain["rows"]) == len(result.rows)


def test_other_events_are_no_error_but_no_comparison():
    closed, opened = Event(1.0, "contacts-closed"), Event(2.0, "contacts-open")

    assert benchmark._event_error_ms([closed], [replace(closed, t=1.002)]) == pytest.approx(2.0)
    assert benchmark._event_error_ms([closed], [opened]) == float("inf")


def test_comparison_takes_the_nearest_error_that_is_no_smaller():
    peers = [
        replace(ROW, solver="other", tolerance=t, event_error_ms=e)
        for t, e in ((1, 900.0), (2, 40.0), (3, 1.0))
    ]

    assert benchmark._comparable(ROW, peers).event_error_ms == 40.0
    assert benchmark._comparable(ROW, peers[2:]).event_error_ms == 1.0


def test_missing_scipy_is_told_in_one_line(monkeypatch, capsys):
    for name in ("simulator.benchmark", "simulator.benchmark.peer"):
        monkeypatch.delitem(sys.modules, name, raising=False)
    monkeypatch.setitem(sys.modules, "scipy", None)
    monkeypatch.setitem(sys.modules, "scipy.integrate", None)

    assert main(["benchmark"]) == 2
    assert "uv sync" in capsys.readouterr().err
