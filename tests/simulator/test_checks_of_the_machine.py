"""Checks of pressure, air end, heat, oil, receiver and outlet on every rig: sound, and with one thing wrong.

Which outcome belongs to which condition: the trade's table of when and where air is heard, and its readings of the
interstage gauge (common practice, no source), unless a source is named beside a case.
"""

import pytest

from simulator.adjustable import ADJUSTABLE
from simulator.checks import CannotTake, UnknownCheck, checks_for, load_checks, places_for, safe_for, take
from simulator.fitted import has
from simulator.units import QUANTITIES
from tests.simulator.any_machine import RIGS, found_on, machine_of, outcome_of
from tests.simulator.test_checks_of_the_motor import HEALTHY as OF_THE_MOTOR

TWO_STAGE = [slug for slug, rig in RIGS.items() if rig.stages == 2]
ONE_STAGE = [slug for slug in RIGS if slug not in TWO_STAGE]
AT_THE_PUMP = [slug for slug, rig in RIGS.items() if rig.unloader.at_pump]
OILED = [slug for slug, rig in RIGS.items() if rig.pump.lubrication != "none"]
TWO_FILTERS = [slug for slug, rig in RIGS.items() if rig.pump.filters == 2]
MOTORED = [slug for slug, rig in RIGS.items() if not rig.has_engine]
HEALTHY = {
    "look": {"nothing-odd", "lever-on", "standing", "lever-off"},
    "relief-tag": {"tag-suits-plate"},
    "tank-gauge": {"in-the-band"},
    "reference-gauge": {"agree"},
    "cut-in-out": {"as-set"},
    "pump-up": {"as-the-sheet"},
    "bleed-down": {"holds"},
    "isolate-outlet": {"both-hold"},
    "head-line-gauge": {"follows-then-zero"},
    "unloader-feel": {"puff-at-stop", "blows-while-idling"},
    "head-vent": {"starts-unaided"},
    "interstage-run": {"as-the-sheet"},
    "interstage-stopped": {"falls-with-the-blow"},
    "check-bench": {"tight-one-way"},
    "relief-ring": {"pops-and-shuts"},
    "listen-run": {"usual-sound"},
    "listen-stop": {"psst-then-silent", "no-air", "whoosh-while-idling"},
    "listen-settled": {"silent"},
    "vent-time": {"about-right"},
    "soap": {"no-bubbles"},
    "intake-feel": {"draws-in"},
    "filter-out": {"no-difference"},
    "breather-feel": {"light-flutter", "dry"},
    "crankcase-manometer": {"healthy"},
    "head-temps": {"both-as-usual"},
    "line-temps": {"as-usual"},
    "turn-by-hand": {"turns-freely"},
    "valve-plate-bench": {"both-hold"},
    "cylinder-inspect": {"bore-and-rings-good"},
    "oil-level": {"at-mark"},
    "oil-condition": {"clean"},
    "oil-pressure": {"right-both-ways"},
    "drain-water": {"cupful"},
    "drain-feel": {"no-bubbles"},
    "tank-survey": {"sound"},
    "regulator-flow": {"holds"},
    "regulator-creep": {"stands-still"},
    "downstream-survey": {"tight"},
}
EVERY = [
    (slug, check.slug, place.slug)
    for slug, rig in RIGS.items()
    for check in checks_for(rig).values()
    for place in check.places
]
SOUND = [
    (slug, check, place)
    for slug, check, place in EVERY
    if check in HEALTHY and not (RIGS[slug].has_engine and (check, place) == ("line-temps", "motor"))
]


def test_every_check_has_its_sound_outcome_in_one_of_the_two_tables():
    assert set(HEALTHY) | set(OF_THE_MOTOR) == set(load_checks())
    assert not set(HEALTHY) & set(OF_THE_MOTOR)


@pytest.mark.parametrize(("slug", "check", "place"), SOUND)
def test_a_sound_machine_gives_the_sound_outcome_and_costs_its_time(slug, check, place):
    finding = found_on(machine_of(slug), check, place)

    assert finding.outcome in HEALTHY[check]
    charged = finding.ended_at - finding.started_at
    assert 60.0 * min(load_checks()[check].minutes, 2.0) - 1e-6 <= charged <= 70.0 * 60.0
    for reading in finding.readings:
        assert reading.quantity in QUANTITIES
        assert reading.value == pytest.approx(reading.value, nan_ok=False)


