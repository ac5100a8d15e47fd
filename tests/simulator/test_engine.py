"""The engine itself: order of the method, events inside the step, save and resume, balances."""

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from simulator import air, engine
from simulator.spaces import pressures
from simulator.state import ACTIVE, STATES, Hands, State
from simulator.engine.method import Task, Workspace, jacobian, modes_of, right_hand_side, step
from simulator.events import Watch
from simulator.faults import Injected
from simulator.machine import parameters
from simulator.units import convert

PUMPING = Hands(1.0, 1.0, 0.0, 0.0, 0.0, 1.0)
SHOP_AT_WORK = Hands(1.0, 1.0, 1.0, 0.0, 0.0, 1.0)


def psi(value):
    return convert(value, "psi", "Pa")


@pytest.fixture(scope="module")
def machine(rig, faults):
    return parameters(rig, faults)


def _workspace():
    return Workspace(
        np.zeros((6, STATES)), np.zeros(STATES), np.zeros(STATES), np.zeros(STATES), np.zeros(STATES),
        np.zeros((STATES, STATES)), np.zeros((7, 7)), np.zeros(7, np.int64), np.zeros(9), np.zeros(9),
    )  # fmt: skip


def _steps_of(size, count, start, p):
    """Take `count` steps of a fixed size from a smooth state and return the end state."""
    y, modes = np.array(start.state), start.modes
    task = Task(p, PUMPING, 1e9, 0, math.nan, 1e-4, False)
    for _ in range(count):
        w = _workspace()
        right_hand_side(y, modes, PUMPING, p, w.f0)
        jacobian(y, w.f0, modes, PUMPING, p, w.rhs, w.jacobian)
        step(y, size, modes, task, w)
        y = w.new.copy()
    return y


def test_the_method_converges_with_order_four(machine):
    running = engine.advance(machine, engine.at_rest(machine, psi(20)), PUMPING, 40.0).end
    exact = _steps_of(0.5, 128, running, machine)

    error = {n: np.abs(_steps_of(64.0 / n, n, running, machine) - exact) for n in (2, 16)}

    for name in ("receiver_temperature", "head_line_mass", "head_line_temperature"):
        i = State._fields.index(name)
        assert math.log2(error[2][i] / error[16][i]) / 3 > 3.8, name


def test_grouped_columns_of_the_jacobian_equal_those_taken_one_by_one(machine):
    for hands, start in ((SHOP_AT_WORK, psi(100)), (Hands(0.0, 1.0, 1.0, 1.0, 1.0, 1.0), psi(60))):
        snapshot = engine.advance(machine, engine.at_rest(machine, start), hands, 45.0).end
        y, modes = np.array(snapshot.state), modes_of(np.array(snapshot.modes))
        y[2] = 0.05
        f0, work, grouped = np.zeros(STATES), np.zeros(STATES), np.zeros((STATES, STATES))
        right_hand_side(y, modes, hands, machine, f0)
        jacobian(y, f0, modes, hands, machine, work, grouped)

        for j in range(ACTIVE):
            nudged, change = y.copy(), 1e-5 * max(abs(y[j]), 1e-4)
            nudged[j] += change
            right_hand_side(nudged, modes, hands, machine, work)
            column = (work - f0) / change
            scale = np.abs(column).max() + 1e-9
            assert np.allclose(grouped[:, j], column, atol=1e-2 * scale), j


def test_cut_out_is_found_at_its_pressure_to_a_thousandth_of_a_psi(machine, rig):
    segment = engine.advance(machine, engine.at_rest(machine, psi(90)), PUMPING, 600.0, Watch.CONTACTS_OPEN)

    assert segment.reached
    gauge = pressures(segment.end.state, machine)[0] - air.STANDARD_PRESSURE
    assert abs(gauge - rig.switch.cut_out) < psi(0.001)


