"""The picture of both motors: one scale, nothing guessed."""

import pytest

from simulator.replacement.outline import picture
from simulator.replacement.plates import read_motor_plate

INCH = 25.4


def drawn(old, new):
    return picture(read_motor_plate(old), read_motor_plate(new))


def shapes(found, view, whose, what):
    return [
        one
        for v in found.views
        if v.name == view
        for one in v.shapes
        if (one.whose, one.what) == (whose, what)
    ]


def test_shafts_stand_at_their_heights_over_one_line_of_feet():
    found = drawn("frame=184T", "frame=56HZ")

    (old,), (new,) = shapes(found, "end", "old", "shaft"), shapes(found, "end", "new", "shaft")
    assert (old.x, old.y, old.width) == pytest.approx((0.0, -4.5 * INCH, 1.125 * INCH))
    assert (new.x, new.y, new.width) == pytest.approx((0.0, -3.5 * INCH, 0.875 * INCH))
    assert {one.top for whose in ("old", "new") for one in shapes(found, "end", whose, "feet")} == {0.0}


def test_holes_from_above_lie_as_the_table_has_them():
    """184T: BA 2.75, 2F 5.50, E 3.75 in; holes 0.41 in (NEMA MG 1 4.4.1)."""
    holes = shapes(drawn("frame=184T", "frame=184T"), "above", "old", "hole")

    places = sorted((round(one.x / INCH, 2), round(one.y / INCH, 2)) for one in holes)
    assert places == [(2.75, -3.75), (2.75, 3.75), (8.25, -3.75), (8.25, 3.75)]
    assert {round(one.width / INCH, 2) for one in holes} == {0.41}


def test_second_set_of_holes_is_drawn():
    assert len(shapes(drawn("frame=56H", "frame=56"), "above", "old", "hole")) == 6
    assert len(shapes(drawn("frame=56H", "frame=56"), "above", "new", "hole")) == 4


def test_metric_and_inch_motor_share_a_scale():
    found = drawn("frame=112M B3", "frame=184T")

    (old,), (new,) = shapes(found, "above", "old", "shaft"), shapes(found, "above", "new", "shaft")
    assert (old.width, old.height) == pytest.approx((60.0, 28.0))
    assert (new.width, new.height) == pytest.approx((2.75 * INCH, 1.125 * INCH))


def test_key_sits_half_in_the_shaft():
    (key,) = shapes(drawn("frame=112M", "frame=48"), "end", "old", "key")

    assert (key.width, key.height) == pytest.approx((8.0, 7.0))
    assert key.bottom == pytest.approx(-112 - 14 + 3.5)
    assert shapes(drawn("frame=112M", "frame=48"), "end", "new", "key") == []


def test_what_is_not_known_is_said_and_not_drawn():
    found = drawn("frame=184T", "frame=184TZ; shaft=1 in")

    assert found.missing == ("shaft length of the new motor",)
    assert shapes(found, "above", "new", "shaft") == []
    assert shapes(found, "end", "new", "shaft")[0].width == pytest.approx(INCH)


def test_nothing_known_gives_no_view():
    found = drawn("hp=3", "hp=3")

    assert found.views == ()
    assert len(found.missing) == 12


def test_frame_of_a_view_holds_every_shape():
    for view in drawn("frame=215T", "frame=90L").views:
        for one in view.shapes:
            assert view.left < one.left
            assert one.right < view.left + view.width
            assert view.top < one.top
            assert one.bottom < view.top + view.height