def test_where_the_machine_vents_decides_where_the_stop_is_heard():
    """The one at the pump says nothing at the switch; the engine's goes on blowing as long as it idles."""
    assert outcome_of("two-stage-80", "listen-stop", "lp-unloader-port") == "psst-then-silent"
    assert outcome_of("two-stage-120", "listen-stop", "lp-pump-vent") == "psst-then-silent"
    assert outcome_of("two-stage-120", "listen-stop", "lp-switch-cover") == "no-air"
    assert outcome_of("w3-80", "listen-stop", "lp-pump-vent") == "psst-then-silent"
    assert outcome_of("engine-30", "listen-stop", "lp-dump-port") == "whoosh-while-idling"


# Rigs, what is wrong, check, place, outcome.
CASES = [
    (TWO_STAGE, {"pump.intake_valve_leak_d_mm@lp1": 5.0}, "interstage-run", "", "low"),
    (TWO_STAGE, {"intercooler.leak_d_mm": 3.0}, "interstage-run", "", "low"),
    (TWO_STAGE, {"intake.area_factor": 0.08}, "interstage-run", "", "low"),
    (TWO_STAGE, {"pump.intake_valve_leak_d_mm@hp1": 3.0}, "interstage-run", "", "high-and-swinging"),
    (TWO_STAGE, {"pump.discharge_valve_leak_d_mm@hp1": 2.0}, "interstage-run", "", "high-and-climbing"),
    (TWO_STAGE, {"intercooler.approach_c": 50.0}, "interstage-run", "", "a-little-high"),
    (TWO_STAGE, {"unloader.open_fraction": 0.0}, "interstage-stopped", "", "stays-up"),
    (TWO_STAGE, {"intercooler.approach_c": 70.0}, "line-temps", "lp-intercooler", "hotter"),
    (TWO_STAGE, {"intercooler.leak_d_mm": 3.0}, "soap", "lp-intercooler", "foam-blown-off"),
    (TWO_STAGE, {"intercooler.leak_d_mm": 3.0}, "listen-run", "lp-intercooler", "blow"),
    (TWO_STAGE, {"relief.interstage.leak_d_mm": 1.0}, "listen-run", "lp-interstage-relief", "hiss"),
    (MOTORED, {"check.state": "missing"}, "check-bench", "", "body-empty"),
    (RIGS, {"check.state": "reversed"}, "check-bench", "", "arrow-wrong-way"),
    (RIGS, {"check.state": "stuck_shut"}, "check-bench", "", "passes-neither-way"),
    (RIGS, {"check.reverse_ratio": 0.003}, "check-bench", "", "bubbles-at-seat"),
    (RIGS, {"check.reverse_ratio": 0.3}, "check-bench", "", "passes-both-ways"),
    (RIGS, {"pump.valve_area_factor": 0.5}, "check-bench", "", "tight-but-carbon"),
    (RIGS, {"relief.tank.state": "seized"}, "relief-ring", "", "ring-stuck"),
    (RIGS, {"relief.tank.state": "plugged"}, "relief-ring", "", "no-ring"),
    (RIGS, {"relief.tank.leak_d_mm": 1.0}, "relief-ring", "", "does-not-reseat"),
    (RIGS, {"gauge.tank.offset_psi": 15.0}, "reference-gauge", "", "fitted-reads-high"),
    (RIGS, {"gauge.tank.offset_psi": -15.0}, "reference-gauge", "", "fitted-reads-low"),
    (RIGS, {"gauge.tank.state": "stuck"}, "reference-gauge", "", "fitted-does-not-move"),
    (RIGS, {"gauge.tank.state": "snubbed"}, "reference-gauge", "", "fitted-lags"),
    (MOTORED, {"relief.tank.set_offset_psi": -45.0}, "reference-gauge", "", "agree-relief-early"),
    (MOTORED, {"switch.cut_out_offset_psi": 50.0}, "reference-gauge", "", "agree-relief-at-tag"),
    (MOTORED, {"switch.state": "welded"}, "cut-in-out", "", "runs-on-after-snap"),
    (MOTORED, {"switch.state": "welded"}, "duty-log", "", "never-rests"),
    (MOTORED, {"switch.sense_area_factor": 0.0}, "reference-gauge", "", "agree-control-deaf"),
    (RIGS, {"headline.area_factor": 0.03}, "head-line-gauge", "", "stands-above-receiver"),
    (RIGS, {"pump.intake_valve_state@head-1": "broken_open"}, "valve-plate-bench", "head-1", "intake-valve-broken"),
    (RIGS, {"pump.discharge_valve_leak_d_mm@head-1": 2.0}, "valve-plate-bench", "head-1", "discharge-weeps"),
    (RIGS, {"pump.intake_valve_leak_d_mm@head-1": 2.0}, "valve-plate-bench", "head-1", "intake-weeps"),
    (RIGS, {"pump.head_gasket_inner_d_mm@head-1": 2.0}, "valve-plate-bench", "head-1", "gasket-tracked-across"),
    (RIGS, {"pump.head_gasket_outer_d_mm@head-1": 2.0}, "valve-plate-bench", "head-1", "gasket-tracked-outwards"),
    (RIGS, {"pump.discharge_valve_state@head-1": "stuck_shut"}, "valve-plate-bench", "head-1", "discharge-port-covered"),
    (RIGS, {"pump.valve_area_factor": 0.5}, "valve-plate-bench", "head-1", "caked-with-carbon"),
    (RIGS, {"pump.ring_leak_d_mm@head-1": 2.0}, "cylinder-inspect", "head-1", "rings-done"),
    (RIGS, {"pump.knock_level": 2.0}, "cylinder-inspect", "head-1", "rod-has-play"),
    (RIGS, {"pump.friction_factor": 2.5}, "cylinder-inspect", "head-1", "bore-scored"),
    (RIGS, {"pump.locked": "yes"}, "turn-by-hand", "", "will-not-turn"),
    (RIGS, {"drive.key_state": "loose"}, "turn-by-hand", "", "rocks-on-its-shaft"),
    (RIGS, {"pump.discharge_valve_state@head-1": "stuck_shut"}, "turn-by-hand", "", "stops-hard"),
    (RIGS, {"pump.knock_level": 2.0}, "listen-run", "flywheel", "knock"),
    (RIGS, {"drive.key_state": "loose"}, "listen-run", "flywheel", "clack"),
    (RIGS, {"pump.head_gasket_outer_d_mm@head-1": 2.0}, "soap", "lp-head-joint", "foam-blown-off"),
    (RIGS, {"unloader.tube_leak_d_mm": 1.0}, "listen-run", "lp-unloader-tube", "hiss or blow"),
    (AT_THE_PUMP, {"unloader.running_leak_d_mm": 2.0}, "unloader-feel", "lp-pump-vent", "blows-while-pumping"),
    (AT_THE_PUMP, {"unloader.open_fraction": 0.0}, "listen-stop", "lp-pump-vent", "no-psst"),
    (MOTORED, {"check.reverse_ratio": 0.005}, "listen-settled", "", "faint-hiss or strong-blow"),
    (OILED, {"crankcase.breather_area_factor": 0.0}, "breather-feel", "lp-breather", "no-puff"),
    (TWO_STAGE, {"crankcase.breather_area_factor": 0.0}, "breather-feel", "lp-crank-seal", "oil-creeps-out"),
    (["two-stage-120"], {"crankcase.breather_area_factor": 0.0}, "crankcase-manometer", "", "raised or high"),
    (OILED, {"lube.level_fraction": 0.4}, "oil-level", "", "below-mark"),
    (OILED, {"lube.level_fraction": 1.5}, "oil-level", "", "above-mark"),
    (OILED, {"lube.water_pct": 5.0}, "oil-condition", "", "milky"),
    (OILED, {"lube.grade": "detergent"}, "oil-condition", "", "engine-oil"),
    (OILED, {"lube.grade": "thick"}, "oil-condition", "", "thick"),
    (OILED, {"pump.knock_level": 2.0}, "oil-condition", "", "glitters"),
    (RIGS, {"lube.pressure_factor": 0.5}, "oil-pressure", "", "low-and-late"),
    (RIGS, {"lube.pressure_factor": 0.15}, "oil-pressure", "", "low-never-loads"),
    (["two-stage-120"], {"unloader.always_open": "yes"}, "oil-pressure", "", "right-never-loads"),
    (["two-stage-120"], {"unloader.open_fraction": 0.0}, "oil-pressure", "", "right-never-vents"),
    (["two-stage-120"], {"motor.rotation": "reverse"}, "oil-pressure", "", "no-pressure"),
    (RIGS, {"receiver.water_fraction": 0.4}, "drain-water", "", "litres"),
    (RIGS, {"lube.carryover_factor": 5.0}, "drain-water", "", "cupful-with-oil"),
    (RIGS, {"receiver.wall_mm": 1.5}, "tank-survey", "", "below-retiring-thickness"),
    (RIGS, {"receiver.shell_repair": "yes"}, "tank-survey", "", "patched"),
    (RIGS, {"receiver.leak_d_mm": 0.5}, "tank-survey", "", "holed"),
    (RIGS, {"outlet.regulator_creep_psi_min": 8.0}, "regulator-creep", "", "creeps or creeps-and-vents"),
    (RIGS, {"outlet.downstream_leak_d_mm": 3.0}, "downstream-survey", "", "many-and-large"),
    (RIGS, {"intake.area_factor": 0.06}, "filter-out", "", "climbs-faster"),
    (RIGS, {"pump.head_gasket_inner_d_mm@head-1": 3.0}, "listen-stop", "lp-intake", "sigh"),
    (RIGS, {"cooling.ambient_c": 45.0}, "line-temps", "lp-intake", "room-hot"),
]  # fmt: skip


