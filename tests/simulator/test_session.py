"""A rig being worked on: deeds, what anyone sees, safe states, refusals."""

import math

import numpy as np
import pytest

from simulator.faults import Injected
from simulator.hands import DEEDS, UnknownDeed, deeds_for
from simulator.rig import load_rigs
from simulator.session import Session
from simulator.units import convert


def psi(value):
    return convert(value, "psi", "Pa")


@pytest.fixture
def session(rig, faults):
    return Session(rig, faults, [], seed=7)


def test_an_unknown_deed_is_refused_with_the_nearest_and_nothing_moves(session):
    with pytest.raises(UnknownDeed, match="Did you mean 'open-drain'"):
        session.operate("open-drian")

    assert not session.hands.drain_open
    assert session.events == []


@pytest.mark.parametrize("slug", load_rigs())
def test_every_deed_a_rig_has_a_handle_for_is_written_down(slug, faults):
    session = Session(load_rigs()[slug], faults, [], seed=7)
    own = deeds_for(session.rig)

    for deed in own:
        session.operate(deed)

    assert [event.detail for event in session.events] == list(own)
    for other in set(DEEDS) - set(own):
        with pytest.raises(UnknownDeed, match=f"No deed of {slug} is called '{other}'"):
            session.operate(other)


def test_a_deed_moves_what_anyone_can_see(session):
    for deed, hand in (
        ("open-drain", "drain_open"), ("vent-head", "head_vent_open"), ("pull-ring", "ring_pulled"),
        ("hold-trigger", "trigger_held"), ("belt-off", "belt_off"), ("element-out", "element_out"),
    ):  # fmt: skip
        session.operate(deed)
        assert getattr(session.hands, hand)


@pytest.mark.parametrize("seconds", [-1.0, math.nan, math.inf])
def test_time_that_is_none_is_refused(session, seconds):
    with pytest.raises(ValueError, match="cannot let the machine run"):
        session.run(seconds)

    assert session.clock == 0.0


def test_waiting_for_what_cannot_come_names_what_can(session):
    with pytest.raises(ValueError, match="Did you mean 'cut-out'"):
        session.run_until("cutout", 10.0)


def test_the_switch_waits_above_cut_in_and_starts_the_motor_at_it(session, rig):
    session.operate("start")
    session.run(30.0)
    assert not session.running

    session.operate("open-drain")
    assert session.run_until("cut-in", 120.0)
    session.run(3.0)

    assert session.running
    assert session.now()["receiver_gauge_pressure"] < rig.switch.cut_in


def test_made_safe_is_isolated_locked_bled_and_proved_by_the_machine_itself(session):
    session.operate("stop")
    session.operate("isolate")
    session.operate("lock")
    assert session.safe_state == "S2"

    session.operate("open-drain")
    session.run(20.0)
    assert session.safe_state == "S2"  # still blowing

    session.run(900.0)
    assert session.safe_state == "S3"

    session.operate("shut-drain")
    assert session.safe_state == "S2"  # a shut drain proves nothing


def test_a_head_charged_by_a_dead_unloader_empties_forward_as_the_receiver_is_bled(rig, faults):
    """The check valve opens from head to receiver, whatever the unloader does."""
    session = Session(
        rig, faults, [Injected("unloader-stuck-shut", 1.0)], seed=1, receiver_gauge_pressure=psi(94)
    )
    session.operate("start")
    assert session.run_until("cut-out", 300.0)
    for deed in ("stop", "isolate", "lock"):
        session.operate(deed)
    session.run(60.0)
    assert session.now()["head_line_gauge_pressure"] > psi(80)  # the hot air in it has cooled

    session.operate("open-drain")
    assert session.run_until("receiver-below", 900.0, psi(1))
    assert session.safe_state == "S2"
    assert session.now()["head_line_gauge_pressure"] < psi(3)

    session.operate("vent-head")
    session.run(60.0)
    assert session.safe_state == "S3"


def test_an_isolated_machine_does_not_start(session):
    session.operate("isolate")
    session.operate("open-drain")
    session.operate("start")
    session.run(300.0)

    assert not session.running
    assert session.now()["motor_terminal_voltage"] == 0.0


def test_the_protector_waits_for_its_button_and_the_button_for_the_disc_to_cool(rig, faults):
    session = Session(
        rig, faults, [Injected("start-capacitor-failed", 1.0)], seed=1, receiver_gauge_pressure=psi(80)
    )
    session.operate("start")
    assert session.run_until("trip", 60.0)

    session.operate("reset-protector")
    assert session.protector_tripped  # too hot to hold

    session.run(300.0)
    assert session.protector_tripped  # it does not reset itself

    session.operate("reset-protector")
    assert not session.protector_tripped


def test_a_copy_goes_its_own_way(session):
    other = session.copy()
    other.operate("open-drain")
    other.run(60.0)

    assert session.clock == 0.0
    assert not session.hands.drain_open


def test_looking_ahead_moves_nothing_and_is_what_then_happens(session):
    session.operate("open-drain")
    session.operate("start")
    seen = session.ahead(300.0)
    assert session.clock == 0.0
    assert [event.what for event in seen.events][:1] == ["contacts-closed"]

    session.run(seen.time[-1])

    middle = float(seen.time[-1]) / 2
    assert float(session.trace.at("receiver_gauge_pressure", middle)) == pytest.approx(
        float(seen.at("receiver_gauge_pressure", middle)), abs=psi(0.02)
    )


def test_spread_is_the_same_for_the_same_key_and_differs_between_keys(session):
    assert session.rng("gauge:1").normal() == session.rng("gauge:1").normal()
    assert session.rng("gauge:1").normal() != session.rng("gauge:2").normal()


def test_fed_directly_the_cord_no_longer_counts(rig, faults):
    session = Session(
        rig, faults, [Injected("extension-cord-undersized", 1.0)], seed=1, receiver_gauge_pressure=psi(90)
    )
    session.operate("start")
    with session.fed_directly():
        session.run(0.05)
        direct = session.now()["motor_terminal_voltage"]
    session.run(0.001)

    assert direct > 215.0
    assert session.now()["motor_terminal_voltage"] < 0.85 * direct


def test_records_join_into_one_rising_time_line(session):
    session.operate("open-drain")
    session.run(10.0)
    session.operate("start")
    session.run(100.0)

    time, gauge = session.channel("receiver_gauge_pressure", 5.0, 50.0)
    assert np.all(np.diff(time) >= 0)
    assert time[0] >= 5.0
    assert time[-1] <= 50.0
    assert gauge[0] > gauge[-1]
