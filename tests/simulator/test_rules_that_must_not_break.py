"""What every hand in the trade knows a single-stage machine does, whatever is changed in the simulator.

Sources: common practice, no source, unless one is named beside the rule. Of the twelve rules the one about two
stages and the one about a wall too thin are not for this rig's model; the latter shows nothing by its nature.
"""

import pytest

from simulator import hazards
from simulator.checks import load_checks, take
from simulator.faults import Injected
from simulator.session import Session
from tests.simulator.at_the_machine import (
    FAULTS,
    PSI,
    RIG,
    condition,
    cycled,
    found,
    machine,
    machine_with,
    outcome,
)

_CONDITION = [Injected("condition")]


def reading(finding, name):
    return next(r.value for r in finding.readings if r.name == name)


def pumping(session: Session, gauge_pressure: float) -> dict[str, float]:
    """True channels of a machine that pumps from empty as it passes a receiver pressure."""
    session.operate("open-drain")
    session.run_until("receiver-below", 900.0, 2.0 * PSI)
    session.operate("shut-drain")
    session.operate("start")
    assert session.run_until("receiver-above", 1500.0, gauge_pressure)
    return session.now()


def test_1_a_healthy_machine_vents_then_is_silent_then_loses_a_few_psi_by_cooling():
    session = Session(RIG, FAULTS, [], 1, receiver_gauge_pressure=0.0)
    session.operate("start")
    session.run_until("cut-out", 900.0)
    at_stop = session.now()
    session.run(10.0)
    soon = session.now()
    session.run(20.0 * 60.0)
    settled = session.now()
    session.run(20.0 * 60.0)
    later = session.now()

    assert at_stop["head_line_gauge_pressure"] > 0.9 * RIG.switch.cut_out
    assert soon["head_line_gauge_pressure"] < 2.0 * PSI
    assert soon["leak:lp-unloader-port"] < 0.02 * at_stop["leak:lp-unloader-port"]
    assert 4.0 < (at_stop["receiver_gauge_pressure"] - settled["receiver_gauge_pressure"]) / PSI < 12.0
    assert (settled["receiver_gauge_pressure"] - later["receiver_gauge_pressure"]) / PSI < 2.0


def test_2_the_unloader_vents_the_pump_side_only_and_the_check_valve_alone_holds_the_receiver():
    session = cycled(machine())
    now = session.now()

    assert now["head_line_gauge_pressure"] < 2.0 * PSI
    assert now["receiver_gauge_pressure"] > 0.95 * RIG.switch.cut_out
    assert outcome(machine(), "bleed-down") == "holds"
    assert outcome(machine("check-valve-seep", 0.65), "bleed-down") != "holds"


def test_3_trapped_head_pressure_is_let_down_over_minutes_to_hours():
    session = cycled(machine_with(unloader__open_fraction=0.0))
    soon = session.now()["head_line_gauge_pressure"]
    session.run(8.0 * 3600.0)
    overnight = session.now()["head_line_gauge_pressure"]

    assert soon > 0.6 * RIG.switch.cut_out
    assert overnight < 0.1 * RIG.switch.cut_out
    assert outcome(session, "amps-start") == "short-inrush"


def test_4_a_check_valve_worse_than_the_vent_blows_on_and_makes_the_restart_hard():
    session = Session(RIG, condition(check__reverse_ratio=0.3), _CONDITION, 1)
    session.run(20.0)
    now = session.now()

    assert now["head_line_gauge_pressure"] > 0.8 * now["receiver_gauge_pressure"]
    assert outcome(session.copy(), "look", "lp-unloader-port") == "dust-blown-about"
    assert outcome(session.copy(), "cut-in-out") == "stalls-at-start"


def test_5_a_leaking_valve_costs_output():
    share = {
        severity: pumping(machine("intake-reed-leak", severity, "cyl1"), 90.0 * PSI)["free_air_delivered"]
        / pumping(machine(), 90.0 * PSI)["free_air_delivered"]
        for severity in (0.3, 0.6, 0.9)
    }

    assert 1.0 > share[0.3] > share[0.6] > share[0.9] > 0.45


def test_6_amps_rise_with_receiver_pressure_and_a_plugged_filter_lowers_them():
    session = machine()
    amps = [pumping(session.copy(), psi * PSI)["motor_current"] for psi in (20.0, 60.0, 90.0, 120.0)]

    assert amps == sorted(amps)
    plugged = pumping(machine("intake-filter-plugged", 0.9), 90.0 * PSI)["motor_current"]
    assert plugged < 0.95 * amps[2]


def test_7_less_voltage_more_running_current_less_starting_current():
    low, right = machine_with(supply__volts_factor=0.88), machine()

    assert reading(found(low.copy(), "amps-run"), "near_cut_out") > 1.03 * reading(
        found(right.copy(), "amps-run"), "near_cut_out"
    )
    assert reading(found(low.copy(), "amps-start"), "peak") < 0.92 * reading(
        found(right.copy(), "amps-start"), "peak"
    )


def test_7_starting_torque_falls_with_the_square_of_the_voltage():
    """The induction motor's torque goes with the square of its volts: any textbook of electrical machines."""

    def first_pull(factor: float) -> float:
        """Speed gained in the first twentieth of a second, receiver and head empty, volts held stiff. [rpm]"""
        session = Session(
            RIG, condition(supply__volts_factor=factor, switch__contact_ohm=1e-6), _CONDITION, 1,
            receiver_gauge_pressure=0.0,
        )  # fmt: skip
        session.operate("start")
        session.run(0.02)
        return session.now()["motor_speed_rpm"]

    full, low = first_pull(1.0), first_pull(0.8)
    assert 0.5 < low / full < 0.72


def test_8_relief_protects_and_switch_controls_each_wrong_alone():
    late_switch = machine_with(switch__cut_out_offset_psi=45.0)
    early_relief = machine_with(relief__tank__set_offset_psi=-35.0)

    assert outcome(late_switch.copy(), "cut-in-out") == "relief-first"
    assert outcome(late_switch.copy(), "reference-gauge") == "agree"
    assert outcome(early_relief.copy(), "cut-in-out") == "relief-first"
    finding = take(machine_with(switch__cut_out_offset_psi=12.0), "cut-in-out")
    assert finding.outcome == "cut-out-high"


def test_10_a_protector_with_a_button_does_not_restart_the_machine_by_itself():
    session = cycled(machine("motor-low-on-high"))
    assert session.protector_tripped

    session.run(2.0 * 3600.0)

    assert session.protector_tripped
    assert not session.running


def test_11_a_slipping_belt_does_not_lower_the_amps_but_the_output():
    slipping, sound = pumping(machine("belt-slack", 0.5), 90.0 * PSI), pumping(machine(), 90.0 * PSI)

    assert slipping["motor_current"] == pytest.approx(sound["motor_current"], rel=0.03)
    assert slipping["free_air_delivered"] < 0.9 * sound["free_air_delivered"]
    assert outcome(machine("belt-slack", 0.5), "amps-run") == "as-the-sheet"


def test_12_after_evidence_that_can_kill_another_run_is_prohibited():
    finding = found(machine_with(receiver__leak_d_mm=0.3), "soap", "lp-shell")
    check = load_checks()["soap"]
    assert finding.outcome in check.stop

    with pytest.raises(hazards.Prohibited, match="Not another run"):
        hazards.check_may_run(machine(), [check.outcomes[finding.outcome]])
