"""What a technician does to find out: protocols that work a rig as a hand would and read it by instruments."""

from simulator.checks.catalogue import (
    BadCheck,
    Check,
    Place,
    UnknownCheck,
    check_for,
    checks_for,
    find_check,
    load_checks,
    places_for,
)
from simulator.checks.taking import safe_for, take, words
from simulator.checks.words import CannotTake, Finding, Reading, UnsafeCheck

__all__ = [
    "BadCheck",
    "CannotTake",
    "Check",
    "Finding",
    "Place",
    "Reading",
    "UnknownCheck",
    "UnsafeCheck",
    "check_for",
    "checks_for",
    "find_check",
    "load_checks",
    "places_for",
    "safe_for",
    "take",
    "words",
]
