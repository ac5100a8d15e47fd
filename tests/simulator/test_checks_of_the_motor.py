"""Checks of supply, motor and drive on every rig that has what they need: sound, and with one thing wrong.

Which outcome belongs to which condition: common practice, no source, otherwise named beside the case.
"""

import pytest

from simulator.checks import CannotTake, UnsafeCheck, checks_for, take
from tests.simulator.any_machine import (
    BELT,
    ELECTRIC,
    ELECTRIC_BELT,
    RIGS,
    SINGLE_PHASE,
    THREE_PHASE,
    found_on,
    machine_of,
    outcome_of,
)

RUN_CAPACITOR = [slug for slug in SINGLE_PHASE if RIGS[slug].electric_motor.run_capacitance > 0.0]
STARTER = [slug for slug in ELECTRIC if RIGS[slug].control == "pilots-starter"]
IN_MOTOR_LINE = [slug for slug in ELECTRIC if RIGS[slug].control == "breaks-motor"]
# A three-phase machine has a cord too, but its current is small: no cord one would find starves it.
CORD = [slug for slug in SINGLE_PHASE if RIGS[slug].supply.feed == "cord"]

HEALTHY = {
    "interview": {"told"},
    "nameplates": {"plates-agree"},
    "overload-setting": {"as-the-plate"},
    "rotation": {"with-the-arrow"},
    "duty-log": {"as-usual"},
    "prove-dead": {"dead"},
    "volts-idle": {"right"},
    "volts-start": {"holds-up"},
    "volts-run": {"right"},
    "volt-drop-contact": {"under-limit"},
    "amps-start": {"short-inrush"},
    "amps-run": {"as-the-sheet"},
    "phase-balance": {"balanced"},
    "capacitor": {"both-in-range"},
    "winding-ohms": {"as-the-sheet"},
    "megger": {"sound"},
    "motor-belt-off": {"quiet-alone"},
    "direct-supply": {"no-difference"},
    "belt-tension": {"as-the-rule"},
    "alignment": {"touches-all-four"},
    "pump-rpm": {"on-plate"},
    "engine-speed": {"both-right"},
    "pilot-vent": {"speaks-and-obeys"},
    "ultrasonic": {"nothing-heard"},
}
SOUND = [
    (slug, check.slug, place.slug)
    for slug, rig in RIGS.items()
    for check in checks_for(rig).values()
    if check.slug in HEALTHY and (check.slug != "direct-supply" or rig.supply.feed == "cord")
    for place in check.places
]


@pytest.mark.parametrize(("slug", "check", "place"), SOUND)
def test_a_sound_machine_gives_the_sound_outcome(slug, check, place):
    assert outcome_of(slug, check, place) in HEALTHY[check]


def each(slugs, *cases):
    """Every case on every rig."""
    return [
        (slug, changes, check, place, expected) for slug in slugs for changes, check, place, expected in cases
    ]


