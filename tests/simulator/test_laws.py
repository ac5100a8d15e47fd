"""Laws that no fault can break: one suite over every rig, every fault it can have, mild and bad, at every place."""

import dataclasses
import functools
import itertools
import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from simulator import air, engine
from simulator.adjustable import BadParameter
from simulator.benchmark.peer import SMALL
from simulator.faults import Injected, load_faults
from simulator.flows import inertia_at_crank
from simulator.machine import Parameters, parameters
from simulator.rig import Rig, load_rigs
from simulator.session import Session
from simulator.spaces import interstage_pressure, pressures
from simulator.state import ACTIVE, Hands, State
from simulator.trace import CHANNELS
from tests.simulator.conditions import CONDITION, condition

RIGS = load_rigs()
FAULTS = load_faults()
SEVERITIES = (0.1, 1.0)
# Where the model's own simplifications show in the balance of energy, over all that moved.
ENERGY_BOUNDS = {
    "head-gasket-inner": 0.08,  # hot air that leaks back is mixed into the swept flow, not into what is drawn
    "valve-plate-misassembled": 0.02,  # a shut-in cylinder sheds a fixed half of its work
}


def _ways(rig: Rig, slug: str) -> list[Injected]:
    """Every severity at every place that a fault can have on a rig."""
    fault = FAULTS[slug]
    return [
        Injected(slug, severity, place)
        for severity in (SEVERITIES if fault.graded else (None,))
        for place in fault.locations_on(rig) or (None,)
    ]


SICK = [
    pytest.param(rig, slug, id=f"{rig.slug}-{slug}")
    for rig in RIGS.values()
    for slug, fault in FAULTS.items()
    if rig.slug in fault.rigs
]
SOUND = [pytest.param(rig, "", id=f"{rig.slug}-sound") for rig in RIGS.values()]
EVERY_MACHINE = pytest.mark.parametrize(("rig", "slug"), SOUND + SICK)
# What a day brings: work with air drawn, a stop, bleeding on a locked machine, a start from what is left.
DAY = (
    ("start", 0.0), ("open-outlet", 120.0), ("stop", 20.0), ("isolate", 0.0), ("open-drain", 60.0),
    ("shut-drain", 0.0), ("shut-outlet", 0.0), ("restore", 0.0), ("start", 40.0),
)  # fmt: skip


@functools.lru_cache(maxsize=2048)
def _day(slug: str, injected: Injected | None) -> Session:
    """A machine after its day."""
    rig = RIGS[slug]
    session = Session(
        rig, FAULTS, [injected] if injected else [], 1, receiver_gauge_pressure=0.9 * rig.switch.cut_in
    )
    for deed, seconds in DAY:
        session.operate(deed)
        session.run(seconds)
    return session


def _days(rig: Rig, slug: str):
    for injected in _ways(rig, slug) if slug else [None]:
        yield injected, _day(rig.slug, injected)


def _mass(s: State) -> float:
    return s.receiver_mass + s.head_line_mass + s.shop_line_mass + s.interstage_mass


def _held(s: State, p: Parameters) -> float:
    room = p.intake.ambient_temperature
    heads = s.head_temperature_1 + s.head_temperature_2 + s.head_temperature_3 + s.head_temperature_4
    line = s.head_line_temperature - room
    return (
        s.receiver_mass * (air.CV * s.receiver_temperature - air.CP * room)
        + (p.head_line.heat_capacity + air.CP * s.head_line_mass) * line
        + air.CP * s.interstage_mass * (p.pump.interstage_temperature - room)
        + p.pump.head_heat_capacity * heads
    )


def _availability(s: State, p: Parameters) -> float:
    """Most work that the air held could give against the room. [J]"""
    room, t0 = p.intake.ambient_pressure, p.intake.ambient_temperature
    tank, head, shop = pressures(s, p)
    spaces = (
        (s.receiver_mass, tank, s.receiver_temperature),
        (s.head_line_mass, head, s.head_line_temperature),
        (s.shop_line_mass, shop, t0),
        (s.interstage_mass, interstage_pressure(s, p), p.pump.interstage_temperature),
    )
    total = 0.0
    for mass, pressure, t in spaces:
        entropy = air.CP * math.log(t / t0) - air.GAS_CONSTANT * math.log(pressure / room)
        volume = air.GAS_CONSTANT * (t / pressure - t0 / room)
        total += mass * (air.CV * (t - t0) + room * volume - t0 * entropy)
    return total


