"""What every hand in the trade knows, held on every rig it applies to, whatever is changed in the simulator.

Sources: common practice, no source, unless one is named beside the rule.
"""

import numpy as np
import pytest

from simulator import hazards
from simulator.checks import checks_for
from simulator.evidence import made_safe
from simulator.session import Session
from tests.simulator.any_machine import (
    BELT,
    ELECTRIC,
    ELECTRIC_BELT,
    RIGS,
    SINGLE_PHASE,
    found_on,
    machine_of,
    outcome_of,
)

PSI = 6894.757293168361
TWO_STAGE = [slug for slug, rig in RIGS.items() if rig.stages == 2]
ONE_STAGE = [slug for slug in RIGS if slug not in TWO_STAGE]
TUBED = [slug for slug, rig in RIGS.items() if rig.unloader.has_tube]
BY_HAND = [slug for slug in ELECTRIC if RIGS[slug].electric_motor.protector_reset == "manual"]
BY_ITSELF = [slug for slug in ELECTRIC if slug not in BY_HAND]
VENTS = {"switch-mounted": "lp-unloader-port", "hydraulic": "lp-pump-vent", "centrifugal": "lp-pump-vent", "pilot": "lp-dump-port"}  # fmt: skip


def emptied(session: Session) -> Session:
    """The machine with nothing in its receiver, standing."""
    if session.hands.lever_on:
        session.operate("stop")
    session.operate("open-drain")
    session.run_until("receiver-below", 1800.0, 0.5 * PSI)
    session.operate("shut-drain")
    return session


def started(session: Session) -> Session:
    """The machine with its lever at AUTO; an engine started unloaded, its toggle then put to RUN."""
    if session.rig.has_engine:
        session.operate("toggle-start")
        session.operate("start")
        session.run(10.0)
        session.operate("toggle-run")
    else:
        session.operate("start")
    return session


def pumping(session: Session, gauge_pressure: float) -> dict[str, float]:
    """True channels of a machine that pumps from empty as it passes a receiver pressure."""
    started(emptied(session))
    assert session.run_until("receiver-above", 2400.0, gauge_pressure)
    return session.now()


def at_the_stop(session: Session) -> Session:
    """The machine at the very end of pumping up from empty: stopped, or an engine unloaded."""
    started(emptied(session))
    assert session.run_until("unloaded" if session.rig.has_engine else "contacts-open", 2400.0)
    return session


def reading(finding, name):
    return next(r.value for r in finding.readings if r.name == name)


@pytest.mark.parametrize("slug", ELECTRIC)
def test_1_a_healthy_machine_vents_then_is_silent_then_loses_a_few_psi_by_cooling(slug):
    rig = RIGS[slug]
    session = at_the_stop(machine_of(slug))
    began = session.clock
    at_stop = session.now()
    session.run(15.0)
    soon = session.now()
    session.run(25.0 * 60.0)
    settled = session.now()
    session.run(10.0 * 60.0)
    later = session.now()
    blow = session.channel(f"leak:{VENTS[rig.unloader.kind]}", began, began + 15.0)[1]

    assert at_stop["head_line_gauge_pressure"] > 0.9 * rig.switch.cut_out
    assert soon["head_line_gauge_pressure"] < 2.0 * PSI
    assert soon[f"leak:{VENTS[rig.unloader.kind]}"] < 0.02 * np.max(blow)
    assert 3.0 < (at_stop["receiver_gauge_pressure"] - settled["receiver_gauge_pressure"]) / PSI < 16.0
    assert (settled["receiver_gauge_pressure"] - later["receiver_gauge_pressure"]) / PSI < 3.0


def test_1_an_engine_dumps_as_long_as_it_idles_and_is_silent_once_it_is_shut_off():
    session = at_the_stop(machine_of("engine-30"))
    session.run(30.0)
    idling = session.now()
    session.operate("stop")
    session.run(30.0)
    off = session.now()

    assert idling["leak:lp-dump-port"] > 1e-3
    assert off["leak:lp-dump-port"] < 0.02 * idling["leak:lp-dump-port"]


