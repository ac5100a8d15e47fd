"""NEMA beside IEC: near, and never the same."""

import pytest

from simulator.replacement.counterparts import counterparts
from simulator.replacement.frames import IEC, find_frame, table_frames
from simulator.replacement.motors import parts_card
from simulator.replacement.plates import read_motor_plate


@pytest.mark.parametrize(
    ("name", "partner"),
    [
        ("184T", "112M"),
        ("56", "90S"),
        ("213T", "132S"),
        ("215T", "132M"),
        ("112M", "184T"),
        ("132M", "215T"),
        ("90L", "145T"),
    ],
)
def test_frame_has_its_partner_in_the_other_series(name, partner):
    """By shaft height and holes of NEMA MG 1 4.4.1 and IEC 60072-1 (from memory)."""
    assert partner in [one.frame.name for one in counterparts(find_frame(name))]


@pytest.mark.parametrize("name", ["254T", "71", "184TY"])
def test_frame_without_a_partner_has_none(name):
    assert counterparts(find_frame(name)) == ()


@pytest.mark.parametrize("name", table_frames())
def test_no_partner_has_the_same_shaft(name):
    """28 mm is not 1-1/8 in, 38 mm not 1-3/8 in: a partner always needs another bore."""
    for one in counterparts(find_frame(name)):
        assert abs(one.shaft) > 0.0005


def test_difference_is_told_in_words():
    (one,) = counterparts(find_frame("184T"))

    assert one.words == (
        "112M: shaft height -2.3 mm, holes -0.5 mm across and +0.3 mm along, shaft 1.102 in (28.0 mm); another bore and key"
    )


def test_partner_stands_on_the_parts_card_to_be_confirmed():
    card = parts_card(read_motor_plate("frame=184T"))

    line = next(one for one in card if "112M" in one)
    assert "to confirm" in line


def test_metric_motor_has_an_inch_partner():
    assert all(one.frame.series != IEC for one in counterparts(find_frame("132S")))
