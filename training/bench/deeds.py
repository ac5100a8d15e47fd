"""What can be done at the bench and how each deed's details are read. Nothing is guessed at, nothing clipped."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

from training.bench import ticket
from training.bench.exceptions import NoSuchThing, NotUnderstood, quoted
from training.bench.handles import handles_of

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping

    from simulator.checks import Check
    from simulator.faults import Fault
    from simulator.rig import Rig

    Details = Mapping[str, Any]

SAFE_STEPS = ("stop", "isolate", "lock", "bleed", "vent", "try")
CONFIDENCE = ("sure", "fairly", "unsure")
LONGEST_WAIT = 2 * 3600.0  # s
LONGEST_WORDS = 400
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


class Lists:
    """The names that details may use on one call."""

    def __init__(
        self,
        faults: Mapping[str, Fault],
        checks: Mapping[str, Check],
        repairs: Collection[str],
        statements: Collection[str],
        rig: Rig,
    ) -> None:
        self.rig = rig
        self.faults = faults
        self.checks = checks
        self.repairs = repairs
        self.statements = statements


def read(deed: str, details: Details, lists: Lists) -> dict[str, Any]:
    """Return the details of a deed as they are written in the log.

    Raises
    ------
    NotUnderstood
        An unknown deed, key or name, with the nearest known one; a number that is none.
    """
    if deed not in _READERS:
        raise NoSuchThing("deed", deed, _READERS)
    keys, reader = _READERS[deed]
    for key in details:
        if key not in keys:
            raise (
                NoSuchThing(f"detail of '{deed}' named", key, keys)
                if keys
                else NotUnderstood(f"'{deed}' takes no details, and '{quoted(key)}' was sent.")
            )
    return reader(details, lists)


def _nothing(_details: Details, _lists: Lists) -> dict[str, Any]:
    return {}


def _hand(details: Details, lists: Lists) -> dict[str, Any]:
    return {"do": _name(details, "do", "thing for a hand to do", handles_of(lists.rig))}


def _wait(details: Details, _lists: Lists) -> dict[str, Any]:
    until = details.get("until", "event")
    return {"until": "event" if until == "event" else number("until", until)}


def _check(details: Details, lists: Lists) -> dict[str, Any]:
    check = lists.checks[_name(details, "check", "check", lists.checks)]
    places = [place.slug for place in check.places]
    place = details.get("place") or places[0]
    if place not in places:
        raise NoSuchThing(f"place for '{check.title}'", place, places)
    return {"check": check.slug, "place": place}


def _note(details: Details, _lists: Lists) -> dict[str, Any]:
    given = number("note", details.get("note"))
    if given != int(given) or given < 1:
        raise NotUnderstood("A note is named by its number in the job notes: 1, 2, 3.")
    return {"note": int(given)}


def _suspect(details: Details, lists: Lists) -> dict[str, Any]:
    fault = _name(details, "fault", "suspect", lists.faults)
    out = details.get("out", True)
    if not isinstance(out, bool):
        raise NotUnderstood("A suspect is either out (true) or in (false).")
    return {"fault": fault, "out": out, "why": _words(details, "why")}


def _safe(details: Details, _lists: Lists) -> dict[str, Any]:
    return {"step": _name(details, "step", "step of Make safe", SAFE_STEPS)}


def _named(details: Details, lists: Lists) -> dict[str, Any]:
    named = [_placed(details, "fault", "location", lists)]
    if details.get("second"):
        named.append(_placed(details, "second", "second_location", lists))
        if named[0]["fault"] == named[1]["fault"]:
            raise NotUnderstood(
                "The same fault is named twice. Name two different ones, or leave the second out."
            )
    return {"named": named, "confidence": _name(details, "confidence", "confidence", CONFIDENCE)}


def _placed(details: Details, fault_key: str, place_key: str, lists: Lists) -> dict[str, str]:
    fault = lists.faults[_name(details, fault_key, "suspect", lists.faults)]
    location = details.get(place_key) or ""
    places = fault.locations_on(lists.rig)
    if places and not location:
        raise NotUnderstood(f"Say where it sits: {', '.join(places)}.")
    if location and location not in places:
        if not places:
            raise NotUnderstood(f"'{fault.title}' has no place to choose: leave it out.")
        raise NoSuchThing("place for that fault", location, places)
    return {"fault": fault.slug, "location": location}


def _repair(details: Details, lists: Lists) -> dict[str, Any]:
    return {"repair": _name(details, "repair", "repair", lists.repairs)}


def _say(details: Details, lists: Lists) -> dict[str, Any]:
    return {"statement": _name(details, "statement", "statement", lists.statements)}


def number(what: str, given: object) -> float:
    """Return a number that was sent, or refuse what is none."""
    if isinstance(given, bool) or not isinstance(given, int | float | str):
        raise NotUnderstood(f"'{what}' must be a number, and '{quoted(given)}' is none.")
    try:
        value = float(given)
    except (ValueError, OverflowError) as refusal:
        raise NotUnderstood(f"'{what}' must be a number, and '{quoted(given)}' is none.") from refusal
    if not math.isfinite(value):
        raise NotUnderstood(f"'{what}' must be a finite number, and '{quoted(given)}' is none.")
    return value


def _name(details: Details, key: str, what: str, known: Collection[str]) -> str:
    given = details.get(key)
    if given in (None, ""):
        raise NotUnderstood(f"Choose a {what}.")
    if not isinstance(given, str) or given not in known:
        raise NoSuchThing(what, given, known)
    return given


def _words(details: Details, key: str) -> str:
    given = details.get(key, "")
    if not isinstance(given, str):
        raise NotUnderstood(f"'{key}' must be words.")
    if len(given) > LONGEST_WORDS:
        raise NotUnderstood(f"That is {len(given)} characters; {LONGEST_WORDS} at most. Shorten it.")
    if _CONTROL.search(given):
        raise NotUnderstood(
            "There is a control character in it, which no database keeps. Type the words again."
        )
    return given.strip()


_READERS: dict[str, tuple[tuple[str, ...], Callable[[Details, Lists], dict[str, Any]]]] = {
    "ask": ((), _nothing),
    "hand": (("do",), _hand),
    "wait": (("until",), _wait),
    "check": (("check", "place"), _check),
    "pin": (("note",), _note),
    "unpin": (("note",), _note),
    "suspect": (("fault", "out", "why"), _suspect),
    "safe": (("step",), _safe),
    "name": (("fault", "location", "second", "second_location", "confidence"), _named),
    "repair": (("repair",), _repair),
    "proof": ((), _nothing),
    ticket.DEED: (ticket.FIELDS, ticket.read),
    "say": (("statement",), _say),
    "close": ((), _nothing),
}
