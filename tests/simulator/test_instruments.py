"""The receiver's gauge and other things seen at rest, by the parameters that faults change."""

import math

import numpy as np
import pytest

from simulator import instruments as seen
from simulator.units import convert
from tests.simulator.any_machine import RIGS, SINGLE_PHASE, THREE_PHASE, machine_of, outcome_of

PSI = convert(1.0, "psi", "Pa")
TIMES = np.linspace(0.0, 200.0, 401)
FALLING = np.linspace(120.0, 100.0, 401) * PSI


def gauge(state="ok", offset_psi=0.0):
    return {"gauge.tank.state": state, "gauge.tank.offset_psi": offset_psi}


def shown(parameters, pressures=FALLING):
    return seen.receiver_gauge(parameters, TIMES, pressures, stuck_at=90.0 * PSI)


def test_a_sound_gauge_shows_what_there_is():
    assert np.array_equal(shown(gauge()), FALLING)


@pytest.mark.parametrize("offset_psi", [-30.0, 5.0, 30.0])
def test_a_shifted_needle_is_off_by_the_same_everywhere(offset_psi):
    assert shown(gauge(offset_psi=offset_psi)) == pytest.approx(FALLING + offset_psi * PSI)


def test_a_needle_that_reads_low_rests_on_its_pin_with_air_inside():
    assert np.all(shown(gauge(offset_psi=-30.0), np.full(401, 20.0 * PSI)) == 0.0)


def test_a_needle_that_reads_high_shows_pressure_with_none_inside():
    assert shown(gauge(offset_psi=10.0), np.zeros(401)) == pytest.approx(10.0 * PSI)


def test_a_stuck_needle_stays():
    assert np.all(shown(gauge("stuck")) == 90.0 * PSI)


def test_a_choked_needle_lags_and_gets_there():
    step = np.where(TIMES < 1.0, 120.0, 100.0) * PSI
    after = shown(gauge("snubbed"), step)
    one_lag = float(np.interp(1.0 + seen.SNUBBED_LAG, TIMES, after))

    assert after[0] == 120.0 * PSI
    assert one_lag == pytest.approx((100.0 + 20.0 / math.e) * PSI, rel=0.005)
    assert after[-1] == pytest.approx(100.0 * PSI, rel=0.005)


@pytest.mark.parametrize("slug", RIGS)
def test_a_stuck_gauge_is_found_by_a_proven_one(slug):
    assert outcome_of(slug, "reference-gauge", gauge__tank__state="stuck") == "fitted-does-not-move"


@pytest.mark.parametrize("slug", RIGS)
def test_the_proven_gauge_tells_which_way_the_fitted_one_is_off(slug):
    assert outcome_of(slug, "reference-gauge", gauge__tank__offset_psi=12.0) == "fitted-reads-high"
    assert outcome_of(slug, "reference-gauge", gauge__tank__offset_psi=-12.0) == "fitted-reads-low"


@pytest.mark.parametrize("slug", [*SINGLE_PHASE, *THREE_PHASE])
def test_a_motor_matched_by_its_amperes_shows_them_at_half_the_volts(slug):
    """15 A at 115 V is 1 to 1.5 hp and 15 A at 230 V about 3 hp (common practice, no source)."""
    motor = RIGS[slug].electric_motor
    plate = seen.motor_plate(machine_of(slug, motor__size_factor=0.5).values, motor)

    assert plate.current == motor.full_load_current
    assert plate.voltage == motor.rated_voltage / 2.0
    assert plate.power == motor.rated_power / 2.0


@pytest.mark.parametrize("slug", THREE_PHASE)
def test_shorted_turns_show_between_two_pairs_of_lines_alike(slug):
    motor = RIGS[slug].electric_motor
    one, two, three = seen.winding_ohms(machine_of(slug, motor__shorted_turns_pct=20.0).values, motor)

    assert one == two == pytest.approx(0.9 * three)
    assert three == motor.main_winding_resistance
