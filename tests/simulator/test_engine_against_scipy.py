"""The engine against SciPy's solvers on the same compiled right-hand side, the switching law stated twice."""

from dataclasses import dataclass

import numpy as np
import pytest

from simulator import engine
from simulator.benchmark.peer import SMALL, GaveUp, Peer
from simulator.faults import Injected, load_faults
from simulator.machine import parameters
from simulator.rig import load_rigs
from simulator.state import ACTIVE, Hands
from simulator.units import convert

RIGS = load_rigs()
FAULTS = load_faults()
PUMPING = Hands(lever_on=1.0)
WORKING = Hands(lever_on=1.0, outlet_open=1.0)
BLED = Hands(outlet_open=1.0, drain_open=1.0, head_vent_open=1.0)
TIGHT = 1e-7
PEER_TIGHT = 1e-8
# Of any state, in parts of what it is and what counts as small; a few hundredths of a second after an event, where a
# line vents, the tenth of a millisecond between the two solvers' events shows.
CLOSE = 5e-4
SAME_TIME = 1e-3  # [s]


def psi(value):
    return convert(value, "psi", "Pa")


@dataclass(frozen=True)
class Case:
    """A machine, the hands on it, and what must happen among other things."""

    rig: str
    hands: Hands
    start_psi: float | None  # receiver; none for midway between cut-in and cut-out
    seconds: float
    happens: tuple[str, ...] = ()
    fault: tuple[Injected, ...] = ()
    method: str = "LSODA"

    def at_start(self):
        rig = RIGS[self.rig]
        p = parameters(rig, FAULTS, self.fault)
        midway = (rig.switch.cut_in + rig.switch.cut_out) / 2
        return p, engine.at_rest(p, midway if self.start_psi is None else psi(self.start_psi))


def _sound(slug):
    """The shop draws air; a motor starts and stops, an engine loads and unloads."""
    happens = (
        ("unloader-open", "unloader-shut") if RIGS[slug].has_engine else ("contacts-closed", "contacts-open")
    )
    return Case(slug, WORKING, None, 600.0, happens)


SOUND = {slug: _sound(slug) for slug in RIGS}
FILLING = {slug: Case(slug, PUMPING, 0.0, 120.0) for slug in RIGS}
ILL = {
    "hp-valve leak": Case(
        "two-stage-80", PUMPING, 140.0, 20.0,
        ("interstage-relief-popped", "interstage-relief-reseated"),
        (Injected("hp-intake-valve-leak", 1.0, "hp1"),),
    ),
    "single-phasing": Case(
        "w3-80", PUMPING, 100.0, 120.0, ("protector-tripped",), (Injected("single-phasing"),)
    ),
    # A stalled motor creeps to rest when its protector opens: LSODA does not get past that.
    "unloader stuck shut": Case(
        "twin-60", WORKING, None, 425.0, ("protector-tripped",), (Injected("unloader-stuck-shut", 1.0),), "BDF"
    ),
    "hydraulic unloader stuck shut": Case(
        "two-stage-120", WORKING, None, 600.0, ("contacts-open",), (Injected("hydraulic-unloader-stuck-shut", 1.0),)
    ),
    "pilot never unloads": Case(
        "engine-30", PUMPING, 150.0, 400.0, ("relief-popped", "relief-reseated"), (Injected("pilot-never-unloads"),)
    ),
    "pilot drifted": Case("engine-30", WORKING, None, 400.0, ("unloader-open",), (Injected("pilot-drifted", 0.7),)),
    "engine that cannot turn over": Case("engine-30", PUMPING, 0.0, 60.0, (), (Injected("pump-seized"),)),
    "welded contacts": Case(
        "twin-60", PUMPING, 120.0, 600.0, ("relief-popped", "relief-reseated"), (Injected("switch-contacts-welded"),)
    ),
    "relief plugged, contacts welded": Case(
        "single-20", PUMPING, 120.0, 400.0, ("over-pressure",),
        (Injected("switch-contacts-welded"), Injected("relief-plugged-off")),
    ),
    "stop valve closed": Case(
        "two-stage-80", PUMPING, 0.0, 60.0, ("joint-blows",), (Injected("stop-valve-closed"),)
    ),
    "stop valve closed under a head relief": Case(
        "two-stage-120", PUMPING, 0.0, 60.0, ("head-relief-popped", "head-relief-reseated"),
        (Injected("stop-valve-closed"),),
    ),
    "start capacitor dead": Case(
        "twin-60", PUMPING, 80.0, 60.0, ("protector-tripped",), (Injected("start-capacitor-failed", 1.0),)
    ),
    "check valve missing": Case("metric-100", WORKING, None, 300.0, (), (Injected("check-valve-missing"),)),
    "overload defeated on a seized pump": Case(
        "w3-80", PUMPING, 0.0, 900.0, ("winding-burnt",), (Injected("pump-seized"), Injected("overload-defeated", 1.0))
    ),
}  # fmt: skip


