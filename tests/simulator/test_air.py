"""The atmosphere and the water in it, against published tables."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulator import air
from tests.reference import load

ATMOSPHERE = load("standard_atmosphere")
MOISTURE = load("moisture")
METRE_PER_FOOT = 0.3048
PASCAL_PER_PSI = 6894.757293168
PASCAL_PER_INHG = 3386.389
WATER_GAS_CONSTANT = 461.52  # [J/(kg·K)]
CUBIC_METRE_PER_CUBIC_FOOT = 0.028316846592
KILOGRAM_PER_GALLON_OF_WATER = 3.785411784


def fahrenheit(degrees: float) -> float:
    return (degrees - 32.0) / 1.8 + 273.15


@pytest.mark.parametrize(("height", "kelvin", "bar", "relative"), ATMOSPHERE["metric"]["rows"])
def test_atmosphere_agrees_with_the_standard_by_metres(height, kelvin, bar, relative):
    pressure = air.standard_pressure(float(height))
    temperature = air.standard_temperature(float(height))

    assert temperature == pytest.approx(kelvin, abs=0.05)
    assert pressure == pytest.approx(bar * 1e5, rel=5e-4)
    assert air.density(pressure, temperature) / 1.225 == pytest.approx(relative, rel=5e-4)


@pytest.mark.parametrize(("height", "kelvin", "pascal", "density"), ATMOSPHERE["by_two_kilometres"]["rows"])
def test_atmosphere_agrees_with_the_table_of_1976(height, kelvin, pascal, density):
    pressure = air.standard_pressure(float(height))
    temperature = air.standard_temperature(float(height))

    assert temperature == pytest.approx(kelvin, abs=0.01)
    assert pressure == pytest.approx(pascal, rel=1e-4)
    assert air.density(pressure, temperature) == pytest.approx(density, rel=1e-4)


@pytest.mark.parametrize(("feet", "degrees", "psia"), ATMOSPHERE["imperial"]["rows"])
def test_atmosphere_agrees_with_the_handbook_by_feet(feet, degrees, psia):
    height = feet * METRE_PER_FOOT
    misprint = feet == 4000

    assert air.standard_temperature(height) == pytest.approx(fahrenheit(degrees), abs=0.06)
    assert air.standard_pressure(height) == pytest.approx(
        psia * PASCAL_PER_PSI, rel=1e-3 if misprint else 5e-4
    )


@pytest.mark.parametrize(("feet", "mercury"), ATMOSPHERE["mercury"]["rows"])
def test_atmosphere_agrees_with_the_barometer(feet, mercury):
    assert air.standard_pressure(feet * METRE_PER_FOOT) == pytest.approx(mercury * PASCAL_PER_INHG, rel=1e-3)


@pytest.mark.parametrize("height", [-1001.0, 11_001.0, math.nan, math.inf])
def test_atmosphere_refuses_a_height_outside_its_layer(height):
    with pytest.raises(ValueError, match="altitude"):
        air.standard_pressure(height)


@given(st.floats(-1000.0, 10_999.0), st.floats(0.5, 1000.0))
def test_atmosphere_thins_with_height(height, climb):
    higher = min(height + climb, 11_000.0)

    assert air.standard_pressure(higher) < air.standard_pressure(height)


def test_free_air_is_counted_at_one_atmosphere_and_twenty_degrees():
    assert air.density(101_325.0, 293.15) == air.FREE_AIR_DENSITY
    assert pytest.approx(1.2041, abs=1e-4) == air.FREE_AIR_DENSITY


def test_specific_heats_differ_by_the_gas_constant():
    assert pytest.approx(air.GAS_CONSTANT) == air.CP - air.CV
    assert pytest.approx(air.GAMMA) == air.CP / air.CV


@pytest.mark.parametrize(("celsius", "kilopascal"), MOISTURE["saturation"]["rows"])
def test_saturation_agrees_with_the_handbook(celsius, kilopascal):
    assert air.saturation_pressure(celsius + 273.15) == pytest.approx(kilopascal * 1e3, rel=1e-3)


@pytest.mark.parametrize(
    ("degrees", "humidity", "gallons"),
    [
        (row[0], humidity, gallons)
        for row in MOISTURE["chart"]["rows"]
        for humidity, gallons in zip(MOISTURE["chart"]["humidity_percent"], row[1:], strict=True)
        if not math.isnan(gallons)
    ],
)
def test_saturation_gives_the_water_of_the_service_chart(degrees, humidity, gallons):
    temperature = fahrenheit(degrees)
    vapour = air.saturation_pressure(temperature) * humidity / 100.0
    free_air = 60.0 * CUBIC_METRE_PER_CUBIC_FOOT  # one cfm for an hour

    water = free_air * vapour / (WATER_GAS_CONSTANT * temperature) / KILOGRAM_PER_GALLON_OF_WATER

    assert water == pytest.approx(gallons, rel=0.015)


@given(st.floats(250.0, 350.0), st.floats(0.01, 20.0))
def test_warm_air_holds_more_water(temperature, warmer):
    assert air.saturation_pressure(temperature + warmer) > air.saturation_pressure(temperature)


def test_humidity_ratio_refuses_vapour_that_fills_the_whole_pressure():
    with pytest.raises(ValueError, match="vapour pressure"):
        air.humidity_ratio(101_325.0, 101_325.0)


@given(st.floats(0.0, 20_000.0), st.floats(30_000.0, 1.5e6))
def test_humidity_ratio_gives_the_share_of_vapour_back(vapour, pressure):
    ratio = air.humidity_ratio(vapour, pressure)

    assert ratio * pressure / (0.62198 + ratio) == pytest.approx(vapour, abs=1e-6)
