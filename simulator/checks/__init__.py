"""What a technician does to find out: protocols that work a rig as a hand would and read it by instruments."""

from simulator.checks.catalogue import BadCheck, Check, Place, UnknownCheck, find_check, load_checks
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
    "find_check",
    "load_checks",
    "safe_for",
    "take",
    "words",
]
