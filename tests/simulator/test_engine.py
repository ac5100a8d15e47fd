"""The engine itself: order of the method, its Jacobian, events inside the step, save and resume."""

import math

import numpy as np
import pytest

from simulator import engine
from simulator.engine.method import Task, Workspace, jacobian, modes_of, right_hand_side, step
from simulator.engine.occasions import MARGINS
from simulator.engine.record import record
from simulator.events import Watch
from simulator.machine import parameters
from simulator.rig import load_rigs
from simulator.spaces import interstage_pressure, pressures
from simulator.state import ACTIVE, CORE, STATES, Hands, State
from simulator.units import convert

RIGS = load_rigs()
ON_EVERY_RIG = pytest.mark.parametrize("slug", RIGS)
PUMPING = Hands(lever_on=1.0)
SHOP_AT_WORK = Hands(lever_on=1.0, outlet_open=1.0)


def psi(value):
    return convert(value, "psi", "Pa")


def machine_of(slug, faults):
    return parameters(RIGS[slug], faults)


@pytest.fixture(scope="module")
def machine(rig, faults):
    return parameters(rig, faults)


def _workspace():
    return Workspace(
        np.zeros((6, STATES)), np.zeros(STATES), np.zeros(STATES), np.zeros(STATES), np.zeros(STATES),
        np.zeros((STATES, STATES)), np.zeros((CORE, CORE)), np.zeros(CORE, np.int64), np.zeros(STATES),
        np.zeros(MARGINS), np.zeros(MARGINS),
    )  # fmt: skip


def _steps_of(size, count, start, p):
    """Take `count` steps of a fixed size from a smooth state and return the end state."""
    y, modes, laid = np.array(start.state), start.modes, record(p)
    task = Task(laid, PUMPING, 1e9, 0, math.nan, 1e-4, False, 1e9)
    for _ in range(count):
        w = _workspace()
        jacobian(y, modes, PUMPING, laid, w.f0, w.jacobian)
        step(y, size, modes, task, w)
        y = w.new.copy()
    return y


@pytest.mark.parametrize("slug", ["twin-60", "two-stage-80"])
def test_the_method_converges_with_order_four(slug, faults):
    p = machine_of(slug, faults)
    running = engine.advance(p, engine.at_rest(p, psi(60)), PUMPING, 40.0).end
    exact = _steps_of(0.25, 128, running, p)

    # Shorter steps than these come down to the differences by which the Jacobian is found.
    error = {n: np.abs(_steps_of(32.0 / n, n, running, p) - exact) for n in (1, 4)}

    for name in ("receiver_temperature", "head_line_mass", "head_line_temperature"):
        i = State._fields.index(name)
        assert math.log2(error[1][i] / error[4][i]) / 2 > 3.5, name


def _smooth_points(rig, faults):
    """A machine at work, and the same thrown off a moment ago, its valves open: away from every kink."""
    p = parameters(rig, faults)
    pumping = engine.advance(p, engine.at_rest(p, 0.9 * rig.switch.cut_in), SHOP_AT_WORK, 45.0).end
    off = engine.Snapshot(pumping.time, pumping.state, pumping.modes._replace(contacts_closed=0.0))
    thrown = Hands(outlet_open=1.0, drain_open=1.0, head_vent_open=1.0)
    coasting = engine.advance(p, off, thrown, off.time + 0.2).end
    return p, ((SHOP_AT_WORK, pumping), (thrown, coasting))


@ON_EVERY_RIG
@pytest.mark.parametrize(
    ("first", "last"),
    [(0, CORE), (CORE, ACTIVE)],
    ids=["core", "followers"],
)
def test_every_column_of_the_jacobian_equals_plain_differences(slug, faults, first, last):
    p, points = _smooth_points(RIGS[slug], faults)
    laid = record(p)
    for hands, snapshot in points:
        y, modes = np.array(snapshot.state), modes_of(np.array(snapshot.modes))
        f0, ours, nudged_rates = np.zeros(STATES), np.zeros((STATES, STATES)), np.zeros(STATES)
        jacobian(y, modes, hands, laid, f0, ours)

        for j in range(first, last):
            nudged, change = y.copy(), 1e-6 * max(abs(y[j]), 1e-4)
            nudged[j] += change
            right_hand_side(nudged, modes, hands, laid, nudged_rates)
            column = ((nudged_rates - f0) / change)[:ACTIVE]
            assert ours[:ACTIVE, j] == pytest.approx(column, abs=1e-3 * np.abs(column).max() + 1e-7), (
                State._fields[j]
            )


