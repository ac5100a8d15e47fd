"""Frames: every row against the printed tables, letters, names that do not exist."""

import pytest

from simulator.replacement.frames import find_frame, shaft_height_by_name, table_frames, tolerances
from simulator.replacement.problems import BadPlate
from simulator.replacement.verdict import Standing
from simulator.replacement.writing import measure
from tests.reference import load

PRINTED = load("motor_frames")
INCH, MM = 0.0254, 0.001


def inches(*values):
    return [None if value is None else round(value / INCH, 4) for value in values]


@pytest.mark.parametrize("row", PRINTED["nema"]["rows"], ids=lambda row: row[0])
def test_nema_row_is_the_printed_one(row):
    name, d, e, f2, ba, hole, u, nw, v, key, key_length = row

    frame = find_frame(name)

    assert inches(frame.shaft_height, frame.holes_across, frame.shaft_to_holes, frame.hole) == [
        d,
        2 * e,
        ba,
        hole,
    ]
    assert f2 in inches(*frame.holes_along)
    assert inches(frame.shaft_diameter, frame.shaft_length) == [u, nw]
    assert inches(frame.usable_length, frame.key_width, frame.key_length) == [
        v or None,
        key or None,
        key_length or None,
    ]
    assert frame.key_height == frame.key_width


@pytest.mark.parametrize(("name", "wide", "shaft", "length", "key"), PRINTED["nema_fractions"]["rows"])
def test_decimal_and_fractional_prints_agree(name, wide, shaft, length, key):
    frame = find_frame(name)
    allowed = 0.01 * INCH

    assert frame.holes_across == pytest.approx(measure(f"{wide} in", "small_length"), abs=allowed)
    assert frame.shaft_diameter == pytest.approx(measure(f'{shaft}"', "small_length"), abs=allowed)
    assert frame.shaft_length == pytest.approx(measure(f"{length} in", "small_length"), abs=allowed)
    assert frame.key_width == pytest.approx(measure(f"{key} in", "small_length"), abs=allowed)


@pytest.mark.parametrize(("name", "ba"), PRINTED["nema_face"]["rows"])
def test_face_moves_the_feet_back(name, ba):
    frame = find_frame(name)

    assert inches(frame.shaft_to_holes) == [ba]
    assert frame.has_face
    assert frame.has_feet is None


@pytest.mark.parametrize("row", PRINTED["iec"]["rows"], ids=lambda row: row[0])
def test_iec_row_is_the_printed_one_and_to_be_confirmed(row):
    frame = find_frame(row[0])
    figures = (
        frame.shaft_height,
        frame.holes_across,
        *frame.holes_along,
        frame.shaft_to_holes,
        frame.shaft_diameter,
        frame.shaft_length,
        frame.key_width,
        frame.key_height,
        frame.hole,
    )

    assert [round(one / MM, 3) for one in figures] == row[1:]
    assert frame.standing is Standing.FROM_MEMORY
    assert "to confirm" in frame.notes[0]


def test_every_frame_of_the_project_is_in_a_printed_row():
    printed = {row[0] for series in ("nema", "iec") for row in PRINTED[series]["rows"]}

    assert set(table_frames()) == printed


@pytest.mark.parametrize("row", PRINTED["nema"]["rows"], ids=lambda row: row[0])
def test_digits_give_the_shaft_height(row):
    digits = "".join(letter for letter in row[0] if letter.isdigit())

    assert shaft_height_by_name(digits) / INCH == pytest.approx(row[1])


def test_number_of_an_iec_frame_is_its_shaft_height():
    for row in PRINTED["iec"]["rows"]:
        assert int("".join(letter for letter in row[0] if letter.isdigit())) == row[1]


def test_tolerances_are_those_of_the_standard():
    allowed = tolerances()

    assert inches(allowed.holes, allowed.shaft, allowed.key_length) == [0.03, 0.01, 0.04]


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("184t", "184T"),
        ("FR 56HZ", "56HZ"),
        ("frame 145T", "145T"),
        ("IEC 112M (B3 foot)", "112M B3"),
        ("112M", "112M"),
        ("100", "100L"),
        ("90L-4 B14", "90L B14"),
        ("D112M", "112M"),
        ("S56", "56"),
    ],
)
def test_frame_is_read_as_people_write_it(written, name):
    assert find_frame(written).name == name


def test_special_shaft_of_a_compressor_motor():
    """56HZ: 7/8 in shaft, 2-1/4 in long, 3/16 in key on 56H feet (trade practice; Z is the maker's drawing)."""
    frame = find_frame("56HZ")

    assert inches(frame.shaft_diameter, frame.shaft_length, frame.key_width) == [0.875, 2.25, 0.188]
    assert frame.holes_along == find_frame("56H").holes_along
    assert frame.standing is Standing.COMMON_PRACTICE


@pytest.mark.parametrize(
    ("written", "shaft", "feet", "belt"),
    [
        ("56C", True, True, True),
        ("145TC", True, True, True),
        ("56J", False, True, False),
        ("184JM", False, True, False),
        ("215TS", False, True, False),
        ("184TY", True, False, True),
        ("184TZ", False, True, True),
        ("254U", False, True, True),
    ],
)
def test_letters_say_what_the_table_no_longer_vouches_for(written, shaft, feet, belt):
    frame = find_frame(written)

    assert (frame.shaft_diameter is not None, frame.shaft_height is not None, frame.takes_belt) == (
        shaft,
        feet,
        belt,
    )
    assert frame.notes


@pytest.mark.parametrize(
    ("written", "nearest"),
    [
        ("185T", "184T"),
        ("143", "143T"),
        ("56T", "56"),
        ("90", "90S"),
        ("404T", "254T"),
        ("215TX", "215T"),
        ("112X", "112M"),
    ],
)
def test_frame_that_is_not_there_offers_the_nearest_and_says_what_to_measure(written, nearest):
    with pytest.raises(BadPlate) as refusal:
        find_frame(written)

    (problem,) = refusal.value.problems
    assert problem.line == "frame"
    assert f" {nearest}" in problem.why
    assert "measure" in problem.look


def test_unknown_mounting_is_refused():
    with pytest.raises(BadPlate, match="B7"):
        find_frame("112M B7")
