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
from simulator.session import Session

RIGS = load_rigs()
FILES = {slug: (FIXTURES / "rigs" / f"{slug}.toml").read_text(encoding="utf-8") for slug in RIGS}
TABLES = {
    file.name: file.read_text(encoding="utf-8") for file in sorted((FIXTURES / "faults").glob("*.toml"))
}


@pytest.mark.parametrize("slug", RIGS)
def test_every_rig_can_have_faults_of_many_systems(slug, faults):
    own = [fault for fault in faults.values() if slug in fault.rigs]

    assert len(own) >= 45
    assert len({fault.system for fault in own}) >= 10


@pytest.mark.parametrize("slug", RIGS)
def test_every_effect_of_every_fault_is_a_known_parameter_within_its_range(slug, faults):
    rig = RIGS[slug]
    for fault in faults.values():
        if slug not in fault.rigs:
            continue
        for severity in (0.0, 0.5, 1.0):
            for place in fault.locations_on(rig) or (None,):
                healthy, put_in = healthy_values(rig), [Injected(fault.slug, severity, place)]
                changed = fault_values(rig, faults, put_in) != healthy
                assert changed or fault.slug.startswith("nofault"), fault.slug
                parameters(rig, faults, put_in)


@pytest.mark.parametrize(
    ("slug", "old", "new", "words"),
    [
        ("twin-60", "bore_mm = 69.85", "bore_mm = 2.75", "is the figure in inches"),
        ("two-stage-80", "bore_mm = 117.47", "bore_mm = 2983.7", "is the figure in inches"),
        ("twin-60", "bore_mm = 69.85", "boer_mm = 69.85", "Did you mean 'bore_mm'"),
        ("twin-60", "clearance_ratio = 0.06", "clearance_ratio = 1.2", "clearance ratio is 1.2; it must lie between"),
        ("twin-60", "cut_in_psig = 95.0", "cut_in_psig = 130.0", "cut-in (130 psig) must be below cut-out (125 psig)"),
        ("twin-60", "cut_out_psig = 125.0", "cut_out_psig = 155.0", "cut-out must lie below the relief's set pressure"),
        ("twin-60", "set_psig = 150.0", "set_psig = 170.0", "above the receiver's MAWP"),
        ("twin-60", "reseat_psig = 128.0", "reseat_psig = 151.0", "reseat pressure must be below its set pressure"),
        ("twin-60", "full_load_current_A = 15.0", "full_load_current_A = 3.0", "does not go with 3 A at 230 V"),
        ("twin-60", "rated_speed_rpm = 3450.0", "rated_speed_rpm = 3700.0", "rated speed must be below synchronous"),
        ("twin-60", "volume_L = 227.1", "volume_L = nan", "nan is not a number of L"),
        ("twin-60", "volume_L = 227.1", "volume_L = inf", "inf is not a number of L"),
        ("twin-60", "volume_L = 227.1", 'volume_L = "60 gal"', "'60 gal' is not a number of L"),
        ("twin-60", "volume_L = 227.1", "volume_L = -5.0", "must be above zero"),
        ("twin-60", 'kind = "switch-mounted"', 'kind = "steam"', "unloader kind 'steam' is not known"),
        ("twin-60", "ratio = 3.282", "ratio = 1.0", "does not go with sheaves"),
        ("twin-60", "volume_L = 227.1", "", "'volume_L' is missing"),
        ("twin-60", 'control = "breaks-motor"', 'control = "breaks-moter"', "control 'breaks-moter' is not one of"),
        ("engine-30", "idle_speed_rpm = 2000.0", "idle_speed_rpm = 4000.0", "must rise in this order"),
        ("two-stage-120", "oil_pressure_psig = 40.0", "oil_pressure_psig = 0.0", "needs a pump with oil_pressure_psig"),
        ("two-stage-120", "intercooler_volume_L = 1.6", "", "needs intercooler_volume_L"),
        ("two-stage-120", 'feed = "hard-wired"', 'feed = "none"', "a motor needs a supply"),
        ("metric-100", 'display_units = "metric"', 'display_units = "imperial"', "is not us or metric"),
    ],
)  # fmt: skip
def test_an_impossible_rig_is_refused_with_place_value_and_rule(tmp_path, slug, old, new, words):
    assert old in FILES[slug]
    path = tmp_path / "rigs.toml"
    path.write_text(FILES[slug].replace(old, new, 1), encoding="utf-8")

    with pytest.raises(BadSpec) as refusal:
        load_rigs(path)

    assert words in str(refusal.value)
    assert slug in str(refusal.value)


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


