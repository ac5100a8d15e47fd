"""Instruments err: the same for the same key, otherwise for another, and never more than their accuracy.

Accuracies: dial 2 % and proven gauge 1 % of a 200 psi span, clamp 2 %, volts 1 %, thermometer 3 °C, stopwatch
1 s, eye on a moving needle 3 psi (common practice, no source).
"""

import numpy as np
import pytest

from simulator.checks import spread, take
from tests.simulator.any_machine import RIGS, found_on, machine_of
from tests.simulator.at_the_machine import PSI, found, machine


@pytest.mark.parametrize("check", ["amps-run", "pump-up", "tank-gauge", "head-temps", "cut-in-out"])
def test_the_same_key_gives_the_same_readings(check):
    assert found(machine(), check, key="7") == found(machine(), check, key="7")


@pytest.mark.parametrize("check", ["amps-run", "pump-up", "tank-gauge", "head-temps", "cut-in-out"])
def test_another_key_gives_other_readings_and_the_same_outcome(check):
    one, other = found(machine(), check, key="7"), found(machine(), check, key="8")

    assert one.readings != other.readings
    assert one.outcome == other.outcome


def many(read):
    """Readings of four hundred instruments."""
    return np.array([read(spread.Instruments(np.random.default_rng(n))) for n in range(400)])


@pytest.mark.parametrize(
    ("read", "true", "most"),
    [
        (lambda i: i.dial(100.0 * PSI), 100.0 * PSI, 4.5 * PSI),
        (lambda i: i.dial(100.0 * PSI, moving=True), 100.0 * PSI, 7.0 * PSI),
        (lambda i: i.reference(100.0 * PSI), 100.0 * PSI, 2.5 * PSI),
        (lambda i: i.fitted_dial(100.0 * PSI, moving=True), 100.0 * PSI, 3.0 * PSI),
        (lambda i: i.clamp(13.8), 13.8, 0.02 * 13.8),
        (lambda i: i.volts(230.0), 230.0, 2.3),
        (lambda i: i.thermometer(400.0), 400.0, 3.0),
        (lambda i: i.stopwatch(60.0), 60.0, 1.0),
        (lambda i: i.tachometer(1051.0), 1051.0, 1.1),
        (lambda i: i.capacitance(297e-6), 297e-6, 3e-6),
    ],
)
def test_an_instrument_keeps_its_accuracy_and_uses_it(read, true, most):
    errors = many(read) - true

    assert np.max(np.abs(errors)) <= most + 1e-9
    assert np.std(errors) > 0.2 * most
    assert abs(np.mean(errors)) < 0.1 * most


def test_two_readings_of_one_gauge_share_its_error():
    """A fall of 2 psi can be seen on a gauge that is 2 psi out."""
    differences = many(lambda i: i.reference(120.0 * PSI) - i.reference(118.0 * PSI))

    assert np.all(np.abs(differences - 2.0 * PSI) <= 1.0 * PSI + 1e-9)


def test_a_gauge_without_pressure_rests_on_its_pin():
    assert np.all(many(lambda i: i.dial(0.0)) == 0.0)


def test_taking_a_check_draws_nothing_from_outside():
    np.random.default_rng().normal()

    assert take(machine(), "tank-gauge", key="1") == take(machine(), "tank-gauge", key="1")


@pytest.mark.parametrize("slug", RIGS)
def test_an_ultrasonic_gauge_reads_a_wall_within_a_tenth_of_a_millimetre(slug):
    true = RIGS[slug].receiver.wall_new
    shown = [
        next(
            r.value
            for r in found_on(machine_of(slug), "tank-survey", key=str(n)).readings
            if r.name == "thinnest"
        )
        for n in range(12)
    ]

    assert max(abs(value - true) for value in shown) <= 0.1e-3
    assert len(set(shown)) > 6
