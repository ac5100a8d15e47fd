"""Calculators on the command line."""

from xml.etree import ElementTree as ET

import pytest

SVG = "{http://www.w3.org/2000/svg}"


def test_calculators_are_listed(ask, answer):
    status, out, _ = ask("calculate")

    assert status == 0
    assert "pump-up " in out
    assert {"slug", "formula", "source", "inputs", "example"} <= set(answer("calculate")[0])


def test_calculator_answers_with_formula_source_and_what_was_assumed(ask, answer):
    given = ("calculate", "pump-up", "receiver=80 gal", "end=150 psi", "free_air=15 cfm")
    status, out, err = ask(*given)

    assert (status, err) == (0, "")
    assert "7 min 17 s" in out
    assert "t = V·(p2 - p1) / (pa·Q)" in out
    assert answer(*given)["assumed"] == ["start", "altitude"]
    assert answer(*given)["figures"]["time"]["value"] == pytest.approx(436.5, rel=1e-3)


def test_calculator_draws_its_curve(ask, tmp_path):
    path = tmp_path / "curve.svg"
    status, out, _ = ask("calculate", "orifice", "diameter=1/16 in", "--units", "metric", "--plot", str(path))

    assert status == 0
    assert "L/min" in out
    assert ET.parse(path).getroot().tag == f"{SVG}svg"  # noqa: S314  our own document


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (("pumpup",), "Did you mean 'pump-up'?"),
        (("pump-up", "receiver"), "receiver=80 gal"),
        (("pump-up", "end=1 psi", "end=2 psi"), "more than once"),
        (("pump-up", "recever=80 gal"), "Did you mean 'receiver'?"),
        (("pump-up", "receiver=80"), "'80' is not a volume"),
        (("amps-at-volts", "--plot", "x.svg"), "has no curve"),
        (("orifice", "--plot", "x.png"), "must end in .svg"),
        (("orifice", "--plot", "/nowhere/x.svg"), "cannot be written"),
    ],
)
def test_calculator_refuses_in_one_line(ask, given, words):
    status, out, err = ask("calculate", *given)

    assert (status, out) == (2, "")
    assert words in err
    assert err.count("\n") == 1
