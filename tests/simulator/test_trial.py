"""The standard trial: the same figures every time, read rightly, and an end to it on machines that cannot pump."""

import math

import pytest

from simulator.figures import alike
from simulator.rig import load_rigs
from simulator.trial import figures, healthy_figures
from simulator.trial.filling import fill
from tests.simulator.conditions import CONDITION, condition

RIGS = load_rigs()
EVERY_RIG = pytest.mark.parametrize("rig", RIGS.values(), ids=RIGS)


def tried(rig, **changes):
    """Figures of a rig with physical parameters set by hand."""
    return figures(rig, condition(rig, **changes), CONDITION)


@EVERY_RIG
def test_a_sound_machine_stops_vents_holds_and_starts(rig):
    found = healthy_figures(rig)

    assert found["pumping"]["stops"] == "yes"
    assert found["pumping"]["top_pressure"] == pytest.approx(rig.switch.cut_out / 6894.757, abs=2.0)
    assert found["pumping"]["output"] == 100.0
    assert found["pumping"]["relief_lifts"] == "no"
    assert found["just-stopped"]["vent_time"] < 10.0
    assert found["just-stopped"]["head_line"] < (12.0 if rig.has_engine else 2.0)  # an engine idles on
    assert 0.0 <= found["settled"]["receiver_fall"] < 2.0
    assert found["restart"]["outcome"] == "starts"


@EVERY_RIG
def test_nothing_put_in_gives_the_sound_machine_and_the_same_gives_the_same(rig):
    leaky = {"receiver__drain_leak_d_mm": 0.5}

    assert figures(rig, {}, ()) == healthy_figures(rig)
    assert all(
        alike(state, name, value, healthy_figures(rig)[state][name])
        for state, read in tried(rig, receiver__leak_d_mm=0.04).items()
        for name, value in read.items()
    )
    assert tried(rig, **leaky) == tried(rig, **leaky)


@EVERY_RIG
def test_a_hole_of_known_size_leaks_what_the_orifice_formula_says(rig):
    """Choked flow of free air, 0.196 L/s for each mm² and bar absolute, at a discharge coefficient of 0.8.

    Source: critical flow of air through an orifice, handbooks of compressed air; hot air is some percent less.
    """
    found = tried(rig, receiver__drain_leak_d_mm=0.5)["pumping"]["leak:lp-drain"]
    absolute_bar = (rig.switch.cut_out / 6894.757 - 7.5 + 14.7) / 14.504

    assert found == pytest.approx(60.0 * 0.196 * 0.8 * math.pi / 4.0 * 0.25 * absolute_bar, rel=0.07)


@EVERY_RIG
def test_a_machine_that_cannot_pump_is_given_up_and_has_the_air_it_had_before(rig):
    blocked = condition(rig, intake__area_factor=0.01, receiver__drain_leak_d_mm=12.0)
    found = figures(rig, blocked, CONDITION)
    clock = fill(rig, blocked, CONDITION, 6.0 * healthy_figures(rig)["pumping"]["pump_up"]).machine.clock

    assert found["pumping"]["pump_up"] == math.inf
    assert found["pumping"]["stops"] == "no"
    assert clock < 7.0 * healthy_figures(rig)["pumping"]["pump_up"] + 60.0
    assert found["settled"]["leak:lp-drain"] > 100.0
    assert found["settled"]["receiver_fall"] > 20.0


@EVERY_RIG
def test_heads_are_read_hot_whatever_the_time_to_fill(rig):
    """Long pumping at one pressure: a machine that drains half of its output is as hot as one that does not."""
    drained = tried(rig, receiver__drain_leak_d_mm=0.8)

    for name in ("head_hottest", "line_pump", "line_tank"):
        assert drained["pumping"][name] == pytest.approx(healthy_figures(rig)["pumping"][name], abs=2.0)


def test_a_head_that_does_not_vent_and_a_pump_that_is_locked_are_told_apart_at_the_restart():
    rig = RIGS["twin-60"]
    sealed = tried(rig, unloader__open_fraction=0.0)
    locked = tried(rig, pump__locked="yes")
    cut_off = tried(rig, switch__state="open")

    assert sealed["just-stopped"]["vent_time"] == math.inf
    assert sealed["just-stopped"]["head_line"] > 60.0
    assert sealed["restart"]["outcome"] == "stalls"
    assert sealed["restart"]["start_time"] == math.inf
    assert locked["restart"]["outcome"] == "will not turn"
    assert cut_off["restart"]["outcome"] == "dead"
    assert cut_off["restart"]["amps_peak"] == 0.0


def test_a_switch_that_never_opens_runs_to_the_relief_and_is_stopped_by_hand():
    rig = RIGS["twin-60"]
    welded = tried(rig, switch__state="welded")

    assert welded["pumping"]["stops"] == "no"
    assert welded["pumping"]["relief_lifts"] == "yes"
    assert welded["pumping"]["top_pressure"] == pytest.approx(rig.relief.set_pressure / 6894.757, abs=5.0)
    assert welded["restart"]["outcome"] == "starts"


def test_a_leak_beyond_the_outlet_falls_only_with_the_outlet_open():
    found = tried(RIGS["twin-60"], outlet__downstream_leak_d_mm=1.0)

    assert found["settled"]["receiver_fall"] == pytest.approx(
        healthy_figures(RIGS["twin-60"])["settled"]["receiver_fall"], abs=0.5
    )
    assert found["settled"]["receiver_fall_open"] > 20.0