def _start_of(session: Session) -> State:
    return engine.at_rest(session.parameters, 0.9 * session.rig.switch.cut_in).state


@EVERY_MACHINE
def test_channels_stay_finite_and_pressures_above_nothing(rig, slug):
    for _, session in _days(rig, slug):
        trace, room = session.trace, session.parameters.intake.ambient_pressure

        assert np.isfinite(trace.values).all()
        assert np.all(np.diff(trace.time) >= 0.0)
        for name in ("receiver", "head_line", "interstage", "regulated", "tool"):
            assert trace.channel(f"{name}_gauge_pressure").min() > -room
        for name in CHANNELS:
            if name.startswith("leak:") or name in ("free_air_delivered", "intake_flow", "receiver_water"):
                assert trace.channel(name).min() >= 0.0, name
        assert trace.channel("receiver_temperature").min() > 150.0
        # Within a step that ends at rest the dense output may dip a few turns a minute below it.
        assert trace.channel("motor_speed_rpm").min() > -5.0
        assert trace.channel("pump_speed_rpm").min() >= 0.0
        assert trace.channel("motor_speed_rpm").max() <= 1.05 * 30.0 / math.pi * max(
            session.parameters.motor.synchronous_speed, 1.0
        )


@EVERY_MACHINE
def test_mass_is_conserved(rig, slug):
    """What the spaces hold is what they held, plus what came in, less what went out: reached 1e-10."""
    for injected, session in _days(rig, slug):
        end = session.snapshot.state

        gained = _mass(end) - _mass(_start_of(session))
        assert gained == pytest.approx(end.air_in - end.air_out, abs=1e-9 * (1.0 + end.air_in)), injected


@EVERY_MACHINE
def test_energy_is_conserved(rig, slug):
    """The crank's energy is in the air, in the metal, or gone to the room: reached 2e-3 of what moved."""
    bound = ENERGY_BOUNDS.get(slug, 2.5e-3)
    for injected, session in _days(rig, slug):
        p, start, end = session.parameters, _start_of(session), session.snapshot.state

        found = end.heat_out + end.enthalpy_out + _held(end, p) - _held(start, p)
        moved = 1e3 + abs(end.pump_energy) + abs(end.heat_out) + abs(end.enthalpy_out)
        assert abs(end.pump_energy - found) < bound * moved, injected


@EVERY_MACHINE
def test_the_shaft_gives_what_crank_and_flywheel_take(rig, slug):
    """Shaft energy less the belt's losses is the crank's, what turns, and what sick bearings rub away: 3e-4."""
    for injected, session in _days(rig, slug):
        p, end = session.parameters, session.snapshot.state

        efficiency = p.drive.torque_ratio / p.drive.speed_ratio
        turning = 0.5 * inertia_at_crank(p) * (end.motor_speed / p.drive.speed_ratio) ** 2
        rubbed = efficiency * end.shaft_energy - end.pump_energy - turning
        if p.motor.friction_torque == 0.0:
            assert abs(rubbed) < 3e-4 * (1e3 + end.pump_energy), injected
        else:
            assert rubbed > -1e-4 * (1e3 + end.pump_energy), injected
        if not rig.has_engine:
            assert end.shaft_energy <= end.electric_energy + 1e-6


@EVERY_MACHINE
def test_the_second_law_holds(rig, slug):
    """The air's power to do work comes from the crank alone; metal gets no colder than the room."""
    for injected, session in _days(rig, slug):
        p, end = session.parameters, session.snapshot.state

        gained = _availability(end, p) - _availability(_start_of(session), p)
        assert gained <= end.pump_energy + 1.0, injected
        for name in ("head_temperature_1", "head_temperature_2", "head_temperature_3", "head_temperature_4"):
            assert session.trace.channel(name).min() > p.intake.ambient_temperature - 0.01
        assert session.trace.channel("winding_temperature").min() > p.intake.ambient_temperature - 0.01