def named(slug: str, changes: dict[str, float | str]) -> dict[str, float | str] | None:
    """The changes with "head-1" written as the cylinder below it; None where the rig has no such part."""
    below = {f"head-{RIGS[slug].pump.head_of(c.slug)}": c.slug for c in RIGS[slug].pump.cylinders}
    written = {}
    for name, value in changes.items():
        plain, _, at = name.partition("@")
        needs = ADJUSTABLE[plain].needs
        if needs and not has(RIGS[slug], needs):
            return None
        written[f"{plain}@{below.get(at, at)}" if at else plain] = value
    return written


ON_EACH = [
    (slug, changes, check, place, expected)
    for rigs, given, check, place, expected in CASES
    for slug in rigs
    if (changes := named(slug, given)) is not None
    and check in checks_for(RIGS[slug])
    and (not place or place in {p.slug for p in checks_for(RIGS[slug])[check].places})
]


@pytest.mark.parametrize(("slug", "changes", "check", "place", "expected"), ON_EACH)
def test_one_thing_wrong_gives_its_outcome(slug, changes, check, place, expected):
    changes = {name.replace(".", "__"): value for name, value in changes.items()}

    assert outcome_of(slug, check, place, **changes) in expected.split(" or ")


@pytest.mark.parametrize("slug", TWO_FILTERS)
@pytest.mark.parametrize(("cylinder", "kicks", "draws"), [("lp1", "lp-intake", "lp-intake-2"), ("lp2", "lp-intake-2", "lp-intake")])  # fmt: skip
def test_each_filter_tells_of_its_own_cylinder(slug, cylinder, kicks, draws):
    leak = {f"pump__intake_valve_leak_d_mm@{cylinder}": 3.0}

    assert outcome_of(slug, "intake-feel", kicks, **leak) in ("kicks-outward", "blasts-in-and-out")
    assert outcome_of(slug, "intake-feel", draws, **leak) == "draws-in"