@pytest.mark.parametrize("slug", ELECTRIC)
def test_2_the_vent_is_on_the_pumps_side_and_the_check_valve_alone_holds_the_receiver(slug):
    session = at_the_stop(machine_of(slug))
    session.run(20.0)
    now = session.now()

    assert now["head_line_gauge_pressure"] < 2.0 * PSI
    assert now["receiver_gauge_pressure"] > 0.93 * RIGS[slug].switch.cut_out
    assert outcome_of(slug, "bleed-down") == "holds"
    assert outcome_of(slug, "bleed-down", check__reverse_ratio=0.005) != "holds"


@pytest.mark.parametrize("slug", TUBED)
def test_2_a_tube_run_to_the_receiver_empties_it_and_leaves_the_head_loaded(slug):
    session = at_the_stop(machine_of(slug, unloader__tube_side="tank"))
    session.operate("stop")
    full = session.now()["receiver_gauge_pressure"]
    session.run(600.0)
    now = session.now()

    assert now["receiver_gauge_pressure"] < 0.7 * full
    assert now["head_line_gauge_pressure"] > now["receiver_gauge_pressure"]


@pytest.mark.parametrize("slug", ELECTRIC)
def test_3_trapped_head_pressure_is_let_down_over_minutes_to_hours(slug):
    session = at_the_stop(machine_of(slug, unloader__open_fraction=0.0))
    session.operate("stop")
    session.run(15.0)
    soon = session.now()["head_line_gauge_pressure"]
    session.run(10.0 * 3600.0)
    overnight = session.now()["head_line_gauge_pressure"]

    assert soon > 0.6 * RIGS[slug].switch.cut_out
    assert overnight < 0.3 * RIGS[slug].switch.cut_out


@pytest.mark.parametrize("slug", ELECTRIC)
def test_4_a_check_valve_worse_than_the_vent_blows_on_and_keeps_the_head_charged(slug):
    session = machine_of(slug, check__reverse_ratio=0.5)
    session.run(5.0)
    now = session.now()

    assert now["head_line_gauge_pressure"] > 0.6 * now["receiver_gauge_pressure"]
    assert np.max(session.channel(f"leak:{VENTS[RIGS[slug].unloader.kind]}")[1]) > 1e-3


@pytest.mark.parametrize("slug", SINGLE_PHASE)
def test_4_and_the_restart_is_hard(slug):
    session = at_the_stop(machine_of(slug, check__reverse_ratio=0.8))
    assert session.run_until("contacts-close", 1800.0)
    session.run(2.5)

    assert session.now()["motor_speed_rpm"] < 0.8 * RIGS[slug].electric_motor.rated_speed_rpm


@pytest.mark.parametrize("slug", TWO_STAGE)
def test_5_second_stage_valves_lift_the_interstage_and_hardly_touch_the_output(slug):
    at = 0.9 * RIGS[slug].switch.cut_out
    sound = pumping(machine_of(slug), at)
    leaking = pumping(machine_of(slug, **leaks(slug, 2, "discharge", 1.5)), at)

    assert leaking["interstage_gauge_pressure"] > 1.1 * sound["interstage_gauge_pressure"]
    assert leaking["free_air_delivered"] > 0.92 * sound["free_air_delivered"]


def leaks(slug: str, stage: int, side: str, diameter_mm: float) -> dict[str, float]:
    """Settings by which the intake or discharge valves of every cylinder of a stage leak."""
    cylinders = RIGS[slug].pump.of_stage(stage)
    return {f"pump__{side}_valve_leak_d_mm@{c.slug}": diameter_mm for c in cylinders}


@pytest.mark.parametrize("slug", TWO_STAGE)
def test_5_first_stage_valves_cost_output_and_interstage_nearly_one_for_one(slug):
    at = 0.9 * RIGS[slug].switch.cut_out
    sound = pumping(machine_of(slug), at)
    leaking = pumping(machine_of(slug, **leaks(slug, 1, "intake", 4.0)), at)
    output = leaking["free_air_delivered"] / sound["free_air_delivered"]
    absolute = (leaking["interstage_gauge_pressure"] + 14.7 * PSI) / (
        sound["interstage_gauge_pressure"] + 14.7 * PSI
    )

    assert output < 0.9
    assert absolute == pytest.approx(output, abs=0.09)


