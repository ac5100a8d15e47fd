"""What the fault catalogue claims for each state of the machine is what the checks find.

The claims are the trade's (common practice, no source): see `claims` of each entry in the catalogue. Pumping,
just stopped, settled, restart; severities as in the field.
"""

import functools
import itertools
import zlib

import pytest

from simulator.checks import CannotTake, checks_for
from simulator.evidence import standard_start
from simulator.faults import Injected
from tests.simulator.any_machine import RIGS, found_on
from tests.simulator.at_the_machine import FAULTS, RIG, cycled, found, machine, outcome

NORMAL_STOP = ("listen-stop", "lp-unloader-port", "psst-then-silent")
HOLDS = ("bleed-down", "", "holds")
NORMAL_START = ("amps-start", "", "short-inrush")
CLAIMS = {
    "ring-wear": (
        0.75, None,
        [("pump-up", "", "slow or very-slow"), ("breather-feel", "", "strong-puffs"), ("intake-feel", "", "draws-in"),
         NORMAL_STOP, HOLDS, NORMAL_START],
    ),
    "intake-reed-leak": (
        0.7, "cyl2",
        [("pump-up", "", "slow or very-slow"), ("intake-feel", "", "blasts-in-and-out"),
         ("breather-feel", "", "light-flutter"), NORMAL_STOP, ("listen-stop", "lp-intake", "no-air"), HOLDS,
         NORMAL_START],
    ),
    "discharge-reed-leak": (
        0.75, "cyl1",
        [("pump-up", "", "slow or very-slow"), ("intake-feel", "", "draws-weakly"), NORMAL_STOP, HOLDS, NORMAL_START],
    ),
    "intake-filter-plugged": (
        0.85, None,
        [("pump-up", "", "slow or very-slow"), ("filter-out", "", "climbs-faster"), ("amps-run", "", "low"), NORMAL_STOP,
         HOLDS, NORMAL_START],
    ),
    "check-valve-seep": (
        0.65, None,
        [("pump-up", "", "as-the-sheet"), ("listen-run", "lp-unloader-port", "usual-sound"),
         ("listen-stop", "lp-unloader-port", "psst-goes-on"),
         ("listen-settled", "lp-unloader-port", "faint-hiss"), ("bleed-down", "", "falls"),
         ("isolate-outlet", "", "receiver-falls"), NORMAL_START],
    ),
    "unloader-stuck-shut": (
        0.7, None,
        [("pump-up", "", "as-the-sheet"), ("listen-stop", "lp-unloader-port", "no-psst"), HOLDS],
    ),
    "unloader-leaks-running": (
        0.8, None,
        [("listen-run", "lp-unloader-port", "blow"), ("pump-up", "", "slow or very-slow"), NORMAL_STOP,
         ("listen-settled", "lp-unloader-port", "silent"), HOLDS, NORMAL_START],
    ),
    "switch-diaphragm-leak": (
        0.6, None,
        [("listen-run", "lp-switch-cover", "hiss"), ("listen-settled", "lp-switch-cover", "faint-hiss"),
         ("listen-settled", "lp-unloader-port", "silent"), ("bleed-down", "", "falls-fast"), NORMAL_STOP,
         NORMAL_START],
    ),
    "drain-leaks": (
        0.5, None,
        [("listen-run", "lp-drain", "hiss or blow"), ("listen-settled", "lp-drain", "faint-hiss or strong-blow"),
         ("bleed-down", "", "falls-fast"), ("isolate-outlet", "", "receiver-falls"), NORMAL_STOP],
    ),
    "relief-seat-leak": (
        0.65, None,
        [("listen-run", "lp-tank-relief", "hiss"), ("listen-settled", "lp-tank-relief", "faint-hiss"),
         ("bleed-down", "", "falls-fast"), NORMAL_STOP, NORMAL_START],
    ),
    "belt-slack": (
        0.5, None,
        [("listen-run", "belt", "squeal"), ("pump-rpm", "", "belt-slips"), ("pump-up", "", "slow"),
         ("amps-run", "", "as-the-sheet"), NORMAL_STOP, HOLDS],
    ),
    "extension-cord-undersized": (
        0.85, None,
        [("amps-start", "", "low-long-inrush or stays-locked"), ("volts-start", "supply", "holds-up"), HOLDS],
    ),
    "motor-low-on-high": (
        None, None,
        [("amps-start", "", "stays-very-high"), ("pump-up", "", "trips-on-the-way"),
         ("nameplates", "", "straps-for-lower-voltage")],
    ),
    "start-capacitor-failed": (
        0.95, None,
        [("amps-start", "", "start-lead-dead"), ("volts-start", "motor-lead", "holds-up"), HOLDS],
    ),
    "downstream-leaks": (
        0.55, None,
        [("pump-up", "", "as-the-sheet"), NORMAL_STOP, HOLDS, ("isolate-outlet", "", "line-falls"),
         ("listen-settled", "lp-outlet", "faint-hiss or strong-blow")],
    ),
    "nofault-demand": (
        0.3, None,
        [("duty-log", "", "never-rests"), ("pump-up", "", "as-the-sheet"), ("amps-run", "", "as-the-sheet"),
         ("isolate-outlet", "", "both-hold"), NORMAL_STOP, HOLDS, NORMAL_START],
    ),
}  # fmt: skip
CASES = [(fault, s, where, *claim) for fault, (s, where, claims) in CLAIMS.items() for claim in claims]


