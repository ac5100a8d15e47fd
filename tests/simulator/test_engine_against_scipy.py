"""The engine against SciPy's solvers on the same compiled right-hand side, the switching law stated twice."""

import numpy as np
import pytest

from simulator import engine
from simulator.benchmark.peer import SMALL, Peer
from simulator.state import Hands
from simulator.faults import Injected, load_faults
from simulator.machine import parameters
from simulator.rig import load_rigs

RIG = load_rigs()["twin-60"]
FAULTS = load_faults()
PUMPING = Hands(1.0, 1.0, 0.0, 0.0, 0.0, 1.0)
STOPPED = Hands(0.0, 1.0, 0.0, 0.0, 0.0, 1.0)
WORKING = Hands(1.0, 1.0, 1.0, 0.0, 0.0, 1.0)
TIGHT = 1e-7
PSI = 6894.757293168


def running_near_cut_out(p):
    """A machine that has pumped from 110 psi for ten seconds."""
    start = engine.at_rest(p, 94.0 * PSI)
    return engine.advance(p, start, PUMPING, 10.0, tolerance=TIGHT).end


def switched_off(snapshot):
    """The same with the lever thrown: its contacts open."""
    return engine.Snapshot(
        snapshot.time, snapshot.state, snapshot.modes._replace(contacts_closed=0.0), snapshot.step
    )


def healthy_pump_up():
    p = parameters(RIG, FAULTS)
    return p, engine.at_rest(p, 0.0), PUMPING, np.array([0.2, 0.6, 2.0, 30.0, 120.0, 300.0, 360.0])


def stop_and_vent():
    p = parameters(RIG, FAULTS)
    start = switched_off(running_near_cut_out(p))
    return p, start, STOPPED, start.time + np.array([0.05, 0.2, 0.5, 1.0, 3.0, 20.0])


def leaking_tank():
    p = parameters(RIG, FAULTS, [Injected("drain-leaks", 0.8)])
    return p, engine.at_rest(p, 100.0 * PSI), PUMPING, np.array([5.0, 60.0, 150.0, 400.0])


def seeping_check_valve():
    p = parameters(RIG, FAULTS, [Injected("check-valve-seep", 1.0)])
    start = switched_off(running_near_cut_out(p))
    return p, start, STOPPED, start.time + np.array([0.5, 5.0, 60.0])


def states_of_engine(p, start, hands, times, tolerance):
    """States at the times, one stretch after the other, and everything that happened."""
    states, events = [], []
    for time in times:
        segment = engine.advance(p, start, hands, float(time), tolerance=tolerance, recording=False)
        start = segment.end
        states.append(start.state)
        events += segment.trace.events
    return np.array(states), events


def distance(states, others):
    """Largest difference of any state, in parts of what it is and what counts as small."""
    return float(np.max(np.abs(states - others) / (SMALL + np.abs(others))))


CASES = pytest.mark.parametrize("case", [healthy_pump_up, stop_and_vent, leaking_tank, seeping_check_valve])


@CASES
@pytest.mark.parametrize("method", ["LSODA", "BDF"])
def test_engine_follows_the_machine_as_scipy_does(case, method):
    p, start, hands, times = case()
    peer = Peer(p, hands).run(start, float(times[-1]) + 1e-6, method, 1e-8, times)

    states, events = states_of_engine(p, start, hands, times, TIGHT)

    assert distance(states, peer.states) < 2e-5
    assert [event.what for event in events] == [event.what for event in peer.events]
    assert [event.t for event in events] == pytest.approx([event.t for event in peer.events], abs=1e-3)


@CASES
def test_usual_tolerance_stays_near_the_tight_one(case):
    p, start, hands, times = case()

    usual, usual_events = states_of_engine(p, start, hands, times, engine.TOLERANCE)
    tight, tight_events = states_of_engine(p, start, hands, times, TIGHT)

    assert distance(usual, tight) < 2e-3
    assert [event.what for event in usual_events] == [event.what for event in tight_events]


def test_ten_minutes_of_cycling_end_where_scipy_ends():
    p = parameters(RIG, FAULTS)
    start = engine.at_rest(p, 110.0 * PSI)

    ours = engine.advance(p, start, WORKING, 600.0, tolerance=TIGHT, recording=False)
    theirs = Peer(p, WORKING).run(start, 600.0, "LSODA", 1e-9)

    assert distance(np.array(ours.end.state), theirs.state) < 2e-5
    assert [event.t for event in ours.trace.events] == pytest.approx(
        [event.t for event in theirs.events], abs=1e-3
    )


def test_error_falls_with_the_tolerance():
    p = parameters(RIG, FAULTS)
    start = engine.at_rest(p, 110.0 * PSI)

    def last_event(tolerance):
        run = engine.advance(p, start, WORKING, 600.0, tolerance=tolerance, recording=False)
        return run.trace.events[-1].t

    errors = [abs(last_event(tolerance) - last_event(1e-8)) for tolerance in (1e-3, 1e-5, 1e-7)]

    assert errors == sorted(errors, reverse=True)
    assert errors[2] < 0.01 * errors[0]