@pytest.mark.parametrize("slug", ONE_STAGE)
def test_5_a_leaking_valve_of_a_single_stage_costs_output(slug):
    at = 0.6 * RIGS[slug].switch.cut_out
    shares = [
        pumping(machine_of(slug, **leaks(slug, 1, "intake", diameter)), at)["free_air_delivered"]
        for diameter in (0.1, 0.8, 1.4)
    ]

    assert shares[0] > shares[1] > shares[2] > 0.1 * shares[0]


@pytest.mark.parametrize("slug", RIGS)
def test_6_the_load_rises_with_receiver_pressure_and_a_plugged_filter_lowers_it(slug):
    """Amps of a motor, power of an engine. The oil-free pump's load is level in its upper third, as its sheet has it."""
    load = "shaft_power" if RIGS[slug].has_engine else "motor_current"
    top = RIGS[slug].switch.cut_out
    loads = [pumping(machine_of(slug), share * top)[load] for share in (0.15, 0.4, 0.7, 0.97)]
    plugged = pumping(machine_of(slug, intake__area_factor=0.1), 0.7 * top)[load]

    assert loads[0] < loads[1] < loads[2]
    assert loads[3] > 0.98 * max(loads)
    assert plugged < 0.96 * loads[2]


@pytest.mark.parametrize("slug", ELECTRIC)
def test_7_less_voltage_more_running_current_less_starting_current(slug):
    low, right = machine_of(slug, supply__volts_factor=0.9), machine_of(slug)
    near_top = 0.9 * RIGS[slug].switch.cut_out
    starting = [reading(found_on(s.copy(), "amps-start"), "peak") for s in (low, right)]

    assert pumping(low, near_top)["motor_current"] > 1.02 * pumping(right, near_top)["motor_current"]
    assert starting[0] < 0.95 * starting[1]


@pytest.mark.parametrize("slug", ELECTRIC)
def test_7_starting_torque_falls_with_the_square_of_the_voltage(slug):
    """The induction motor's torque goes with the square of its volts: any textbook of electrical machines."""

    def first_pull(factor: float) -> float:
        """Speed gained in the first fiftieth of a second, receiver and head empty. [rpm]"""
        session = emptied(machine_of(slug, supply__volts_factor=factor))
        session.run(60.0)
        session.operate("start")
        session.run(0.02)
        return session.now()["motor_speed_rpm"]

    full, low = first_pull(1.0), first_pull(0.8)
    assert 0.5 < low / full < 0.72


@pytest.mark.parametrize("slug", RIGS)
def test_8_relief_control_and_gauge_are_each_wrong_alone(slug):
    """The relief protects, the control controls, the gauge only reports."""
    top = "pilot__unload_offset_psi" if RIGS[slug].has_engine else "switch__cut_out_offset_psi"
    high = {top: 50.0}
    early = {"relief__tank__set_offset_psi": -45.0}

    assert outcome_of(slug, "cut-in-out", **high) == "relief-first"
    assert outcome_of(slug, "reference-gauge", **high) == "agree-relief-at-tag"
    assert outcome_of(slug, "cut-in-out", **early) == "relief-first"
    assert outcome_of(slug, "reference-gauge", **early) == "agree-relief-early"
    assert outcome_of(slug, "cut-in-out", gauge__tank__offset_psi=15.0) == "as-set"
    assert outcome_of(slug, "reference-gauge", gauge__tank__offset_psi=15.0) == "fitted-reads-high"


@pytest.mark.parametrize("slug", RIGS)
def test_9_a_thin_wall_gives_no_symptom_at_all(slug):
    thin, sound = at_the_stop(machine_of(slug, receiver__wall_mm=0.9)), at_the_stop(machine_of(slug))
    for session in (thin, sound):
        session.run(300.0)

    assert thin.clock == sound.clock
    assert np.array_equal(thin.trace.values, sound.trace.values)
    assert outcome_of(slug, "tank-survey", receiver__wall_mm=0.9) == "below-retiring-thickness"