def test_what_is_claimed_here_can_be_had_by_the_rig():
    assert set(CLAIMS) <= {slug for slug, fault in FAULTS.items() if RIG.slug in fault.rigs}


@pytest.mark.parametrize(("fault", "severity", "location", "check", "place", "expected"), CASES)
def test_a_claim_of_the_catalogue_is_found(fault, severity, location, check, place, expected):
    assert outcome(machine(fault, severity, location), check, place) in expected.split(" or ")


def test_a_dead_unloader_hums_and_trips_at_once_and_starts_when_vented():
    assert outcome(cycled(machine("unloader-stuck-shut", 1.0)), "listen-run", "motor") == "hums-only"
    assert outcome(machine("unloader-stuck-shut", 1.0), "head-vent", "lp-check-body") == "sighs-then-starts"


def test_a_dead_capacitor_does_not_start_when_vented():
    stalled = outcome(machine("start-capacitor-failed", 1.0), "head-vent", "lp-check-body")

    assert stalled in ("sighs-still-stalls", "no-sigh-still-stalls")


@pytest.mark.parametrize(
    ("location", "hot", "cool"), [("cyl1", "head_1", "head_2"), ("cyl2", "head_2", "head_1")]
)
def test_a_leaking_discharge_reed_makes_its_head_the_hotter_one(location, hot, cool):
    finding = found(machine("discharge-reed-leak", 0.75, location), "head-temps")
    shown = {reading.name: reading.value for reading in finding.readings}

    assert finding.outcome == "one-hotter"
    assert shown[hot] > shown[cool] + 5.0


def look_alikes():
    """Each pair of the catalogue on one of the rigs that both can be had by, turn and turn about."""
    for fault in FAULTS.values():
        for other in fault.lookalikes:
            rigs = [slug for slug in RIGS if slug in fault.rigs and slug in FAULTS[other.fault].rigs]
            rigs = [slug for slug in rigs if other.check in checks_for(RIGS[slug])]
            if rigs:
                turn = zlib.crc32(f"{fault.slug} {other.fault}".encode()) % len(rigs)
                yield rigs[turn], fault.slug, other.fault, other.check


@pytest.mark.parametrize(("slug", "fault", "look_alike", "check"), list(look_alikes()))
def test_the_check_named_for_a_look_alike_parts_the_two(slug, fault, look_alike, check):
    """However bad each is in the field and wherever it sits, some place of the check tells them apart."""
    places = [place.slug for place in checks_for(RIGS[slug])[check].places]

    for one, other in itertools.product(field_variants(slug, fault), field_variants(slug, look_alike)):
        assert any(told(slug, one, check, place) != told(slug, other, check, place) for place in places), (
            one,
            other,
        )


@functools.cache
def told(slug, injected, check, place):
    """Outcome of a check on a rig with one fault, made safe for it."""
    try:
        return found_on(_with(slug, injected).copy(), check, place).outcome
    except CannotTake:
        return "not-taken"


@functools.cache
def _with(slug, injected):
    return standard_start(RIGS[slug], FAULTS, [injected])


def field_variants(slug, suspect):
    """A suspect at severities that bring a caller to the telephone, wherever it can sit."""
    fault = FAULTS[suspect]
    severities = (0.6, 0.8, 0.95) if fault.graded else (None,)
    locations = fault.locations_on(RIGS[slug]) or (None,)
    return [Injected(suspect, severity, location) for location in locations for severity in severities]
