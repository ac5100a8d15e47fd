"""Prohibited acts: which in which state, with the reason and the way to make it safe.

Order of work after the public text of the US lockout rule (29 CFR 1910.147, from memory): shut down, isolate,
lock, release stored energy, verify.
"""

import pytest

from simulator import hazards
from simulator.evidence import made_safe
from simulator.hazards import JOINTS, Prohibited
from tests.simulator.any_machine import machine_of
from tests.simulator.at_the_machine import PSI, cycled, machine, machine_with


@pytest.mark.parametrize("joint", JOINTS)
def test_no_joint_is_opened_with_the_isolator_closed(joint):
    with pytest.raises(Prohibited, match="isolator closed"):
        hazards.check_may_open(machine(), joint)


@pytest.mark.parametrize("joint", [slug for slug, joint in JOINTS.items() if "receiver" in joint.behind])
def test_no_joint_of_the_receiver_is_opened_under_pressure(joint):
    with pytest.raises(Prohibited, match="not with pressure in the receiver"):
        hazards.check_may_open(made_safe(machine(), "S2"), joint)


@pytest.mark.parametrize("joint", ["head-line", "unloader-tube", "head"])
def test_the_head_line_is_not_opened_while_it_is_charged(joint):
    session = made_safe(cycled(machine("unloader-stuck-shut", 1.0)), "S2")

    with pytest.raises(Prohibited, match="not with pressure in the head line"):
        hazards.check_may_open(session, joint)


@pytest.mark.parametrize("joint", JOINTS)
def test_every_joint_may_be_opened_locked_out_and_at_zero(joint):
    hazards.check_may_open(made_safe(machine(), "S3"), joint)


def test_a_shut_drain_does_not_prove_zero():
    session = made_safe(machine(), "S3")
    session.operate("shut-drain")

    with pytest.raises(Prohibited, match="open drain does"):
        hazards.check_may_open(session, "check-valve")


def test_an_unknown_joint_is_no_joint():
    with pytest.raises(KeyError):
        hazards.check_may_open(machine(), "lid")


def test_the_element_stays_in_a_running_pump():
    session = machine()
    session.operate("open-drain")
    session.run_until("contacts-close", 300.0)
    session.operate("shut-drain")
    session.run(5.0)
    assert session.running

    with pytest.raises(Prohibited, match="running pump"):
        hazards.check_may_operate(session, "element-out")
    with pytest.raises(Prohibited, match="hot air"):
        hazards.check_may_operate(session, "vent-head")


def test_the_element_may_come_out_of_a_standing_one():
    hazards.check_may_operate(machine(), "element-out")


def test_a_protector_is_not_reset_again_and_again():
    session = cycled(machine("motor-low-on-high"))
    assert session.protector_tripped
    for _ in range(hazards.RESETS_WITHOUT_CAUSE):
        hazards.check_may_operate(session, "reset-protector")
        while session.protector_tripped:
            session.run(60.0)
            session.operate("reset-protector")
        assert session.run_until("trip", 60.0)

    with pytest.raises(Prohibited, match="find out why"):
        hazards.check_may_operate(session, "reset-protector")


def test_no_further_run_once_something_was_found_that_can_kill():
    hazards.check_may_run(machine(), [])

    with pytest.raises(Prohibited, match="out of the plate"):
        hazards.check_may_run(machine(), ["Bubbles grow out of the plate itself."])


def test_no_run_above_what_the_relief_should_allow():
    session = machine_with(switch__cut_out_offset_psi=60.0, relief__tank__set_offset_psi=80.0)
    session.operate("open-drain")
    session.run_until("contacts-close", 300.0)
    session.operate("shut-drain")
    assert session.run_until("receiver-above", 600.0, 168.0 * PSI)

    with pytest.raises(Prohibited, match="relief valve"):
        hazards.check_may_run(session, [])


@pytest.mark.parametrize("joint", ["head", "intercooler", "interstage-plug", "interstage-relief"])
def test_no_joint_of_the_interstage_is_opened_while_it_is_charged(joint):
    session = machine_of("two-stage-80", unloader__open_fraction=0.0)
    session.operate("open-drain")
    session.run_until("contacts-close", 300.0)
    session.operate("shut-drain")
    session.run_until("contacts-open", 600.0)
    made_safe(session, "S2")
    # The second stage's valves let the interstage follow a vented head line, but not at once.
    session.operate("vent-head")

    with pytest.raises(Prohibited, match=r"not with pressure in the (head line|interstage)"):
        hazards.check_may_open(session, joint)


@pytest.mark.parametrize("deed", ["belt-off", "roll-leads"])
def test_hands_go_to_belt_and_leads_only_when_locked_out(deed):
    with pytest.raises(Prohibited, match="isolator closed"):
        hazards.check_may_operate(machine_of("w3-80"), deed)
    hazards.check_may_operate(made_safe(machine_of("w3-80"), "S2"), deed)


def test_a_ring_is_not_pulled_with_nothing_under_it():
    with pytest.raises(Prohibited, match="dirt on the seat"):
        hazards.check_may_operate(made_safe(machine_of("twin-60"), "S3"), "pull-ring")
    hazards.check_may_operate(machine_of("twin-60"), "pull-ring")


def test_an_engine_is_not_cranked_against_a_charged_pump():
    session = machine_of("engine-30")
    session.operate("start")  # without the toggle the starter charges the head until it is let go
    session.run(12.0)
    session.operate("stop")

    with pytest.raises(Prohibited, match="kicks back"):
        hazards.check_may_operate(session, "start")
    session.operate("toggle-start")
    hazards.check_may_operate(session, "start")