def tripped(slug: str) -> Session:
    """A machine whose protector has just opened, its lever still at AUTO."""
    if RIGS[slug].electric_motor.protector == "relay":  # it feels the current alone and asks for all of it
        session = started(emptied(machine_of(slug, motor__trip_factor=0.35)))
    else:  # a winding must get hot, over hours of work
        session = started(emptied(machine_of(slug, motor__trip_factor=0.35, cooling__ambient_c=40.0)))
        session.operate("open-drain")
    assert session.run_until("trip", 3600.0)
    session.operate("shut-drain")
    return session


@pytest.mark.parametrize("slug", BY_ITSELF)
def test_10_a_protector_that_resets_by_itself_restarts_the_machine_by_itself(slug):
    session = tripped(slug)
    session.run_until("stopped", 60.0)
    at = session.clock

    session.run(3600.0)

    assert any(event.what == "protector-reset" for event in session.events)
    assert np.max(session.channel("pump_speed_rpm", at + 1.0)[1]) > 0.5 * RIGS[slug].pump.speed_rpm
    assert not [event for event in session.events if event.what == "deed" and event.t > at]


@pytest.mark.parametrize("slug", BY_HAND)
def test_10_one_with_a_button_does_not(slug):
    session = tripped(slug)

    session.run(2.0 * 3600.0)

    assert session.protector_tripped
    assert not session.running


@pytest.mark.parametrize("slug", ELECTRIC_BELT)
def test_11_a_slipping_belt_does_not_lower_the_amps_but_the_output(slug):
    at = 0.7 * RIGS[slug].switch.cut_out
    slipping, sound = pumping(machine_of(slug, drive__slip_pct=15.0), at), pumping(machine_of(slug), at)

    assert slipping["motor_current"] == pytest.approx(sound["motor_current"], rel=0.04)
    assert slipping["free_air_delivered"] < 0.92 * sound["free_air_delivered"]


@pytest.mark.parametrize("slug", BELT)
def test_11_it_slows_the_pump(slug):
    at = 0.7 * RIGS[slug].switch.cut_out
    slipping, sound = pumping(machine_of(slug, drive__slip_pct=15.0), at), pumping(machine_of(slug), at)

    assert slipping["pump_speed_rpm"] < 0.9 * sound["pump_speed_rpm"]


DEADLY = [
    ({"receiver__leak_d_mm": 0.3}, "soap", "lp-shell"),
    ({"receiver__wall_mm": 0.9}, "tank-survey", ""),
    ({"receiver__shell_repair": "yes"}, "tank-survey", ""),
    ({"relief__tank__state": "seized"}, "relief-ring", ""),
    ({"relief__tank__state": "plugged"}, "relief-ring", ""),
    ({"relief__tank__state": "plugged"}, "look", "lp-tank-relief"),
    ({"headline__stop_valve": "closed"}, "look", "lp-head-line"),
    ({"check__state": "reversed"}, "check-bench", ""),
    ({"pipe__material": "plastic"}, "look", "lp-outlet"),
]


@pytest.mark.parametrize("slug", RIGS)
@pytest.mark.parametrize(("wrong", "check", "place"), DEADLY)
def test_12_after_evidence_that_can_kill_another_run_is_prohibited(slug, wrong, check, place):
    finding = found_on(machine_of(slug, **wrong), check, place)
    entry = checks_for(RIGS[slug])[check]

    assert finding.outcome in entry.stop
    with pytest.raises(hazards.Prohibited, match="Not another run"):
        hazards.check_may_run(machine_of(slug), [entry.outcomes[finding.outcome]])


@pytest.mark.parametrize("slug", RIGS)
def test_12_without_such_evidence_a_run_is_allowed(slug):
    hazards.check_may_run(machine_of(slug), [])
    hazards.check_locked_out(made_safe(machine_of(slug), "S2"), "Work on it")
