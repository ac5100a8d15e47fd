"""What is typed into a calculator: read, assumed, or refused beside its line."""

import math
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulator import units
from simulator.calculators import CALCULATORS, BadInputs, UnknownCalculator, calculate, draw, find_calculator

SVG = "{http://www.w3.org/2000/svg}"
WITH_CURVE = [one for one in CALCULATORS.values() if one.sweep is not None]


def problems(slug, **typed):
    with pytest.raises(BadInputs) as refused:
        calculate(slug, typed)
    return refused.value.problems


@pytest.mark.parametrize(
    ("slug", "typed", "field", "words"),
    [
        ("pump-up", {"receiver": "60"}, "receiver", "'60' is not a volume"),
        ("pump-up", {"receiver": "sixty gal"}, "receiver", "not a volume"),
        ("pump-up", {"receiver": "0 gal"}, "receiver", "outside what this is for"),
        ("pump-up", {"receiver": "nan gal"}, "receiver", "not a volume"),
        ("pump-up", {"start": "125 psi", "end": "95 psi"}, "end", "above the start"),
        ("pump-up", {"free_air": "0 cfm"}, "free_air", "outside what this is for"),
        ("pump-up", {"free_air": "10 scfm"}, "free_air", "standard conditions"),
        ("pump-up", {"end": "139 psia"}, "end", "absolute pressure"),
        ("pump-up", {"recever": "60 gal"}, "recever", "Did you mean 'receiver'?"),
        ("leak-rate", {"start": "100 psi", "end": "100 psi"}, "end", "below the start"),
        ("leak-cycle", {"on": "0 s"}, "on", "outside what this is for"),
        ("orifice", {"diameter": "1/0 in"}, "diameter", "'1/0 in'"),
        ("orifice", {"diameter": "1/16"}, "diameter", "'1/16' is not a length"),
        ("orifice", {"coefficient": "1.2"}, "coefficient", "0.3 to 1"),
        ("orifice", {"coefficient": "1e-1"}, "coefficient", "not a number"),
        ("voltage-drop", {"wire": "13 AWG"}, "wire", "12 AWG"),
        ("voltage-drop", {"wire": "18 AWG", "length": "900 ft", "current": "15 A"}, "wire", "thicker wire"),
        ("amps", {"phase": "two"}, "phase", "single-phase, three-phase"),
        ("receiver-size", {"drawn": "5 cfm", "free_air": "10 cfm"}, "drawn", "no surge"),
        ("receiver-starts", {"cut_in": "130 psi", "cut_out": "125 psi"}, "cut_in", "below cut-out"),
        ("receiver-starts", {"starts": "2.5"}, "starts", "whole number"),
        ("displacement", {"clearance": "25 %", "pressure": "300 psi"}, "clearance", "fills the whole stroke"),
        ("condensate", {"humidity": "110 %"}, "humidity", "outside what this is for"),
        ("altitude", {"altitude": "30000 ft"}, "altitude", "outside what this is for"),
        ("sheave-size", {}, "pump_speed", "Give the speed wanted"),
    ],
)
def test_what_has_no_meaning_is_refused_beside_its_line(slug, typed, field, words):
    assert words in problems(slug, **typed)[field]


def test_every_line_that_is_wrong_is_told_at_once():
    assert set(problems("pump-up", receiver="60", end="a lot", nonsense="1")) == {
        "receiver",
        "end",
        "nonsense",
    }


def test_what_is_left_out_is_assumed_and_said():
    answer = calculate("pump-up", {"receiver": "60 gal", "end": " "})

    assert answer.given.assumed == ("start", "end", "free_air", "altitude")


@pytest.mark.parametrize(
    ("typed", "inches"), [("7/16 in", 0.4375), ("1-1/4 in", 1.25), ("1 1/4 in", 1.25), ('5/8"', 0.625)]
)
def test_fractions_are_read_as_people_write_them(typed, inches):
    asked = find_calculator("sheave-speed").input("sheave")

    assert asked.read(typed) == pytest.approx(units.convert(inches, "in", "m"))


def test_unknown_calculator_names_the_nearest():
    with pytest.raises(UnknownCalculator, match="pump-up"):
        find_calculator("pumpup")


