"""A check in the wrong state is refused with the reason and the way to mend it, and the machine is left alone."""

import dataclasses

import pytest

from simulator.checks import CannotTake, UnknownCheck, UnsafeCheck, checks_for, take
from simulator.evidence import made_safe
from tests.simulator.any_machine import RIGS, machine_of
from tests.simulator.at_the_machine import cycled, machine

LOCKED = [
    (slug, check.slug)
    for slug, rig in RIGS.items()
    for check in checks_for(rig).values()
    if check.safe in ("S2", "S3")
]
RUN_IT = {"listen-run", "listen-stop", "vent-time", "unloader-feel", "intake-feel", "breather-feel", "head-vent",
          "pump-up", "cut-in-out", "amps-start", "amps-run", "volts-start", "volts-run", "volt-drop-contact",
          "filter-out", "head-temps", "pump-rpm", "crankcase-manometer", "duty-log", "direct-supply",
          "oil-pressure"}  # fmt: skip
RUN = [
    (slug, check)
    for slug, rig in RIGS.items()
    for check in checks_for(rig)
    if check in RUN_IT and (check != "direct-supply" or rig.supply.feed == "cord")
]


def standing(session):
    """Everything that a refused check could have touched."""
    return session.clock, dataclasses.asdict(session.hands), session.now(), list(session.events)


@pytest.mark.parametrize(("slug", "check"), LOCKED)
def test_a_check_inside_guards_or_joints_is_refused_before_lockout(slug, check):
    session = machine_of(slug)
    before = standing(session)

    with pytest.raises(UnsafeCheck) as refusal:
        take(session, check)

    assert "lock and tag" in str(refusal.value)
    assert standing(session) == before


def test_isolated_without_a_lock_is_not_locked_out():
    session = machine()
    session.operate("stop")
    session.operate("isolate")

    with pytest.raises(UnsafeCheck, match="anybody can close again"):
        take(session, "belt-tension")


def test_opening_the_head_line_is_refused_with_pressure_in_it():
    session = made_safe(cycled(machine("unloader-stuck-shut", 1.0)), "S2")
    before = standing(session)

    with pytest.raises(UnsafeCheck, match="not with pressure in the head line"):
        take(session, "head-line-gauge")

    assert standing(session) == before


def test_opening_the_head_line_is_refused_until_the_receiver_is_proved_at_zero():
    session = made_safe(machine(), "S2")
    session.operate("vent-head")
    session.run(60.0)

    with pytest.raises(UnsafeCheck, match="zero"):
        take(session, "head-line-gauge")


def test_soap_on_a_live_switch_is_refused():
    with pytest.raises(UnsafeCheck, match="shock"):
        take(machine(), "soap", "lp-switch-cover")


def test_soap_elsewhere_is_not():
    assert take(machine(), "soap", "lp-shell").outcome == "no-bubbles"


@pytest.mark.parametrize(("slug", "check"), RUN)
def test_a_check_that_runs_the_machine_asks_for_the_power_back(slug, check):
    session = made_safe(machine_of(slug), "S2")
    before = standing(session)

    with pytest.raises(CannotTake, match="take the lock off"):
        take(session, check)

    assert standing(session) == before


@pytest.mark.parametrize("check", ["bleed-down", "isolate-outlet"])
def test_a_fall_is_not_timed_without_pressure(check):
    session = made_safe(machine(), "S3")
    before = standing(session)

    with pytest.raises(CannotTake, match="too little pressure"):
        take(session, check)

    assert standing(session) == before


def test_soap_on_an_empty_machine_makes_no_sense():
    with pytest.raises(CannotTake, match="Pump up first"):
        take(made_safe(machine(), "S3"), "soap", "lp-shell")


def test_an_open_drain_is_not_soaped():
    session = machine()
    session.operate("open-drain")

    with pytest.raises(CannotTake, match="Shut it"):
        take(session, "drain-feel")


def test_a_check_with_the_element_out_asks_for_it_back():
    session = machine()
    session.operate("element-out")

    with pytest.raises(CannotTake, match="filter element is out"):
        take(session, "listen-run")


def test_an_unknown_check_or_place_leaves_the_machine_alone():
    session = machine()
    before = standing(session)

    with pytest.raises(UnknownCheck):
        take(session, "pump-upp")
    with pytest.raises(UnknownCheck):
        take(session, "pump-up", "belt")

    assert standing(session) == before