@pytest.mark.parametrize("slug", ONE_STAGE)
def test_a_machine_without_an_interstage_says_so(slug):
    session = machine_of(slug)
    clock = session.clock

    with pytest.raises(CannotTake, match="compresses in one stage"):
        take(session, "interstage-run")

    assert session.clock == clock


@pytest.mark.parametrize(
    ("slug", "check", "place", "reason"),
    [
        ("oilfree-6", "oil-level", "", "runs dry"),
        ("oilfree-6", "crankcase-manometer", "", "runs dry"),
        ("twin-60", "oil-pressure", "", "no oil pressure"),
        ("single-20", "valve-plate-bench", "head-2", "one first-stage cylinder"),
        ("two-stage-120", "listen-stop", "lp-unloader-port", "not on a pressure switch"),
        ("two-stage-80", "intake-feel", "lp-intake-2", "One filter"),
        ("engine-30", "vent-time", "", "idles"),
        ("engine-30", "soap", "lp-switch-cover", "no pressure switch"),
    ],
)
def test_a_place_or_check_that_a_rig_lacks_is_refused_with_the_reason(slug, check, place, reason):
    with pytest.raises(CannotTake, match=reason):
        take(machine_of(slug), check, place)


def test_a_place_of_no_machine_is_unknown_and_not_merely_lacking():
    with pytest.raises(UnknownCheck):
        take(machine_of("oilfree-6"), "oil-level", "belt")


@pytest.mark.parametrize("slug", RIGS)
def test_the_checks_of_a_rig_are_the_whole_roll_less_what_it_lacks(slug):
    offered, whole = checks_for(RIGS[slug]), load_checks()

    assert list(offered) == [name for name in whole if places_for(RIGS[slug], whole[name])]
    assert all(check.places for check in offered.values())


def test_a_fitted_gauge_between_the_stages_need_not_be_put_in_at_zero():
    for slug, safe in (("two-stage-120", "S1"), ("two-stage-80", "S3")):
        check = checks_for(RIGS[slug])["interstage-run"]
        assert safe_for(check, "lp-intercooler") == safe
