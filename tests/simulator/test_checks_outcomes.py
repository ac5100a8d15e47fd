"""Outcomes of the checks on the single-stage twin, with faults of the catalogue and with physics set by hand.

Which outcome belongs to which condition: the trade's table of when and where air is heard (common practice, no
source), otherwise named beside the case.
"""

import pytest

from tests.simulator.at_the_machine import RIG, cycled, found, machine, machine_with, outcome


@pytest.mark.parametrize(
    ("fault", "severity", "location", "check", "place", "expected"),
    [
        ("ring-wear", 0.75, None, "breather-feel", "", "strong-puffs"),
        ("ring-wear", 1.0, None, "crankcase-manometer", "", "raised"),
        ("ring-wear", 0.75, None, "listen-run", "lp-breather", "chuff"),
        ("intake-reed-leak", 0.3, "cyl1", "intake-feel", "", "kicks-outward"),
        ("intake-reed-leak", 0.9, "cyl2", "intake-feel", "", "blasts-in-and-out"),
        ("discharge-reed-leak", 0.75, "cyl1", "pump-up", "", "very-slow"),
        ("discharge-reed-leak", 0.75, "cyl1", "intake-feel", "", "draws-weakly"),
        ("intake-filter-plugged", 0.75, None, "look", "lp-intake", "element-sucked-in"),
        ("intake-filter-plugged", 0.75, None, "filter-out", "", "climbs-faster"),
        ("check-valve-seep", 0.65, None, "listen-stop", "", "psst-goes-on"),
        ("check-valve-seep", 0.65, None, "listen-settled", "lp-unloader-port", "faint-hiss"),
        ("check-valve-seep", 0.9, None, "vent-time", "", "endless"),
        ("check-valve-seep", 0.9, None, "head-line-gauge", "", "rests-above-zero"),
        ("unloader-stuck-shut", 1.0, None, "head-line-gauge", "", "stays-up-after-stop"),
        ("unloader-stuck-shut", 1.0, None, "head-vent", "lp-check-body", "sighs-then-starts"),
        ("unloader-stuck-shut", 1.0, None, "listen-stop", "", "no-psst"),
        ("unloader-leaks-running", 0.8, None, "unloader-feel", "", "blows-while-pumping"),
        ("unloader-leaks-running", 0.5, None, "listen-run", "lp-unloader-port", "hiss"),
        ("switch-diaphragm-leak", 0.6, None, "soap", "lp-switch-cover", "foam-blown-off"),
        ("relief-seat-leak", 0.65, None, "listen-stop", "lp-tank-relief", "hiss-goes-on"),
        ("drain-leaks", 0.5, None, "drain-feel", "", "foam-blown-off"),
        ("drain-leaks", 0.9, None, "cut-in-out", "", "never-gets-there"),
        ("belt-slack", 0.5, None, "pump-rpm", "", "belt-slips"),
        ("belt-slack", 0.5, None, "belt-tension", "", "very-slack"),
        ("belt-slack", 0.5, None, "look", "belt", "belt-dust"),
        ("extension-cord-undersized", 0.85, None, "volts-start", "motor-lead", "sags-deep"),
        ("extension-cord-undersized", 0.85, None, "volts-start", "supply", "holds-up"),
        ("extension-cord-undersized", 0.5, None, "volts-run", "motor-lead", "lowish"),
        ("motor-low-on-high", None, None, "nameplates", "", "straps-for-lower-voltage"),
        ("motor-low-on-high", None, None, "amps-start", "", "stays-very-high"),
        ("motor-low-on-high", None, None, "amps-run", "", "trips-on-the-way"),
        ("motor-low-on-high", None, None, "listen-run", "motor", "growl"),
        ("motor-low-on-high", None, None, "volt-drop-contact", "", "over-limit"),
        ("start-capacitor-failed", 0.95, None, "capacitor", "", "start-open"),
        ("start-capacitor-failed", 0.95, None, "listen-run", "motor", "hums-only"),
        ("start-capacitor-failed", 0.95, None, "cut-in-out", "", "stalls-at-start"),
        ("downstream-leaks", 0.55, None, "isolate-outlet", "", "line-falls"),
        ("downstream-leaks", 0.55, None, "soap", "lp-outlet", "foam-blown-off"),
        ("nofault-demand", 0.3, None, "duty-log", "", "never-rests"),
        ("drain-leaks", 0.6, None, "bleed-down", "", "runs-empty"),
    ],
)  # fmt: skip
def test_a_faulty_machine_gives_another(fault, severity, location, check, place, expected):
    assert outcome(machine(fault, severity, location), check, place) == expected


