"""`fit` on the command line: text, JSON, files, a rig to start from, and refusals in one line."""

import json

import pytest

from simulator.cli import main
from simulator.replacement.kinds import KINDS

NEW = (
    "HP 3; V 230; A 15; PH 1; HZ 60; RPM 3450; FR 56HZ; SF 1.15; code H; ins F; encl ODP; duty cont; "
    "start cscr; start cap fitted; run cap fitted; ol manual; rot reversible"
)


@pytest.fixture
def ask(capsys):
    """Run one command line: exit status, standard output, standard error."""

    def ask(*arguments):
        try:
            status = main(["fit", *arguments])
        except SystemExit as leaving:
            status = leaving.code
        said = capsys.readouterr()
        return status, said.out, said.err

    return ask


def test_motor_from_a_rig_fits_in_words(ask):
    status, out, err = ask("motor", "--rig", "twin-60", "--new", NEW, "--place", "supply=232")

    assert (status, err) == (0, "")
    assert out.startswith("Fits\n")
    assert "Ask for exactly this:" in out
    assert "licensed electrician" in out


def test_json_has_verdict_reasons_and_figures(ask):
    status, out, _ = ask("motor", "--old", "hp=3", "--new", "hp=2", "--json")

    told = json.loads(out)
    assert (status, told["kind"], told["verdict"]) == (0, "motor", "does-not-fit")
    assert told["reasons"][0]["code"] == "power"
    assert told["reasons"][0]["figures"][0] == {
        "title": "old motor",
        "value": pytest.approx(2237.1),
        "quantity": "power",
    }
    assert told["questions"]


def test_units_change_words_and_not_the_verdict(ask):
    us = ask("motor", "--old", "hp=3", "--new", "hp=2")[1]
    metric = ask("motor", "--old", "hp=3", "--new", "hp=2", "--units", "metric")[1]

    assert us.splitlines()[0] == metric.splitlines()[0] == "Does not fit"
    assert "old motor 3.00 hp" in us
    assert "old motor 2.24 kW" in metric


def test_plate_may_stand_in_a_file(ask, tmp_path):
    plate = tmp_path / "new.txt"
    plate.write_text("# listing\nHP 2\nV 230\n", encoding="utf-8")

    status, out, _ = ask("motor", "--rig", "twin-60", "--new", f"@{plate}")

    assert status == 0
    assert "2 hp (1.49 kW) is smaller than 3 hp" in out


def test_what_is_typed_goes_over_what_the_rig_says(ask):
    _, out, _ = ask("motor", "--rig", "twin-60", "--old", "hp=1-1/2; A=?; SF=?", "--new", "hp=2", "--json")

    assert (
        next(one for one in json.loads(out)["reasons"] if one["code"] == "power")["verdict"]
        == "fits-with-changes"
    )


def test_sheave_is_another_word_for_drive(ask):
    arguments = ("--rig", "twin-60", "--new", "motor sheave=4.3 in", "--json")

    assert ask("sheave", *arguments) == ask("drive", *arguments)


@pytest.mark.parametrize("name", KINDS)
def test_every_kind_answers_a_blank_sheet_with_questions(ask, name):
    """One line of what is on offer, and nothing known of the place: never a silent fit."""
    line = next(iter(KINDS[name].sheets["new"]))

    status, out, err = ask(name, "--new", f"{line}=?", "--json")

    assert (status, err) == (0, "")
    told = json.loads(out)
    assert told["verdict"] == "unanswered"
    assert told["questions"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("motor", "--old", "hp=5;V=230;A=3;PH=1", "--new", "hp=5"), "cannot come out of 3 A at 230 V"),
        (("motor", "--new", "spead=1725"), "did you mean 'speed'"),
        (("motor", "--new", "hp=3", "--place", "supply=12 V"), "no supply of a compressor"),
        (("motor", "--rig", "twin60", "--new", "hp=3"), "Did you mean 'twin-60'?"),
        (("motor", "--rig", "engine-30", "--new", "hp=3"), "petrol engine"),
        (("motor", "--rig", "twin-60"), "--new: say what is on offer"),
        (("motor", "--new", "@/no/such/plate"), "cannot be read"),
        (("moter", "--new", "hp=3"), "motor"),
        ((), "PART"),
    ],
)
def test_bad_input_is_refused_in_one_line(ask, arguments, words):
    status, out, err = ask(*arguments)

    assert (status, out, err.count("\n")) == (2, "", 1)
    assert words in err


def test_file_that_is_no_plate_is_refused(ask, tmp_path):
    large, binary = tmp_path / "large", tmp_path / "binary"
    large.write_text("#" * 30_000, encoding="utf-8")
    binary.write_bytes(b"\xff\xfe\x00")

    assert "no plate" in ask("motor", "--new", f"@{large}")[2]
    assert "not text" in ask("motor", "--new", f"@{binary}")[2]
