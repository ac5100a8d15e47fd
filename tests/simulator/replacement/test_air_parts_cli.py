"""Valves, switches and small parts on the command line."""

import json

import pytest

RELIEF = "set=150 psi; capacity=40 scfm; stamp=UV; for=air; seal=whole; thread=1/4 NPT male"


def test_relief_of_a_rig_fits(ask):
    status, out, err = ask("fit", "relief", "--rig", "twin-60", "--new", RELIEF)

    assert (status, err) == (0, "")
    assert out.startswith("Fits\n")
    assert "Ask for exactly this" in out


def test_verdict_comes_as_json_with_rule_and_source(ask):
    status, out, _ = ask("fit", "relief", "--rig", "twin-60", "--new", RELIEF.replace("150", "175"), "--json")
    told = json.loads(out)

    assert status == 0
    assert told["verdict"] == "unsafe"
    assert told["reasons"][0]["code"] == "relief-set"
    assert "UG-134" in told["reasons"][0]["source"]
    assert told["reasons"][0]["figures"][0]["quantity"] == "gauge_pressure"


def test_what_is_typed_of_the_place_wins_over_the_rig(ask):
    status, out, _ = ask(
        "fit", "relief", "--rig", "twin-60", "--place", "mawp=140 psi; cut-out=110 psi", "--new", RELIEF
    )

    assert status == 0
    assert out.startswith("Unsafe\n")


def test_relief_of_the_interstage_is_found_by_what_it_protects(ask):
    new = "set=75 psi; scfm=40; stamp=UV; for=air; seal=whole; thread=1/4 NPT male; temperature=200 °C"
    status, out, _ = ask(
        "fit", "relief", "--rig", "two-stage-80", "--place", "guards=interstage", "--new", new
    )

    assert status == 0
    assert out.startswith("Fits\n")


@pytest.mark.parametrize("kind", ["switch", "check-valve", "gauge", "drain", "filter", "tube", "breather"])
def test_every_part_of_a_rig_is_judged(ask, kind):
    status, out, err = ask("fit", kind, "--rig", "twin-60", "--new", _some_line(kind))

    assert (status, err) == (0, "")
    assert "Still open" in out


def _some_line(kind):
    return {
        "switch": "poles=2",
        "check-valve": "bore=9.5 mm",
        "gauge": "range=0-200 psi",
        "drain": "bore=6 mm",
    }.get(kind, "bore=6 mm" if kind != "filter" else "flow=30 cfm")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("relief", "--rig", "twin-60"), "--new"),
        (("relief", "--rig", "twin-6", "--new", RELIEF), "Did you mean 'twin-60'?"),
        (("switch", "--rig", "engine-30", "--new", "poles=2"), "has no switch"),
        (("relief", "--new", "sett=150 psi"), "did you mean 'set'"),
        (("relief", "--new", "set=150"), "'150' is not a gauge pressure"),
        (
            ("relief", "--rig", "twin-60", "--place", "guards=interstage", "--new", RELIEF),
            "no relief at the interstage",
        ),
    ],
)
def test_bad_input_is_refused_in_one_line(ask, arguments, words):
    status, out, err = ask("fit", *arguments)

    assert (status, out) == (2, "")
    assert words in err
    assert err.count("\n") == 1
