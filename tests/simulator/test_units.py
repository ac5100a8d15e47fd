"""What may be typed, what it means, and what is shown."""

import contextlib
import math
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulator import units

# Exact by definition: NIST SP 811 (2008), appendix B.8 and B.9, figures from memory: inch = 0.0254 m,
# pound-force = 0.453 592 37 kg x 9.806 65 m/s2, US gallon = 231 in3, horsepower = 550 ft lbf/s.
DEFINITIONS = [
    ("1 psi", "gauge_pressure", 0.45359237 * 9.80665 / 0.0254**2),
    ("1 bar", "gauge_pressure", 1e5),
    ("1 gal", "volume", 231 * 0.0254**3),
    ("1 fl oz", "water_volume", 231 * 0.0254**3 / 128),
    ("1 hp", "power", 550 * 0.3048 * 0.45359237 * 9.80665),
    ("1 cfm", "air_flow", 0.3048**3 / 60),
    ("1 ft-lb", "torque", 0.3048 * 0.45359237 * 9.80665),
    ("12 in", "length", 0.3048),
    ("12 mils", "small_length", 12 * 0.0254 / 1000),
    ("32 °F", "temperature", 273.15),
    ("212 °F", "temperature", 373.15),
    ("18 °F", "temperature_difference", 10.0),
    ("-40 °C", "temperature", 233.15),
    ("40 µF", "capacitance", 40e-6),
    ("1.5 min", "duration", 90.0),
    ("2 MΩ", "resistance", 2e6),
    ("2 mΩ", "resistance", 2e-3),
    # ASHRAE and ASME practice: one inch of water at 4 °C is 249.089 Pa; value from memory.
    ("1 inH2O", "crankcase_pressure", 249.089),
]

WRITTEN_ALIKE = [
    (
        "gauge_pressure",
        ["120 psi", "120psi", "120 PSI", "120 psig", " 120  psi ", "120.0 lb/in²", "+120 psi"],
    ),
    ("temperature", ["70 °F", "70°F", "70 F", "70 degF", "70 deg F", "70 ºF", "70\u00a0°F", "70 °f"]),
    ("temperature", ["\N{MINUS SIGN}4 °C", "-4 °C", "\N{EN DASH}4 °C", "-4 degC"]),
    ("volume", ["60 gal", "60 gallons", "60 US gal"]),
    ("volume", ["227 L", "227 l", "227 litres", "227 liter"]),
    ("air_flow", ["280 L/min", "280 l/min", "280 lpm"]),
    ("small_length", ["0.3 mm", ".3 mm", "0.3mm"]),
    ("capacitance", ["40 uF", "40 µF", "40 μF", "40 mfd"]),
    ("money", ["$38", "$ 38", "38", "38 dollars"]),
    ("percent", ["12 %", "12%", "12"]),
]

REFUSED = [
    ("120", "gauge_pressure", "Write it as 120 psi or 8 bar"),
    ("psi", "gauge_pressure", "Write it as 120 psi or 8 bar"),
    ("", "gauge_pressure", "such as 120 psi or 8 bar"),
    ("   ", "gauge_pressure", "such as 120 psi or 8 bar"),
    ("twelve psi", "gauge_pressure", "120 psi or 8 bar"),
    ("120 gal", "gauge_pressure", "The unit can be psi, bar"),
    ("1,5 bar", "gauge_pressure", "Use a point for decimals"),
    ("1 000 psi", "gauge_pressure", "no comma or space inside a number"),
    ("1,500 psi", "gauge_pressure", "1500 or 1.5"),
    ("psi 120", "gauge_pressure", "The number comes first"),
    ("120 psia", "gauge_pressure", "absolute pressure"),
    ("-20 psi", "gauge_pressure", "lower than can be"),
    ("9**9**9 m", "length", "The unit can be"),
    ("1e9 psi", "gauge_pressure", "The unit can be"),
    ("nan psi", "gauge_pressure", "120 psi or 8 bar"),
    ("inf psi", "gauge_pressure", "120 psi or 8 bar"),
    ("\u0661\u0662 psi", "gauge_pressure", "120 psi or 8 bar"),
    ("1 psi" + "0" * 10_000, "gauge_pressure", "too long"),
    ("-1 K", "temperature", "lower than can be"),
    ("120 mPa", "gauge_pressure", "The unit can be"),
    ("10 scfm", "air_flow", "standard conditions"),
    ("2.5", "count", "whole number"),
    ("3 psi", "count", "no unit"),
    ("120 psi; rm", "gauge_pressure", "The unit can be"),
    ("__import__('os')", "gauge_pressure", "120 psi or 8 bar"),
]