def test_a_saved_and_resumed_run_equals_an_unbroken_one(machine):
    start = engine.at_rest(machine, psi(94))
    unbroken = engine.advance(machine, start, SHOP_AT_WORK, 900.0, tolerance=1e-8).end

    snapshot = start
    for until in (0.3, 17.0, 142.0, 300.0, 777.7, 900.0):
        snapshot = engine.advance(machine, snapshot, SHOP_AT_WORK, until, tolerance=1e-8).end

    assert np.allclose(
        np.array(snapshot.state)[:ACTIVE], np.array(unbroken.state)[:ACTIVE], rtol=2e-6, atol=1e-9
    )
    assert snapshot.modes == unbroken.modes


def test_the_same_run_gives_the_same_numbers_to_the_digit(machine):
    runs = [engine.advance(machine, engine.at_rest(machine, psi(94)), SHOP_AT_WORK, 400.0) for _ in range(2)]

    assert np.array_equal(runs[0].trace.values, runs[1].trace.values)
    assert runs[0].end == runs[1].end


def test_a_run_cannot_go_backwards_or_to_no_time(machine):
    snapshot = engine.advance(machine, engine.at_rest(machine, 0.0), PUMPING, 5.0).end

    for until in (4.0, math.nan, math.inf):
        with pytest.raises(ValueError, match="cannot run"):
            engine.advance(machine, snapshot, PUMPING, until)


def _air_mass(state: State) -> float:
    return state.receiver_mass + state.head_line_mass + state.shop_line_mass


SLUGS = (
    "ring-wear", "intake-reed-leak", "discharge-reed-leak", "intake-filter-plugged", "check-valve-seep",
    "unloader-stuck-shut", "unloader-leaks-running", "switch-diaphragm-leak", "drain-leaks", "relief-seat-leak",
    "belt-slack", "extension-cord-undersized", "motor-low-on-high", "start-capacitor-failed", "downstream-leaks",
    "nofault-demand",
)  # fmt: skip


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    slug=st.sampled_from(SLUGS),
    severity=st.floats(0.0, 1.0),
    gauge=st.floats(0.0, 130.0),
    deeds=st.lists(
        st.tuples(st.floats(0.0, 240.0), st.tuples(*[st.sampled_from([0.0, 1.0])] * 6)),
        min_size=1,
        max_size=5,
    ),
)
def test_laws_hold_on_every_fault_and_any_order_of_hands(rig, faults, slug, severity, gauge, deeds):
    p = parameters(rig, faults, [Injected(slug, severity if faults[slug].graded else None)])
    start = snapshot = engine.at_rest(p, psi(gauge))

    for seconds, hands in deeds:
        segment = engine.advance(p, snapshot, Hands(*hands), snapshot.time + seconds)
        snapshot = segment.end

        # absolute pressures above zero, nothing that is not a number, no cold below the room by expansion alone
        assert min(pressures(snapshot.state, p)) > 0.0
        assert np.isfinite(segment.trace.values).all()
        assert segment.trace.channel("receiver_temperature").min() > 150.0
        # motor and flywheel never turn backwards or past synchronous speed
        assert -1e-3 <= snapshot.state.motor_speed <= p.motor.synchronous_speed * 1.001

    # mass: what is in the machine is what was there, plus what came in, less what went out
    change = _air_mass(snapshot.state) - _air_mass(start.state)
    balance = snapshot.state.air_in - snapshot.state.air_out
    assert abs(change - balance) < 1e-9 * (1.0 + snapshot.state.air_in)
    # energy: the shaft never gives more than the line took, and the line's energy only grows
    assert 0.0 <= snapshot.state.shaft_energy <= snapshot.state.electric_energy + 1e-6


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    slug=st.sampled_from(
        ["ring-wear", "intake-reed-leak", "discharge-reed-leak", "switch-diaphragm-leak", "drain-leaks"]
    ),
    severities=st.tuples(st.floats(0.0, 0.6), st.floats(0.0, 0.6)).filter(
        lambda pair: abs(pair[0] - pair[1]) > 0.02
    ),
)
def test_a_larger_leak_never_pumps_up_faster(rig, faults, slug, severities):
    times = []
    for severity in sorted(severities):
        p = parameters(rig, faults, [Injected(slug, severity)])
        segment = engine.advance(p, engine.at_rest(p, psi(90)), PUMPING, 3600.0, Watch.CONTACTS_OPEN)
        times.append(segment.end.time)

    assert times[0] <= times[1] + 0.05
