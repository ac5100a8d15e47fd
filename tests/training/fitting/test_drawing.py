"""The picture of both motors as a page draws it: one scale, every word inside, nothing guessed."""

import pytest

from training.fitting.drawing import LETTER, drawings, length

PAIRS = [
    ({"frame": "56HZ"}, {"frame": "145T"}),
    ({"frame": "184T"}, {"frame": "112M B3"}),
    ({"frame": "256T"}, {"frame": "48"}),
    ({"frame": "56"}, {"shaft diameter": "5/8 in"}),
]


def reach(dimension, text):
    """Left and right end of a dimension's words, about."""
    wide = len(dimension.words) * LETTER * text
    left = dimension.x - {"start": 0.0, "middle": wide / 2, "end": wide}[dimension.anchor]
    return left, left + wide


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_every_shape_and_word_stands_inside_the_picture(old, new, system):
    for drawn in drawings(old, new, system):
        for shape in drawn.shapes:
            half = shape.get("r", 0.0)
            assert shape["x"] - half > 0.0
            assert shape["x"] + half + shape.get("width", 0.0) < drawn.width
            assert shape["y"] - half > 0.0
            assert shape["y"] + half + shape.get("height", 0.0) < drawn.height
        for dimension in drawn.dimensions:
            left, right = reach(dimension, drawn.text)
            assert left >= 0.0, dimension
            assert right <= drawn.width, dimension
            assert drawn.text < dimension.y < drawn.height


def test_both_motors_and_both_views_are_drawn_to_one_scale():
    """NEMA MG 1 4.4.1: 56 has 2E 4.88 in, 145T 5.50 in; shafts 0.625 and 0.875 in."""
    for drawn in drawings({"frame": "56"}, {"frame": "145T"}, "us"):
        shafts = {
            one["css"].split()[0]: one["r"]
            for one in drawn.shapes
            if one["form"] == "circle" and "p-shaft" in one["css"]
        }
        assert shafts == {
            "p-old": pytest.approx(0.625 * 12.7, abs=0.01),
            "p-new": pytest.approx(0.875 * 12.7, abs=0.01),
        }
        holes = [one for one in drawn.shapes if one["form"] == "circle" and one["css"] == "p-new p-hole"]
        across = max(one["y"] for one in holes) - min(one["y"] for one in holes)
        assert across == pytest.approx(5.5 * 25.4, abs=0.05)


def test_dimensions_are_told_in_words_for_those_who_do_not_see_them():
    drawn = drawings({"frame": "56"}, {"frame": "145T"}, "us")[0]

    assert "Shaft height: old 3.5 in, new 3.5 in" in drawn.words
    assert ("Foot holes across", "4.88 in", "5.5 in") in drawn.table
    assert {one.words for one in drawn.dimensions} >= {"3.5 in", "4.88 in", "5.5 in", "0.625 in", "0.875 in"}


def test_nothing_known_draws_nothing():
    assert drawings({"power": "3 hp"}, {"power": "3 hp"}, "us") == ()


@pytest.mark.parametrize(
    ("metres", "system", "shown"),
    [
        (0.0698, "metric", "69.8 mm"),
        (0.127, "metric", "127 mm"),
        (0.022225, "us", "0.875 in"),
        (0.0889, "us", "3.5 in"),
    ],
)
def test_lengths_read_as_on_a_caliper(metres, system, shown):
    assert length(metres, system) == shown