def _states_of_engine(p, start, hands, times, tolerance):
    """States at the times, one stretch after the other, and everything that happened."""
    states, events = [], []
    for time in times:
        segment = engine.advance(p, start, hands, float(time), tolerance=tolerance, recording=False)
        start = segment.end
        states.append(start.state)
        events += segment.trace.events
    return np.array(states), events


def _distance(states, others):
    """Largest difference of any state, in parts of what it is and what counts as small."""
    return float(np.max(np.abs(states - others) / (SMALL + np.abs(others))))


def _assert_same_course(p, start, hands, seconds, method="LSODA"):
    times = start.time + seconds * np.array([0.001, 0.01, 0.05, 0.2, 0.4, 0.7, 1.0])
    peer, end = Peer(p, hands), float(times[-1]) + 1e-6
    try:
        theirs = peer.run(start, end, method, PEER_TIGHT, times)
    except GaveUp:  # LSODA may hunt for ever about the speed of nothing, where a pump comes to rest
        theirs = peer.run(start, end, "BDF", PEER_TIGHT, times)

    ours, events = _states_of_engine(p, start, hands, times, TIGHT)

    assert [event.what for event in events] == [event.what for event in theirs.events]
    assert [event.t for event in events] == pytest.approx([event.t for event in theirs.events], abs=SAME_TIME)
    assert _distance(ours, theirs.states) < CLOSE
    return {event.what for event in events}


@pytest.mark.parametrize("slug", RIGS)
@pytest.mark.parametrize("cases", [SOUND, FILLING], ids=["shop at work", "filling"])
def test_engine_follows_every_rig_as_scipy_does(slug, cases):
    case = cases[slug]
    p, start = case.at_start()

    happened = _assert_same_course(p, start, case.hands, case.seconds)

    assert happened >= set(case.happens)


@pytest.mark.parametrize("slug", RIGS)
def test_engine_follows_the_stop_and_the_bleeding_of_every_rig(slug):
    p, start = SOUND[slug].at_start()
    running = engine.advance(p, start, WORKING, 60.0, tolerance=TIGHT).end
    thrown = engine.Snapshot(running.time, running.state, running.modes._replace(contacts_closed=0.0))

    _assert_same_course(p, thrown, BLED, 120.0)


@pytest.mark.parametrize("name", ILL)
def test_engine_follows_sick_machines_as_scipy_does(name):
    case = ILL[name]
    p, start = case.at_start()

    happened = _assert_same_course(p, start, case.hands, case.seconds, case.method)

    assert happened >= set(case.happens)


@pytest.mark.parametrize("slug", ["twin-60", "two-stage-120", "engine-30"])
def test_a_second_method_of_another_family_agrees(slug):
    """Backward differences (BDF) share neither code nor coefficients with LSODA's Fortran."""
    case = FILLING[slug]
    p, start = case.at_start()

    _assert_same_course(p, start, case.hands, 60.0, "BDF")


@pytest.mark.parametrize("slug", RIGS)
def test_usual_tolerance_stays_near_the_tight_one(slug):
    case = SOUND[slug]
    p, start = case.at_start()

    usual = engine.advance(p, start, case.hands, case.seconds, recording=False)
    tight = engine.advance(p, start, case.hands, case.seconds, tolerance=TIGHT, recording=False)

    assert _distance(np.array(usual.end.state), np.array(tight.end.state)) < 5e-3
    assert [event.what for event in usual.trace.events] == [event.what for event in tight.trace.events]
    assert [event.t for event in usual.trace.events] == pytest.approx(
        [event.t for event in tight.trace.events], abs=1.5
    )


def test_without_the_totals_scipy_runs_the_same_machine():
    p, start = FILLING["twin-60"].at_start()

    whole = Peer(p, PUMPING).run(start, 60.0, "LSODA", PEER_TIGHT)
    lean = Peer(p, PUMPING, totals=False).run(start, 60.0, "LSODA", PEER_TIGHT)

    assert lean.state.size == ACTIVE
    assert (
        float(np.max(np.abs(lean.state - whole.state[:ACTIVE]) / (SMALL[:ACTIVE] + np.abs(lean.state))))
        < CLOSE
    )


@pytest.mark.parametrize("slug", ["twin-60", "engine-30"])
def test_error_falls_with_the_tolerance(slug):
    case = SOUND[slug]
    p, start = case.at_start()

    def last_event(tolerance):
        run = engine.advance(p, start, case.hands, 600.0, tolerance=tolerance, recording=False)
        return run.trace.events[-1].t

    errors = [abs(last_event(tolerance) - last_event(1e-8)) for tolerance in (1e-3, 1e-5, 1e-7)]

    assert errors == sorted(errors, reverse=True)
    assert errors[2] < 0.02 * errors[0]