@pytest.mark.parametrize(("typed", "quantity", "si"), DEFINITIONS)
def test_unit_has_its_defined_size(typed, quantity, si):
    assert units.read(typed, quantity) == pytest.approx(si, rel=1e-6)


@pytest.mark.parametrize(("quantity", "spellings"), WRITTEN_ALIKE)
def test_spellings_of_one_reading_mean_the_same(quantity, spellings):
    meanings = {units.read(typed, quantity) for typed in spellings}

    assert len(meanings) == 1


@pytest.mark.parametrize(("typed", "quantity", "mend"), REFUSED)
def test_text_without_meaning_is_refused_with_the_way_to_mend_it(typed, quantity, mend):
    with pytest.raises(units.NotAQuantity) as refusal:
        units.read(typed, quantity)

    assert mend in str(refusal.value)
    assert len(str(refusal.value)) < 300


def test_bare_number_is_read_in_the_reader_s_unit():
    assert units.read("8", "gauge_pressure", "bar") == pytest.approx(8e5)


def test_slip_in_our_own_code_is_no_refusal_of_the_reader():
    with pytest.raises(ValueError, match="did you mean 'gauge_pressure'"):
        units.show(1.0, "guage_pressure", "us")
    with pytest.raises(ValueError, match="no unit of a gauge pressure"):
        units.read("8", "gauge_pressure", "gal")
    with pytest.raises(ValueError, match="both 'psi' and 'gal'"):
        units.convert(1.0, "psi", "gal")


@pytest.mark.parametrize(
    ("value", "quantity", "us", "metric"),
    [
        (815_000.0, "gauge_pressure", "118.2 psi", "8.15 bar"),
        (-0.001, "gauge_pressure", "0.0 psi", "0.00 bar"),
        (294.26, "temperature", "70.0 °F", "21.1 °C"),
        (233.15, "temperature", "\N{MINUS SIGN}40.0 °F", "\N{MINUS SIGN}40.0 °C"),
        (45.0, "duration", "45 s", "45 s"),
        (190.0, "duration", "3 min 10 s", "3 min 10 s"),
        (3_900.0, "duration", "1 h 05 min", "1 h 05 min"),
        (38.0, "money", "$38", "$38"),
        (12.5, "percent", "12.5%", "12.5%"),
        (3.0, "count", "3", "3"),
        (2e6, "resistance", "2.00 MΩ", "2.00 MΩ"),
        (math.nan, "gauge_pressure", "no reading", "no reading"),
    ],
)
def test_shown_value_carries_its_unit(value, quantity, us, metric):
    assert (units.show(value, quantity, "us"), units.show(value, quantity, "metric")) == (us, metric)


def test_digits_can_be_asked_for():
    assert units.show(815_000.0, "gauge_pressure", "us", digits=0) == "118 psi"


@given(
    quantity=st.sampled_from(sorted(set(units.QUANTITIES) - {"count", "duration", "money"})),
    system=st.sampled_from(["us", "metric"]),
    share=st.floats(0.001, 1000.0),
)
def test_what_is_shown_reads_back_as_the_same_value(quantity, system, share):
    kind = units.QUANTITIES[quantity]
    value = units.read(f"{kind.us_example * share:.9f} {units.unit(quantity, 'us')}", quantity)

    read_back = units.read(units.show(value, quantity, system, digits=9), quantity)

    assert read_back == pytest.approx(value, rel=1e-6, abs=1e-9)


@given(st.floats(-1e7, 1e7), st.sampled_from([("psi", "bar"), ("°F", "°C"), ("cfm", "L/min"), ("gal", "L")]))
def test_conversion_and_back_gives_the_same_number(value, pair):
    us, metric = pair

    assert units.convert(units.convert(value, us, metric), metric, us) == pytest.approx(
        value, rel=1e-9, abs=1e-9
    )


@given(st.text(max_size=200), st.sampled_from(sorted(units.QUANTITIES)))
def test_any_text_is_read_or_refused_at_once(text, quantity):
    units.convert(1.0, "psi", "bar")  # the converter is loaded once, and not counted
    started = time.monotonic()
    with contextlib.suppress(units.NotAQuantity):
        assert math.isfinite(units.read(text, quantity))

    assert time.monotonic() - started < 1.0


def test_every_unit_is_known_to_the_converter():
    for kind in units.QUANTITIES.values():
        for one in kind.units:
            spelt = one.label or "times"
            assert math.isfinite(
                units.read(f"300 {spelt}", "temperature" if one.label == "K" else _name(kind))
            )


def _name(kind):
    return next(name for name, one in units.QUANTITIES.items() if one is kind)