def test_defaults_lie_within_their_limits():
    for calculator in CALCULATORS.values():
        for asked in calculator.inputs:
            if asked.default:
                assert math.isfinite(asked.read(asked.default)), (calculator.slug, asked.name)


def says_something(reckon):
    """Whether a reckoning gives finite figures, or says for each bad line what is wrong."""
    try:
        figures = reckon().figures
    except BadInputs as refused:
        return all(refused.problems.values())
    return all(math.isfinite(figure.value) for figure in figures.values())


@given(st.sampled_from(sorted(CALCULATORS)), st.data())
def test_any_text_is_reckoned_with_or_refused(slug, data):
    calculator = CALCULATORS[slug]
    name = data.draw(st.sampled_from([one.name for one in calculator.inputs]))
    typed = {**calculator.example, name: data.draw(st.text(max_size=30))}

    assert says_something(lambda: calculate(slug, typed))


@given(st.sampled_from(sorted(CALCULATORS)), st.data())
def test_any_values_within_the_limits_give_finite_figures_or_a_reason(slug, data):
    """What an input says it takes, every reckoning must bear."""
    calculator = CALCULATORS[slug]
    values = {}
    for asked in calculator.inputs:
        if asked.choices:
            values[asked.name] = data.draw(st.sampled_from(list(asked.choices.values())))
        else:
            values[asked.name] = data.draw(st.floats(asked.low, asked.high))

    assert says_something(lambda: calculator.work(values))


@given(st.floats(20.0, 300.0), st.floats(5.0, 500.0), st.floats(0.5, 100.0))
def test_units_never_change_an_answer(psi, gallons, cfm):
    metric = {
        "end": f"{units.convert(psi, 'psi', 'bar'):.9f} bar",
        "receiver": f"{units.convert(gallons, 'gal', 'L'):.9f} L",
        "free_air": f"{units.convert(cfm, 'cfm', 'L/min'):.9f} L/min",
    }
    us = {"end": f"{psi:.9f} psi", "receiver": f"{gallons:.9f} gal", "free_air": f"{cfm:.9f} cfm"}

    assert calculate("pump-up", us).figures["time"].value == pytest.approx(
        calculate("pump-up", metric).figures["time"].value, rel=1e-6
    )


@given(st.floats(0.0005, 0.05), st.floats(1.0, 2.0), st.floats(0.0, 1e6), st.floats(1.0, 1e6))
def test_more_area_or_more_pressure_never_means_less_flow(diameter, wider, gauge_pressure, more):
    work = find_calculator("orifice").work
    base = {
        "diameter": diameter,
        "pressure": gauge_pressure,
        "coefficient": 0.65,
        "temperature": 293.15,
        "altitude": 0.0,
    }

    def lost(**changed):
        return work({**base, **changed}).figures["free_air"].value

    assert lost(diameter=min(diameter * wider, 0.1)) >= lost()
    assert lost(pressure=gauge_pressure + more) >= lost()


@pytest.mark.parametrize("calculator", WITH_CURVE, ids=[one.slug for one in WITH_CURVE])
@pytest.mark.parametrize("system", ["us", "metric"])
def test_curve_stands_alone_and_says_what_it_shows(calculator, system):
    answer = calculate(calculator.slug, calculator.example)
    picture = ET.fromstring(draw(answer, system))  # noqa: S314  our own document
    shown = answer.figures[calculator.sweep.shows].shown(system)

    assert picture.find(f"{SVG}title").text == calculator.sweep.title
    assert shown in picture.find(f"{SVG}desc").text
    assert picture.find(f"{SVG}polyline") is not None
    assert "nan" not in "".join(line.get("points") for line in picture.iter(f"{SVG}polyline"))


def test_curve_passes_through_what_was_asked_even_off_the_usual_paper():
    answer = calculate("orifice", {"diameter": "1/2 in"})
    picture = ET.fromstring(draw(answer, "us"))  # noqa: S314  our own document
    dot = picture.find(f"{SVG}circle")
    end = picture.find(f"{SVG}polyline").get("points").split()[-1].split(",")

    assert float(dot.get("cx")) == pytest.approx(float(end[0]), abs=0.2)
    assert float(dot.get("cy")) == pytest.approx(float(end[1]), abs=0.2)


def test_calculator_without_a_curve_says_so():
    with pytest.raises(ValueError, match="no curve"):
        draw(calculate("amps-at-volts", {}), "us")