def test_a_fault_that_a_rig_cannot_have_names_those_that_can(faults):
    with pytest.raises(
        BadFault, match=r"'pilot-drifted' cannot be had by rig 'twin-60'. It goes with: engine-30"
    ):
        fault_values(RIGS["twin-60"], faults, [Injected("pilot-drifted", 0.5)])


def test_a_parameter_that_a_rig_has_no_part_for_is_refused(rig):
    with pytest.raises(
        BadParameter, match=r"intercooler.leak_d_mm cannot be changed on twin-60. It compresses in one stage"
    ):
        set_value(rig, healthy_values(rig), "intercooler.leak_d_mm", 1.0)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("check-valve-missing", "check-valve-stuck-shut"),
        ("check-valve-missing", "check-valve-reversed"),
        ("switch-contacts-welded", "switch-contacts-open"),
        ("start-switch-stuck-open", "start-switch-stuck-closed"),
        ("motor-low-on-high", "motor-high-on-low"),
        ("relief-plugged-off", "relief-seized"),
    ],
)
def test_two_faults_that_contradict_each_other_are_refused(faults, one, other):
    rig = next(rig for slug, rig in RIGS.items() if {slug} <= {*faults[one].rigs} & {*faults[other].rigs})
    for pair in ((one, other), (other, one)):
        with pytest.raises(BadParameter, match="at once; leave one of the two faults out"):
            fault_values(rig, faults, [Injected(slug) for slug in pair])


def test_an_unknown_key_in_the_fault_catalogue_is_refused_with_the_nearest(tmp_path):
    path = tmp_path / "faults.toml"
    text = TABLES["drive.toml"].replace("\nhazard_level", "\nhazard_levle", 1)
    path.write_text(text, encoding="utf-8")

    with pytest.raises(BadSpec, match="Did you mean 'hazard_level'"):
        load_faults(path)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('onset = "gradual"', 'onset = "slow"', "onset 'slow' is not gradual, sudden or installed"),
        ('scale = "lin"', 'scale = "cubic"', "scale 'cubic' is not lin or log"),
    ],
)
def test_an_impossible_fault_is_refused_with_its_value(tmp_path, old, new, words):
    name = next(name for name, text in TABLES.items() if old in text)
    (tmp_path / name).write_text(TABLES[name].replace(old, new, 1), encoding="utf-8")

    with pytest.raises(BadSpec, match=words):
        load_faults(tmp_path)


# -- a run that leaves the model's range says so ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("slug", "put_in", "said"),
    [
        ("single-20", ("switch-contacts-welded", "relief-plugged-off"), "over-pressure"),
        ("two-stage-80", ("stop-valve-closed",), "joint-blows"),
        ("w3-80", ("pump-seized", "overload-defeated"), "winding-burnt"),
    ],
)
def test_a_run_that_leaves_the_safe_range_says_so(faults, slug, put_in, said):
    injected = [Injected(one, 1.0 if faults[one].graded else None) for one in put_in]
    session = Session(RIGS[slug], faults, injected, 1, receiver_gauge_pressure=0.5 * RIGS[slug].switch.cut_in)
    session.operate("start")
    session.run(1200.0)

    assert said in {event.what for event in session.events}


@pytest.mark.parametrize("slug", RIGS)
def test_a_sound_machine_never_leaves_it(faults, slug):
    session = Session(RIGS[slug], faults, [], 1, receiver_gauge_pressure=0.0)
    session.operate("start")
    session.run(600.0)
    session.operate("open-outlet")
    session.run(1800.0)

    assert not {event.what for event in session.events} & {
        "over-pressure", "joint-blows", "winding-burnt", "relief-popped", "head-relief-popped",
        "interstage-relief-popped", "protector-tripped", "engine-stalled",
    }  # fmt: skip