def test_the_record_in_memory_holds_every_figure_of_the_machine(machine):
    laid = record(machine)

    assert laid["pump"]["first_1"]["swept_volume"] == machine.pump.first_1.swept_volume
    assert tuple(laid["pump"]["second_1"]["averages"]["leak_out"]) == machine.pump.second_1.averages.leak_out
    assert laid["intake"]["humidity_ratio"] == machine.intake.humidity_ratio


@ON_EVERY_RIG
def test_cut_out_is_found_at_its_pressure_to_a_thousandth_of_a_psi(slug, faults):
    rig, p = RIGS[slug], machine_of(slug, faults)
    watch = Watch.UNLOADED if rig.has_engine else Watch.CONTACTS_OPEN

    segment = engine.advance(p, engine.at_rest(p, 0.9 * rig.switch.cut_in), PUMPING, 900.0, watch)

    assert segment.reached
    # The switch feels the receiver through its nipple, a breath behind; the pilot valve sits on it.
    felt = segment.end.state.sensed_pressure
    if rig.has_engine:
        felt = pressures(segment.end.state, p)[0] - p.intake.ambient_pressure
    assert abs(felt - rig.switch.cut_out) < psi(0.001)


def test_between_two_steps_the_machine_is_where_a_finer_run_finds_it(machine):
    """Samples within a step come from the dense output; the engine stops at no round time of its own."""
    at_end = engine.advance(machine, engine.at_rest(machine, psi(60)), PUMPING, 30.0)
    seen = engine.advance(machine, at_end.end, PUMPING, 60.0).trace

    for i in np.linspace(1, seen.time.size - 2, 12).astype(int):
        fine = engine.advance(machine, at_end.end, PUMPING, float(seen.time[i]), tolerance=1e-8).end
        gauge = pressures(fine.state, machine)[0] - machine.intake.ambient_pressure
        assert seen.channel("receiver_gauge_pressure")[i] == pytest.approx(gauge, abs=20.0)
        assert seen.channel("head_line_temperature")[i] == pytest.approx(
            seen.channel("head_line_temperature")[i - 1], abs=5.0
        )


@ON_EVERY_RIG
def test_a_saved_and_resumed_run_equals_an_unbroken_one(slug, faults):
    rig, p = RIGS[slug], machine_of(slug, faults)
    start = engine.at_rest(p, rig.switch.cut_in)
    unbroken = engine.advance(p, start, SHOP_AT_WORK, 400.0, tolerance=1e-7).end

    snapshot = start
    for until in (0.3, 17.0, 142.0, 300.0, 377.7, 400.0):
        snapshot = engine.advance(p, snapshot, SHOP_AT_WORK, until, tolerance=1e-7).end

    assert np.allclose(
        np.array(snapshot.state)[:ACTIVE], np.array(unbroken.state)[:ACTIVE], rtol=2e-5, atol=1e-7
    )
    assert snapshot.modes == unbroken.modes


@ON_EVERY_RIG
def test_the_same_run_gives_the_same_numbers_to_the_digit(slug, faults):
    p = machine_of(slug, faults)
    start = engine.at_rest(p, RIGS[slug].switch.cut_in)

    runs = [engine.advance(p, start, SHOP_AT_WORK, 400.0) for _ in range(2)]

    assert np.array_equal(runs[0].trace.values, runs[1].trace.values)
    assert runs[0].end == runs[1].end


def test_a_run_with_nothing_recorded_ends_in_the_same_place(machine):
    start = engine.at_rest(machine, psi(94))

    ends = [engine.advance(machine, start, SHOP_AT_WORK, 400.0, recording=kept).end for kept in (True, False)]

    assert ends[0] == ends[1]


def test_a_run_cannot_go_backwards_or_to_no_time(machine):
    snapshot = engine.advance(machine, engine.at_rest(machine, 0.0), PUMPING, 5.0).end

    for until in (4.0, math.nan, math.inf):
        with pytest.raises(ValueError, match="cannot run"):
            engine.advance(machine, snapshot, PUMPING, until)


@ON_EVERY_RIG
def test_a_machine_at_rest_with_nobody_near_it_stays_as_it_is_but_for_its_leaks(slug, faults):
    rig, p = RIGS[slug], machine_of(slug, faults)
    start = engine.at_rest(p, rig.switch.cut_in)

    end = engine.advance(p, start, Hands(), 3600.0).end

    fallen = pressures(start.state, p)[0] - pressures(end.state, p)[0]
    assert 0.0 < fallen < psi(6.0)
    # A pilot valve at rest stands loaded; every other unloader lets out what seeps past the check valve.
    assert pressures(end.state, p)[1] < p.intake.ambient_pressure + psi(70.0 if rig.has_engine else 1.0)
    assert interstage_pressure(end.state, p) < p.intake.ambient_pressure + psi(2.0)
    assert end.state.motor_speed == 0.0
    assert end.modes == start.modes
