"""What passes an opening, against the handbook's table of leaks, and the smoothness a solver needs."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from simulator import flow
from simulator.air import STANDARD_PRESSURE
from tests.reference import load

TABLES = load("orifice_discharge")
INCH = 0.0254
PASCAL_PER_PSI = 6894.757293168
ATMOSPHERE = 14.7 * PASCAL_PER_PSI  # of the handbook
WARM = 294.26  # 70 °F
KILOGRAM_PER_CUBIC_FOOT = 0.07494 * 0.45359237
CHOKED_GAUGE = 14.7 / 0.528282 - 14.7  # [psi]

pressures = st.floats(1.0e4, 2.0e6)
temperatures = st.floats(230.0, 500.0)
areas = st.floats(1e-10, 1e-3)


def cells(table):
    return [
        (row[0], diameter, cfm)
        for row in TABLES[table]["rows"]
        for diameter, cfm in zip(TABLES[table]["diameters_in"], row[1:], strict=True)
    ]


def free_air_cfm(gauge_psi, diameter_in, coefficient):
    area = flow.disc_area(diameter_in * INCH) * coefficient
    upstream = gauge_psi * PASCAL_PER_PSI + ATMOSPHERE
    return flow.orifice_mass_flow(area, upstream, WARM, ATMOSPHERE) * 60.0 / KILOGRAM_PER_CUBIC_FOOT


def two_digits(cfm):
    return len(f"{cfm:g}".replace(".", "").strip("0")) < 3


@pytest.mark.parametrize(("gauge_psi", "diameter", "cfm"), cells("handbook"))
def test_orifice_passes_what_the_handbook_prints(gauge_psi, diameter, cfm):
    exact = gauge_psi > CHOKED_GAUGE and not two_digits(cfm)

    assert free_air_cfm(gauge_psi, diameter, 1.0) == pytest.approx(cfm, rel=0.01 if exact else 0.015)


@pytest.mark.parametrize(("gauge_psi", "diameter", "cfm"), cells("government"))
def test_orifice_passes_what_the_tip_sheet_prints(gauge_psi, diameter, cfm):
    coefficient = TABLES["government"]["coefficient"]
    small = diameter < 1 / 16

    assert free_air_cfm(gauge_psi, diameter, coefficient) == pytest.approx(cfm, rel=0.04 if small else 0.01)


@pytest.mark.parametrize("gauge_psi", [30.0, 90.0, 175.0])
def test_choked_flow_agrees_with_moss(gauge_psi):
    psia = gauge_psi + 14.7
    moss = TABLES["moss"]["constant"] * math.pi / 4.0 * 0.25**2 * psia / math.sqrt(530.0)  # [lb/s]

    flowing = flow.orifice_mass_flow(
        flow.disc_area(0.25 * INCH), psia * PASCAL_PER_PSI, 530.0 / 1.8, ATMOSPHERE
    )

    assert flowing / 0.45359237 == pytest.approx(moss, rel=0.005)


def test_leak_coefficient_lies_between_a_sharp_and_a_rounded_edge():
    edges = TABLES["coefficients"]

    assert edges["sharp_edged"] < flow.LEAK_COEFFICIENT < edges["well_rounded"]


@given(areas, pressures, temperatures, st.floats(0.0, 0.528))
def test_choked_flow_does_not_feel_the_downstream_pressure(area, pressure, temperature, ratio):
    choked = flow.orifice_mass_flow(area, pressure, temperature, 0.0)

    assert flow.orifice_mass_flow(area, pressure, temperature, pressure * ratio) == choked


@given(areas, pressures, temperatures, st.floats(0.0, 0.9999), st.floats(1e-5, 1.0))
def test_flow_falls_as_the_downstream_pressure_rises(area, pressure, temperature, ratio, share):
    nearer = ratio + share * (1.0 - ratio)

    before = flow.orifice_mass_flow(area, pressure, temperature, pressure * ratio)
    after = flow.orifice_mass_flow(area, pressure, temperature, pressure * nearer)

    assert 0.0 <= after <= before


@given(areas, pressures, temperatures, st.floats(0.0, 1.0), st.floats(1.001, 2.0))
def test_flow_rises_with_the_upstream_pressure(area, pressure, temperature, ratio, more):
    downstream = pressure * ratio

    assert flow.orifice_mass_flow(area, pressure * more, temperature, downstream) > (
        flow.orifice_mass_flow(area, pressure, temperature, downstream)
    )


def slope(ratio, step):
    """Slope of the flow with the pressure ratio from one side of it."""
    here = flow.orifice_mass_flow(1e-6, 1e6, 300.0, 1e6 * ratio)
    there = flow.orifice_mass_flow(1e-6, 1e6, 300.0, 1e6 * (ratio + step))
    return (there - here) / step


@pytest.mark.parametrize("joint", [flow.CRITICAL_RATIO, flow.LAMINAR_RATIO])
def test_flow_is_continuous_where_its_laws_meet(joint):
    below = flow.orifice_mass_flow(1e-6, 1e6, 300.0, 1e6 * (joint - 1e-12))
    above = flow.orifice_mass_flow(1e-6, 1e6, 300.0, 1e6 * (joint + 1e-12))

    assert above == pytest.approx(below, rel=1e-9)


@pytest.mark.parametrize("joint", [flow.CRITICAL_RATIO, flow.LAMINAR_RATIO])
def test_slope_of_the_flow_is_continuous_where_its_laws_meet(joint):
    steepest = abs(slope(0.999, 1e-7))

    assert slope(joint, -1e-7) == pytest.approx(slope(joint, 1e-7), abs=1e-3 * steepest)


def test_slope_of_the_flow_stays_finite_at_equal_pressures():
    assert abs(slope(1.0, -1e-9)) < 3.2 * abs(slope(0.999, -1e-9))
    assert abs(slope(1.0, -1e-9)) == pytest.approx(abs(slope(1.0, -1e-6)), rel=1e-2)


@given(areas, pressures, temperatures, pressures)
def test_nothing_flows_uphill(area, downstream, temperature, pressure):
    assume(downstream >= pressure)

    assert flow.orifice_mass_flow(area, pressure, temperature, downstream) == 0.0


@pytest.mark.parametrize("area", [0.0, -1e-6])
def test_nothing_flows_through_no_opening(area):
    assert flow.orifice_mass_flow(area, 8e5, 300.0, STANDARD_PRESSURE) == 0.0
    assert flow.liquid_mass_flow(area, 8e5, 998.0) == 0.0


@given(areas, pressures, temperatures, pressures, temperatures)
def test_two_way_flow_turns_its_sign_with_its_sides(area, p_a, t_a, p_b, t_b):
    forth = flow.two_way_mass_flow(area, p_a, t_a, p_b, t_b)

    assert flow.two_way_mass_flow(area, p_b, t_b, p_a, t_a) == -forth
    assert (forth > 0.0) == (p_a > p_b)


@given(areas, areas)
def test_two_openings_pass_less_than_the_smaller_one(area_1, area_2):
    both = flow.series_area(area_1, area_2)

    assert 0.0 < both <= min(area_1, area_2)
    assert both == pytest.approx(flow.series_area(area_2, area_1))
    assert flow.series_area(area_1, 0.0) == 0.0


def test_alike_openings_share_the_drop():
    assert flow.series_area(2e-6, 2e-6) == pytest.approx(2e-6 / math.sqrt(2.0))


def test_liquid_follows_bernoulli_above_the_joint_and_a_parabola_below():
    bernoulli = 1e-6 * math.sqrt(2.0 * 998.0 * 5e5)

    assert flow.liquid_mass_flow(1e-6, 5e5, 998.0) == pytest.approx(bernoulli)
    assert flow.liquid_mass_flow(1e-6, flow.LAMINAR_DROP * (1 - 1e-12), 998.0) == pytest.approx(
        flow.liquid_mass_flow(1e-6, flow.LAMINAR_DROP, 998.0)
    )
    assert flow.liquid_mass_flow(1e-6, -5e5, 998.0) == 0.0


@given(st.floats(0.0, 1e6), st.floats(1e-3, 1e5))
def test_more_drop_drives_more_liquid(drop, more):
    assert flow.liquid_mass_flow(1e-6, drop + more, 998.0) > flow.liquid_mass_flow(1e-6, drop, 998.0)