@EVERY_MACHINE
def test_a_leak_does_no_work_on_a_machine_that_stands(rig, slug):
    for injected in _ways(rig, slug) if slug else [None]:
        session = Session(rig, FAULTS, [injected] if injected else [], 1)
        for deed in ("isolate", "open-outlet", "open-drain"):
            session.operate(deed)
        session.run(60.0)
        p, end = session.parameters, session.snapshot.state

        assert (end.motor_speed, end.pump_energy, end.shaft_energy, end.electric_energy) == (0.0,) * 4
        start = engine.at_rest(p, (rig.switch.cut_in + rig.switch.cut_out) / 2).state
        assert _availability(end, p) <= _availability(start, p), injected


@EVERY_MACHINE
def test_same_seed_same_trace_and_a_break_changes_nothing(rig, slug):
    injected = _ways(rig, slug)[-1:] if slug else []

    def run(*stops: float) -> Session:
        session = Session(rig, FAULTS, injected, 1, receiver_gauge_pressure=0.5 * rig.switch.cut_in)
        session.operate("start")
        for stop in stops:
            session.run(stop - session.clock)
        return session

    one, two, broken = run(30.0), run(30.0), run(7.3, 19.0, 30.0)

    assert np.array_equal(one.trace.values, two.trace.values)
    assert one.events == two.events
    assert [event.what for event in broken.events] == [event.what for event in one.events]
    ours, theirs = np.array(broken.snapshot.state)[:ACTIVE], np.array(one.snapshot.state)[:ACTIVE]
    assert np.max(np.abs(ours - theirs) / (SMALL[:ACTIVE] + np.abs(theirs))) < 1e-2


@pytest.mark.parametrize("rig", RIGS.values(), ids=RIGS)
def test_units_shown_change_nothing_of_what_happens(rig):
    other = "metric" if rig.display_units == "us" else "us"

    traces = []
    for units in (rig.display_units, other):
        session = Session(dataclasses.replace(rig, display_units=units), FAULTS, [], 1)
        session.operate("start")
        session.operate("open-outlet")
        session.run(120.0)
        traces.append(session.trace.values)

    assert np.array_equal(*traces)


# -- what must rise or fall -----------------------------------------------------------------------------------

LEAKS = (
    "ring-wear", "oilfree-seal-worn", "intake-reed-leak", "discharge-reed-leak", "hp-intake-valve-leak",
    "hp-discharge-valve-leak", "head-gasket-inner", "head-gasket-outer", "head-line-leak", "intercooler-leak",
    "receiver-pinhole", "drain-leaks", "relief-seat-leak", "interstage-relief-leak", "switch-diaphragm-leak",
    "unloader-leaks-running", "unloader-tube-leak", "centrifugal-unloader-passing",
)  # fmt: skip
PUMPING = Hands(lever_on=1.0)


def _filled(p: Parameters, gauge: float, seconds: float) -> engine.Snapshot:
    return engine.advance(p, engine.at_rest(p, gauge), PUMPING, seconds, tolerance=1e-5, recording=False).end


@pytest.mark.parametrize(
    ("rig", "slug"),
    [
        pytest.param(rig, slug, id=f"{rig.slug}-{slug}")
        for rig in RIGS.values()
        for slug in LEAKS
        if rig.slug in FAULTS[slug].rigs
    ],
)
def test_a_larger_leak_never_pumps_up_faster(rig, slug):
    for place in FAULTS[slug].locations_on(rig) or (None,):
        held = []
        for severity in (0.0, 0.3, 0.6, 1.0):
            p = parameters(rig, FAULTS, [Injected(slug, severity, place)])
            held.append(_filled(p, 0.6 * rig.switch.cut_in, 40.0).state.receiver_mass)

        for tighter, leakier in itertools.pairwise(held):
            assert leakier <= tighter * (1.0 + 1e-4), (place, held)


def _varied(rig: Rig, **changes: float | str) -> Parameters:
    return parameters(rig, condition(rig, **changes), CONDITION)


