"""Fixtures are read strictly: what is unknown, impossible or out of range is refused with the way to mend it."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulator.adjustable import ADJUSTABLE, BadParameter, fault_values, healthy_values, set_value
from simulator.components.spec import BadSpec
from simulator.faults import FIXTURES, BadFault, Injected, find, load_faults
from simulator.machine import parameters
from simulator.rig import UnknownRig, find_rig, load_rigs

RIGS = (FIXTURES / "rigs.toml").read_text(encoding="utf-8")


def test_there_are_faults_of_at_least_six_systems_on_the_twin(faults):
    on_twin = [fault for fault in faults.values() if "twin-60" in fault.rigs]

    assert len(on_twin) >= 12
    assert len({fault.system for fault in on_twin}) >= 6


def test_every_effect_of_every_fault_is_a_known_parameter_within_its_range(rig, faults):
    for fault in faults.values():
        for severity in (0.0, 0.5, 1.0):
            healthy, ill = healthy_values(rig), fault_values(rig, faults, [Injected(fault.slug, severity)])
            assert ill != healthy, fault.slug
            parameters(rig, faults, [Injected(fault.slug, severity)])


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("bore_mm = 69.85", "bore_mm = 2.75", "is the figure in inches"),
        ("bore_mm = 69.85", "boer_mm = 69.85", "Did you mean 'bore_mm'"),
        ("clearance_ratio = 0.06", "clearance_ratio = 1.2", "must lie between"),
        ("cut_in_psig = 95.0", "cut_in_psig = 130.0", "cut-in (130 psig) must be below cut-out (125 psig)"),
        ("set_psig = 150.0", "set_psig = 170.0", "above the receiver's MAWP"),
        ("full_load_current_A = 15.0", "full_load_current_A = 3.0", "does not go with 3 A at 230 V"),
        ("volume_L = 227.1", "volume_L = nan", "is not a number"),
        ("volume_L = 227.1", "volume_L = -5.0", "must be above zero"),
        ('kind = "switch-mounted"', 'kind = "steam"', "unloader kind 'steam' is not known"),
        ("ratio = 3.282", "", "'ratio' is missing"),
    ],
)
def test_an_impossible_rig_is_refused_with_place_value_and_rule(tmp_path, old, new, words):
    assert old in RIGS
    path = tmp_path / "rigs.toml"
    path.write_text(RIGS.replace(old, new, 1), encoding="utf-8")

    with pytest.raises(BadSpec) as refusal:
        load_rigs(path)

    assert words in str(refusal.value)
    assert "twin-60" in str(refusal.value)


def test_an_unknown_rig_names_the_nearest():
    with pytest.raises(UnknownRig, match="Did you mean 'twin-60'"):
        find_rig(load_rigs(), "twin60")


def test_an_unknown_fault_names_the_nearest(faults):
    with pytest.raises(BadFault, match="Did you mean 'check-valve-seep'"):
        find(faults, "check-valve-sepe")


@given(st.floats(allow_nan=True, allow_infinity=True).filter(lambda s: not 0.0 <= s <= 1.0))
def test_a_severity_outside_nought_to_one_is_refused(severity):
    with pytest.raises(BadFault, match="outside 0 to 1"):
        Injected("check-valve-seep", severity)


def test_a_fault_twice_or_at_a_place_it_cannot_be_is_refused(rig, faults):
    with pytest.raises(BadFault, match="put in twice"):
        fault_values(rig, faults, [Injected("ring-wear", 0.2), Injected("ring-wear", 0.9)])
    with pytest.raises(BadFault, match="has no location 'cyl9'"):
        fault_values(rig, faults, [Injected("intake-reed-leak", 0.2, "cyl9")])


def test_two_leaks_on_one_path_add_their_areas(rig):
    values = healthy_values(rig)
    set_value(rig, values, "receiver.drain_leak_d_mm", 3.0)
    set_value(rig, values, "receiver.drain_leak_d_mm", 4.0)

    assert values["receiver.drain_leak_d_mm"] == pytest.approx(5.0)


def test_a_fault_of_one_cylinder_leaves_the_other_alone(rig, faults):
    values = fault_values(rig, faults, [Injected("intake-reed-leak", 0.7, "cyl2")])

    assert values["pump.intake_valve_leak_d_mm@cyl1"] == ADJUSTABLE["pump.intake_valve_leak_d_mm"].healthy
    assert values["pump.intake_valve_leak_d_mm@cyl2"] == pytest.approx(0.6 * 10**0.7)


@pytest.mark.parametrize("value", [math.nan, math.inf, -1.0, "wide"])
def test_a_parameter_never_takes_a_value_it_cannot_have(rig, value):
    with pytest.raises(BadParameter, match="outside"):
        set_value(rig, healthy_values(rig), "receiver.drain_leak_d_mm", value)


def test_an_unknown_key_in_the_fault_catalogue_is_refused_with_the_nearest(tmp_path):
    path = tmp_path / "faults.toml"
    text = (FIXTURES / "faults.toml").read_text(encoding="utf-8")
    path.write_text(text.replace("\nhazard_level", "\nhazard_levle", 1), encoding="utf-8")

    with pytest.raises(BadSpec, match="Did you mean 'hazard_level'"):
        load_faults(path)