CASES = [
    *each(
        ELECTRIC,
        ({"motor__trip_factor": 0.75}, "overload-setting", "", "set-low"),
        ({"motor__trip_factor": 1.6}, "overload-setting", "", "set-high"),
        ({"switch__wiring": "overload_bypassed"}, "overload-setting", "", "jumper-across"),
        ({"motor__insulation_Mohm": 0.4}, "megger", "", "failed"),
        ({"motor__insulation_Mohm": 2.0}, "megger", "", "doubtful"),
        ({"supply__volts_factor": 0.85}, "volts-idle", "", "low"),
        ({"supply__volts_factor": 0.85}, "volts-run", "supply", "low"),
        ({"motor__size_factor": 0.5}, "nameplates", "motor", "less-power"),
        ({"motor__poles": "swapped"}, "nameplates", "motor", "other-speed"),
        ({"motor__fit": "wrong_frame"}, "nameplates", "motor", "other-frame"),
        ({"motor__fit": "wrong_frame"}, "look", "motor", "packed-up"),
        ({"motor__connection": "low_on_high"}, "nameplates", "motor", "straps-for-lower-voltage"),
        ({"motor__connection": "high_on_low"}, "nameplates", "motor", "straps-for-higher-voltage"),
        ({"motor__cooling_factor": 0.5}, "look", "motor", "vents-blocked"),
        ({"pump__locked": "yes"}, "amps-start", "", "stays-locked"),
        ({"switch__state": "welded"}, "prove-dead", "", "poles-stay-closed"),
        ({"switch__state": "open"}, "volt-drop-contact", "switch", "stands-open"),
        ({"switch__state": "open"}, "amps-start", "", "no-current"),
    ),
    *each(
        SINGLE_PHASE,
        ({"motor__start_cap_factor": 0.5}, "capacitor", "", "start-low"),
        ({"motor__start_cap_factor": 0.0}, "capacitor", "", "start-open"),
        ({"motor__start_cap_factor": 0.0}, "amps-start", "", "start-lead-dead"),
        ({"motor__start_switch": "stuck_open"}, "amps-start", "", "start-lead-dead"),
        ({"motor__start_switch": "stuck_open"}, "capacitor", "", "both-in-range"),
        ({"motor__start_switch": "stuck_open"}, "winding-ohms", "", "start-circuit-open"),
        ({"motor__start_switch": "stuck_closed"}, "amps-start", "", "start-lead-stays"),
        ({"motor__shorted_turns_pct": 10.0}, "winding-ohms", "", "main-low"),
    ),
    *each(
        RUN_CAPACITOR,
        ({"motor__run_cap_factor": 0.6}, "capacitor", "", "run-low"),
        ({"motor__run_cap_factor": 0.0}, "capacitor", "", "run-open"),
        ({"motor__run_cap_factor": 0.7}, "amps-run", "", "high"),
    ),
    *each(
        IN_MOTOR_LINE,
        ({"switch__contact_ohm": 0.15}, "volt-drop-contact", "switch", "over-limit"),
        ({"supply__joint_ohm": 0.15}, "volt-drop-contact", "motor-lead", "over-limit"),
        ({"supply__joint_ohm": 0.15}, "volt-drop-contact", "switch", "under-limit"),
        ({"switch__contact_ohm": 0.15}, "volt-drop-contact", "motor-lead", "under-limit"),
        ({"switch__wiring": "one_leg_direct"}, "prove-dead", "", "one-leg-goes-through"),
    ),
    *each(
        STARTER,
        ({"starter__state": "coil_open"}, "volt-drop-contact", "starter", "stands-open"),
        ({"starter__state": "coil_open"}, "volt-drop-contact", "switch", "no-current"),
        ({"starter__state": "contacts_worn"}, "volt-drop-contact", "starter", "over-limit"),
        ({"starter__state": "coil_open"}, "amps-start", "", "no-current"),
    ),
    *each(
        THREE_PHASE,
        ({"supply__phase_open": "yes"}, "phase-balance", "", "one-line-dead"),
        ({"supply__phase_open": "yes"}, "motor-belt-off", "", "will-not-start-alone"),
        ({"supply__phase_open": "yes"}, "volts-idle", "", "one-line-missing"),
        ({"pump__locked": "yes"}, "phase-balance", "", "equal-and-locked"),
        ({"supply__unbalance_pct": 4.0}, "phase-balance", "", "stays-with-supply"),
        ({"supply__unbalance_pct": 4.0}, "volts-idle", "", "unequal"),
        ({"motor__shorted_turns_pct": 12.0}, "phase-balance", "", "moves-with-motor"),
        ({"motor__shorted_turns_pct": 12.0}, "winding-ohms", "", "unequal"),
    ),
    *each(
        ELECTRIC_BELT,
        ({"motor__rotation": "reverse"}, "rotation", "", "against-the-arrow"),
        ({"motor__friction_factor": 4.0}, "motor-belt-off", "", "rumbles-alone"),
        ({"pump__knock_level": 3.0}, "motor-belt-off", "", "quiet-alone"),
        ({"pump__locked": "yes"}, "motor-belt-off", "", "quiet-alone"),
    ),
    *each(["single-20", "twin-60"], ({"motor__poles": "swapped"}, "pump-rpm", "", "motor-off-speed")),
    *each(  # a two-pole motor on a four-pole's drive is dragged down and trips
        ["two-stage-120", "w3-80"], ({"motor__poles": "swapped"}, "pump-rpm", "", "trips-running-up"),
    ),
    *each(
        [slug for slug in SINGLE_PHASE if slug in BELT],
        ({"motor__start_switch": "stuck_closed"}, "motor-belt-off", "", "amps-high-alone"),
        ({"motor__connection": "high_on_low"}, "motor-belt-off", "", "amps-low-alone"),
    ),
    *each(
        BELT,
        ({"drive__slip_pct": 12.0}, "belt-tension", "", "very-slack"),
        ({"drive__slip_pct": 12.0}, "pump-rpm", "", "belt-slips"),
        ({"drive__slip_pct": 12.0}, "look", "belt", "belt-dust"),
        ({"drive__misalign_deg": 1.0}, "alignment", "", "out-of-line"),
        ({"drive__misalign_deg": 3.0}, "alignment", "", "far-out"),
        ({"drive__ratio_factor": 1.2}, "pump-rpm", "", "flywheel-fast"),
        ({"drive__key_state": "loose"}, "look", "flywheel", "rust-at-hub"),
    ),
    *each(
        CORD,
        ({"supply__extra_ohm": 1.0}, "look", "supply", "cord-in-supply"),
        ({"supply__extra_ohm": 1.0}, "volts-start", "motor-lead", "sags-deep"),
        ({"supply__extra_ohm": 1.0}, "volts-start", "supply", "holds-up"),
        ({"motor__start_cap_factor": 0.0}, "direct-supply", "", "still-fails"),
    ),
    *each(["oilfree-6"], ({"supply__extra_ohm": 1.0}, "direct-supply", "", "starts-easier")),
    *each(["single-20"], ({"supply__extra_ohm": 1.0}, "direct-supply", "", "starts-now")),
    *each(
        RIGS,
        ({"relief__tank__state": "plugged"}, "look", "lp-tank-relief", "no-relief"),
        ({"relief__tank__state": "plugged"}, "nameplates", "plates", "no-relief"),
        (
            {"relief__tank__state": "wrong_high", "relief__tank__set_offset_psi": 40.0},
            "look", "lp-tank-relief", "tag-above-plate",
        ),
        ({"headline__stop_valve": "open"}, "look", "lp-head-line", "valve-in-line"),
        ({"headline__stop_valve": "closed"}, "look", "lp-head-line", "valve-in-line-shut"),
        ({"receiver__shell_repair": "yes"}, "look", "lp-shell", "patched-shell"),
        ({"pipe__material": "plastic"}, "look", "lp-outlet", "plastic-line"),
        ({"receiver__leak_d_mm": 0.3}, "ultrasonic", "lp-shell", "hiss"),
        ({"outlet__downstream_leak_d_mm": 0.3}, "ultrasonic", "lp-outlet", "hiss"),
        ({"receiver__leak_d_mm": 0.3}, "ultrasonic", "lp-drain", "nothing-heard"),
        ({"gauge__tank__offset_psi": 30.0}, "tank-gauge", "", "above-cut-out"),
    ),
    *each(
        ["engine-30"],
        ({"pilot__state": "never_unloads"}, "engine-speed", "", "stays-loaded"),
        ({"pilot__state": "never_unloads"}, "pilot-vent", "", "never-signals"),
        ({"pilot__state": "never_reloads"}, "engine-speed", "", "stays-idling"),
        ({"pilot__state": "never_reloads"}, "pilot-vent", "", "never-reloads"),
        ({"pilot__unload_offset_psi": 15.0}, "pilot-vent", "", "unloads-late"),
        ({"pilot__reload_offset_psi": 20.0}, "pilot-vent", "", "close-band"),
        ({"unloader__always_open": "yes"}, "pilot-vent", "", "never-gets-there"),
        ({"unloader__always_open": "yes"}, "engine-speed", "", "full-speed-no-rise"),
    ),
]  # fmt: skip


