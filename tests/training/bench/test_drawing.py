"""Geometry of dials, charts and timelines, and the sheets' agreement with marking."""

import math
import re

import pytest

from training.bench import sheets
from training.bench.drawing import chart, dials, review, shapes
from training.bench.presenting import shown
from training.bench.shown import Happened
from training.grading import calls as grading


@pytest.mark.parametrize(
    ("value", "angle"), [(0, "-135"), (100, "0"), (200, "135"), (500, "140.4"), (-5, "-135")]
)
def test_needle_stands_where_the_scale_says_and_stops_at_its_pins(value, angle):
    face = dials.dial(channel="tank", radius=96, full_scale=200, step=20, minor=4, value=value)

    assert face["a0"] == angle


def test_dial_prints_every_labelled_step():
    face = dials.dial(channel="tank", radius=96, full_scale=200, step=20, minor=4, bar_to=14)

    assert [label["t"] for label in face["labels"]] == list(range(0, 201, 20))
    assert face["major"].count("M") == 11
    assert [label["t"] for label in face["bars"]] == list(range(0, 13, 2))


def test_hull_touches_both_circles():
    small, large = shapes.Circle(0, 0, 30), shapes.Circle(200, 0, 100)

    points = [
        tuple(map(float, pair))
        for pair in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", shapes.hull(small, large))
    ]

    for (x, y), circle in zip(points, (small, large, small), strict=True):
        assert math.hypot(x - circle.x, y - circle.y) == pytest.approx(circle.r, abs=0.1)


def test_arc_goes_the_long_way_round_when_it_must():
    assert " 0 1 1 " in shapes.arc(50, -135, 135)
    assert " 0 0 1 " in shapes.arc(50, -62, 8)


@pytest.mark.parametrize(
    ("at", "value"), [(-1, 10.0), (0, 10.0), (5, 15.0), (10, 20.0), (15, 20.0), (30, 20.0)]
)
def test_reading_goes_straight_between_samples_and_stays_at_the_ends(at, value):
    assert chart.reading([(0.0, 10.0), (10.0, 20.0), (20.0, 20.0)], at) == value


def test_reading_at_a_jump_is_the_one_after_it():
    assert chart.reading([(0.0, 5.0), (0.0, 9.0), (4.0, 9.0), (4.0, 1.0)], 0.0) == 9.0


def test_reading_of_nothing_recorded_is_nothing():
    assert chart.reading([], 3.0) is None


def trace(start, end, **channels):
    return {"from": start, "to": end, "t": [start, end], "ch": channels}


def test_chart_shows_at_most_ten_minutes_behind_the_pens():
    drawn = chart.strip_chart(
        history=trace(0.0, 3600.0, tank=[90.0, 120.0]),
        ahead=trace(3600.0, 3700.0, tank=[120.0, 120.0]),
        clock=3600.0,
        system="us",
        marks=[(1, 10.0), (2, 3500.0)],
    )

    assert (drawn["from"], drawn["to"]) == (3000.0, 3700.0)
    assert [mark["n"] for mark in drawn["marks"]] == [2]


def test_chart_draws_no_pen_for_what_is_not_in_view():
    drawn = chart.strip_chart(
        history=trace(0.0, 0.0), ahead=trace(0.0, 60.0, tank=[90.0, 90.0]), clock=0.0, system="us"
    )

    assert drawn["tank"]
    assert drawn["amps"] == drawn["line"] == ""
    assert [dot["ch"] for dot in drawn["dots"]] == ["tank"]


def test_chart_rows_are_few_and_in_the_readers_units():
    rows = chart.chart_rows(trace(0.0, 3000.0, tank=[0.0, 145.038], amps=[0.0, 10.0]), "metric")

    assert len(rows) <= 33
    assert rows[-1] == {"clock": "50:00", "tank": "10.00", "line": "not fitted", "amps": "10.0"}


def test_chart_rows_of_an_unstarted_clock_are_none():
    assert chart.chart_rows(trace(0.0, 0.0), "us") == []


@pytest.mark.parametrize(
    ("value", "kind", "us", "metric"),
    [
        (14.5038, "p", "14.5", "1.00"),
        (212.0, "t", "212", "100"),
        (12.34, "a", "12.3", "12.3"),
        (1051.4, "n", "1051", "1051"),
        (None, "p", "\N{EN DASH}", "\N{EN DASH}"),
    ],
)
def test_figures_are_shown_in_the_readers_units(value, kind, us, metric):
    assert (shown(value, kind, "us"), shown(value, kind, "metric")) == (us, metric)


def test_the_call_sheet_tells_the_marks_as_they_are_given():
    seep = grading.Placed("check-valve-seep")
    work = grading.Work((seep,), False, (seep,), "sure", frozenset(), {}, "", (), 10.0, 45.0, True)

    marked = [(mark.title, mark.out_of) for mark in grading.mark(work).marks]

    assert [(title, points) for title, points, _ in sheets.CRITERIA] == marked


def test_timeline_keeps_every_deed_and_no_two_marks_on_one_spot():
    done = [Happened(n, 5.0 * n, 5.0 * n + 1, "Look", "", False) for n in range(1, 4)]
    done.append(Happened(4, 3600.0, 3700.0, "Soap", "", True))

    line = review.timeline(done)

    assert [mark["n"] for mark in line["marks"]] == [1, 2, 3, 4]
    assert len({(mark["x"], mark["y"]) for mark in line["marks"]}) == 4
    assert line["marks"][-1]["critical"]


@pytest.mark.parametrize(("score", "drawn"), [(0, False), (75, True), (100, True)])
def test_score_of_nothing_draws_no_arc(score, drawn):
    assert bool(review.score_arc(score, 75)["value"]) == drawn