@pytest.mark.parametrize("rig", RIGS.values(), ids=RIGS)
@pytest.mark.parametrize("name", ["pump__friction_factor", "motor__friction_factor"])
def test_more_friction_never_takes_less_power(rig, name):
    spent = []
    for factor in (1.0, 1.2, 1.5):
        end = _filled(_varied(rig, **{name: factor}), 0.0, 40.0).state
        spent.append(end.shaft_energy if rig.has_engine else end.electric_energy)

    assert spent == sorted(spent)


@pytest.mark.parametrize("rig", [r for r in RIGS.values() if not r.has_engine], ids=lambda rig: rig.slug)
def test_a_lower_voltage_never_starts_sooner(rig):
    times = []
    for factor in (1.05, 1.0, 0.95, 0.9, 0.85):
        p = _varied(rig, supply__volts_factor=factor)
        trace = engine.advance(p, engine.at_rest(p, 0.0), PUMPING, 20.0, tolerance=1e-5).trace
        fast = trace.channel("motor_speed_rpm") > 0.9 * rig.motor.rated_speed_rpm
        times.append(float(trace.time[fast][0]) if fast.any() else math.inf)

    assert times == sorted(times)
    assert math.isfinite(times[1])


@pytest.mark.parametrize("rig", RIGS.values(), ids=RIGS)
@pytest.mark.parametrize(
    "rooms",
    [
        [{"cooling__altitude_m": height} for height in (0.0, 1000.0, 2500.0, 4000.0)],
        [{"cooling__ambient_c": degrees} for degrees in (-10.0, 10.0, 30.0, 50.0)],
    ],
    ids=["higher", "warmer"],
)
def test_thinner_room_air_never_gives_more_mass(rig, rooms):
    drawn = [_filled(_varied(rig, **room), 0.5 * rig.switch.cut_in, 30.0).state.air_in for room in rooms]

    assert drawn == sorted(drawn, reverse=True)


# -- any severity, any two at once ----------------------------------------------------------------------------


@st.composite
def machines(draw):
    """A rig with one or two faults it can have, at any severity and place."""
    rig = draw(st.sampled_from(sorted(RIGS)))
    own = [slug for slug, fault in FAULTS.items() if rig in fault.rigs]
    chosen = draw(st.lists(st.sampled_from(own), min_size=1, max_size=2, unique=True))
    return rig, tuple(
        Injected(
            slug,
            draw(st.floats(0.0, 1.0)) if FAULTS[slug].graded else None,
            draw(st.sampled_from(FAULTS[slug].locations_on(RIGS[rig]) or (None,))),
        )
        for slug in chosen
    )


@settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    machine=machines(),
    fill=st.floats(0.0, 1.1),
    deeds=st.lists(
        st.tuples(
            st.sampled_from(
                ["start", "stop", "open-outlet", "open-drain", "shut-drain", "vent-head", "pull-ring",
                 "hold-trigger", "isolate", "restore", "element-out"]
            ),
            st.floats(0.0, 90.0),
        ),
        min_size=1,
        max_size=6,
    ),
)  # fmt: skip
def test_laws_hold_for_any_two_faults_and_any_order_of_hands(machine, fill, deeds):
    slug, injected = machine
    rig = RIGS[slug]
    try:
        session = Session(rig, FAULTS, injected, 1, receiver_gauge_pressure=fill * rig.switch.cut_out)
    except BadParameter:  # two faults that contradict each other are refused, never mixed
        return
    p, start = session.parameters, session.snapshot.state
    for deed, seconds in deeds:
        session.operate(deed)
        session.run(seconds)
    end = session.snapshot.state

    assert np.isfinite(session.trace.values).all()
    assert min(*pressures(end, p), interstage_pressure(end, p)) > 0.0
    balance = end.air_in - end.air_out
    assert _mass(end) - _mass(start) == pytest.approx(balance, abs=1e-9 * (1.0 + end.air_in))
    assert _availability(end, p) - _availability(start, p) <= end.pump_energy + 1.0
    if not rig.has_engine:
        assert end.shaft_energy <= end.electric_energy + 1e-6