@pytest.mark.parametrize(("slug", "changes", "check", "place", "expected"), CASES)
def test_one_thing_wrong_gives_its_outcome(slug, changes, check, place, expected):
    assert outcome_of(slug, check, place, **changes) == expected


@pytest.mark.parametrize("slug", ELECTRIC)
def test_a_missing_tube_is_looked_for_only_where_there_is_one(slug):
    if RIGS[slug].unloader.has_tube:
        assert outcome_of(slug, "look", "lp-unloader-tube", unloader__tube_side="tank") == "tube-at-receiver"
    else:
        with pytest.raises(CannotTake):
            take(machine_of(slug), "look", "lp-unloader-tube")


@pytest.mark.parametrize("slug", ELECTRIC_BELT)
def test_the_motor_run_alone_is_left_locked_out_with_its_belt_on(slug):
    session = machine_of(slug)
    found_on(session, "motor-belt-off")

    assert session.safe_state == "S2"
    assert not session.hands.belt_off


def test_plates_are_read_as_the_machine_stands_and_the_terminal_box_locked_out():
    assert take(machine_of("twin-60"), "nameplates", "plates").outcome == "plates-agree"
    with pytest.raises(UnsafeCheck):
        take(machine_of("twin-60"), "nameplates", "motor")


@pytest.mark.parametrize("slug", THREE_PHASE)
def test_rolled_leads_are_put_back(slug):
    session = machine_of(slug, supply__unbalance_pct=4.0)
    first = found_on(session, "phase-balance")
    again = found_on(session, "phase-balance")

    assert first.outcome == again.outcome


@pytest.mark.parametrize("check", ["capacitor", "phase-balance", "engine-speed", "belt-tension"])
def test_a_machine_that_lacks_what_a_check_needs_refuses_it(check):
    lacking = [rig for rig in RIGS.values() if check not in checks_for(rig)]

    assert lacking
    for rig in lacking:
        with pytest.raises(CannotTake, match="cannot be done on this machine"):
            take(machine_of(rig.slug), check)


@pytest.mark.parametrize("slug", [slug for slug in ELECTRIC if RIGS[slug].supply.feed != "cord"])
def test_what_is_wired_in_is_not_unplugged_unless_somebody_put_a_cord_before_it(slug):
    with pytest.raises(CannotTake, match="wired in"):
        take(machine_of(slug), "direct-supply")

    assert take(machine_of(slug, supply__extra_ohm=0.1), "direct-supply").outcome in (
        "no-difference",
        "starts-easier",
    )