@pytest.mark.parametrize(
    ("changes", "check", "place", "expected"),
    [
        ({"switch__cut_in_offset_psi": 15.0, "switch__cut_out_offset_psi": 15.0}, "cut-in-out", "", "both-high"),
        ({"switch__cut_in_offset_psi": 18.0}, "cut-in-out", "", "cut-in-high"),
        ({"switch__cut_out_offset_psi": -14.0}, "cut-in-out", "", "cut-out-low"),
        ({"relief__tank__set_offset_psi": -35.0}, "cut-in-out", "", "relief-first"),
        ({"switch__cut_out_offset_psi": 45.0}, "cut-in-out", "", "relief-first"),
        (
            {"switch__cut_out_offset_psi": 60.0, "relief__tank__set_offset_psi": 60.0},
            "cut-in-out", "", "passes-vessel-plate",
        ),
        ({"headline__leak_d_mm": 1.0}, "listen-run", "lp-head-line", "hiss"),
        ({"headline__leak_d_mm": 1.5}, "listen-settled", "lp-head-line", "silent"),
        ({"headline__leak_d_mm": 2.5}, "soap", "lp-head-line", "foam-blown-off"),
        ({"receiver__leak_d_mm": 0.3}, "soap", "lp-shell", "bubbles-from-plate"),
        ({"receiver__leak_d_mm": 0.3}, "listen-settled", "lp-shell", "faint-hiss"),
        ({"cooling__ambient_c": 45.0}, "line-temps", "lp-intake", "room-hot"),
        ({"cooling__surface_factor": 0.4}, "look", "head-1", "fins-dirty"),
        ({"cooling__surface_factor": 0.1}, "head-temps", "", "both-hot"),
        ({"motor__cooling_factor": 0.4}, "look", "motor", "vents-blocked"),
        ({"motor__trip_factor": 0.3, "cooling__ambient_c": 35.0}, "amps-run", "", "trips-at-plate-amps"),
        ({"pump__friction_factor": 3.0}, "turn-by-hand", "", "tight"),
        ({"pump__friction_factor": 4.0}, "amps-run", "", "high"),
        ({"switch__contact_ohm": 0.3}, "volt-drop-contact", "", "over-limit"),
        ({"supply__volts_factor": 0.85}, "volts-run", "supply", "low"),
        ({"unloader__tube_area_factor": 0.05}, "listen-stop", "", "feeble-psst"),
        ({"unloader__tube_area_factor": 0.05}, "vent-time", "", "drawn-out"),
        ({"unloader__tube_area_factor": 0.0}, "head-vent", "lp-unloader-port", "no-air-this-end"),
        ({"unloader__tube_area_factor": 0.0}, "head-vent", "lp-check-body", "sighs-then-starts"),
        ({"check__reverse_ratio": 0.015}, "listen-stop", "", "blows-on"),
        ({"check__reverse_ratio": 0.2}, "head-line-gauge", "", "falls-with-receiver"),
        ({"motor__connection": "high_on_low"}, "nameplates", "", "straps-for-higher-voltage"),
    ],
)  # fmt: skip
def test_physics_alone_gives_the_outcome(changes, check, place, expected):
    assert outcome(machine_with(**changes), check, place) == expected


def test_a_settled_machine_is_listened_to_at_a_second_place_in_two_minutes():
    session = cycled(machine())
    first = found(session, "listen-settled", "lp-drain")
    second = found(session, "listen-settled", "lp-shell")

    assert first.ended_at - first.started_at == pytest.approx(12.0 * 60.0)
    assert second.ended_at - second.started_at == pytest.approx(2.0 * 60.0)


@pytest.mark.parametrize(
    ("fault", "severity", "check", "place", "expected"),
    [
        ("unloader-stuck-shut", 1.0, "amps-start", "", "stays-locked"),
        ("unloader-stuck-shut", 1.0, "listen-run", "motor", "hums-only"),
        ("motor-low-on-high", None, "look", "motor", "button-out"),
        ("drain-leaks", 0.9, "tank-gauge", "", "below-cut-in"),
    ],
)
def test_a_machine_that_has_been_cycled_shows_what_the_first_start_hides(
    fault, severity, check, place, expected
):
    assert outcome(cycled(machine(fault, severity)), check, place) == expected


def test_valves_that_a_check_moved_are_put_back():
    session = machine()
    before = session.hands

    for check in ("cut-in-out", "pump-up", "drain-water", "reference-gauge", "filter-out"):
        found(session, check)

    assert session.hands.drain_open == before.drain_open
    assert session.hands.element_out == before.element_out


def test_a_dead_machine_gives_an_honest_outcome_for_every_check_that_runs_it():
    dead = machine_with(motor__start_cap_factor=0.0, check__reverse_ratio=1e-6)

    for check in ("cut-in-out", "pump-up", "amps-run"):
        assert outcome(dead.copy(), check) == "stalls-at-start"
    for check in ("listen-stop", "vent-time", "unloader-feel", "intake-feel", "breather-feel"):
        assert outcome(dead.copy(), check) == "never-ran"


def test_the_sheet_of_the_rig_is_its_own():
    assert RIG.reference["motor_A"][-1] == pytest.approx(13.8)
