"""What checks there are: the fixtures' entries, read and verified key by key."""

import difflib
import functools
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, get_args

from simulator.checks.words import CannotTake, SafeState, Tool
from simulator.fitted import FEATURES, lacking
from simulator.rig import Rig

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures" / "checks"
CHECK_KEYS = {
    "slug": str,
    "title": str,
    "tool": str,
    "minutes": (int, float),
    "safe": str,
    "places": list,
    "instrument": str,
    "caution": str,
    "done": str,
    "stop": list,
    "outcomes": dict,
}
OPTIONAL_KEYS = {"needs": list, "fitted": str, "runs": bool}


class BadCheck(ValueError):
    """The fixture of checks holds something that cannot be: says where, what and the nearest right word."""


class UnknownCheck(ValueError):
    """Nobody knows a check of that name: names the nearest."""


@dataclass(frozen=True)
class Place:
    """A place on the picture where a check can be done; `needs` is what a rig must have for it to be there."""

    slug: str
    title: str
    needs: tuple[str, ...] = ()


@dataclass(frozen=True)
class Check:
    """One thing a technician can do to find out.

    Parameters
    ----------
    slug, title : str
        Name in the log, name on the page.
    tool : str
        The tool of the Tool roll it belongs to.
    minutes : float
        What it costs on the rig's clock. [min]
    safe : str
        Safe state it needs: S0, S1, S2, S3 or S4.
    places : tuple of Place
        Where it can be done; the first is taken when none is named.
    instrument : str
        What is held in the hand.
    caution : str
        What must be minded.
    outcomes : mapping
        Closed list: code and the words for it, without figures.
    done : str
        What the hand does.
    stop : frozenset of str
        Outcomes after which the machine must not run before the defect is put right.
    needs : tuple of str
        What a rig must have for it, names out of `fitted.FEATURES`.
    fitted : str
        What makes it a check of state S1 on a rig that has it, since nothing need be opened there; empty for none.
    runs : bool
        Whether it gives power back and runs the machine though it begins locked out.
    """

    slug: str
    title: str
    tool: Tool
    minutes: float
    safe: SafeState
    places: tuple[Place, ...]
    instrument: str
    caution: str
    outcomes: Mapping[str, str]
    done: str
    stop: frozenset[str]
    needs: tuple[str, ...] = ()
    fitted: str = ""
    runs: bool = False

    def place(self, slug: str) -> Place:
        """Find a place of this check; the first one for an empty slug.

        Raises
        ------
        UnknownCheck
            With the places there are.
        """
        for place in self.places:
            if slug in ("", place.slug):
                return place
        offered = ", ".join(place.slug for place in self.places)
        raise UnknownCheck(f"'{self.title}' cannot be done at '{slug}'. It can be done at: {offered}.")


def nearest(word: str, known: Iterable[str]) -> str:
    """Name the nearest known word, ready to stand at the end of a refusal."""
    known = sorted(known)
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.4)
    return f" Did you mean '{close[0]}'?" if close else f" Known: {', '.join(known)}."


def load_checks(path: Path | None = None) -> dict[str, Check]:
    """Read the checks, tool by tool in the order of the Tool roll.

    Parameters
    ----------
    path : Path, optional
        Another folder than the project's own.

    Returns
    -------
    dict
        Check by slug.

    Raises
    ------
    BadCheck
        An unknown, missing or impossible entry, with the way to mend it.
    """
    return dict(_load(path or FIXTURES))


@functools.cache
def _load(folder: Path) -> dict[str, Check]:
    tables = {file.name: tomllib.loads(file.read_text("utf-8")) for file in sorted(folder.glob("*.toml"))}
    places: dict[str, Place] = {}
    for name, table in tables.items():
        _refuse_unknown(table, {"places", "check"}, name)
        places |= {
            slug: _place(slug, entry, f"{name}: place '{slug}'")
            for slug, entry in table.get("places", {}).items()
        }
    checks: dict[str, Check] = {}
    for name, table in tables.items():
        for number, entry in enumerate(table.get("check", []), start=1):
            check = _check(entry, places, f"{name}: check {number} '{entry.get('slug', '')}'")
            if check.slug in checks:
                raise BadCheck(f"{name}: check '{check.slug}' is there twice.")
            checks[check.slug] = check
    return dict(sorted(checks.items(), key=lambda item: get_args(Tool).index(item[1].tool)))


def find_check(slug: str) -> Check:
    """Find one check by its slug.

    Raises
    ------
    UnknownCheck
        Naming the nearest known one.
    """
    checks = _load(FIXTURES)
    if slug not in checks:
        raise UnknownCheck(f"There is no check '{slug}'.{nearest(slug, checks)}")
    return checks[slug]


def places_for(rig: Rig, check: Check) -> tuple[Place, ...]:
    """Places of a check that a rig has.

    Parameters
    ----------
    rig : Rig
        The rig.
    check : Check
        The check.

    Returns
    -------
    tuple of Place
        None at all where the rig lacks what the check needs.
    """
    if lacking(rig, check.needs):
        return ()
    return tuple(place for place in check.places if not lacking(rig, place.needs))


def checks_for(rig: Rig) -> dict[str, Check]:
    """Checks that can be done on a rig, each with the places and the safe state it has there.

    Parameters
    ----------
    rig : Rig
        The rig.

    Returns
    -------
    dict
        Check by slug, in the order of the Tool roll.
    """
    fitting = {slug: (check, places_for(rig, check)) for slug, check in _load(FIXTURES).items()}
    return {slug: _on(rig, check, places) for slug, (check, places) in fitting.items() if places}


def _on(rig: Rig, check: Check, places: tuple[Place, ...]) -> Check:
    """Give a check as a rig has it."""
    ready = check.fitted and not lacking(rig, [check.fitted])
    return replace(check, places=places, safe="S1" if ready else check.safe)


def check_for(rig: Rig, slug: str, place: str = "") -> tuple[Check, Place]:
    """Find a check and a place of it on a rig.

    Parameters
    ----------
    rig : Rig
        The rig.
    slug : str
        Of the check.
    place : str
        Slug of a place of that check; the first one the rig has when empty.

    Returns
    -------
    tuple of Check and Place
        Both as the rig has them.

    Raises
    ------
    UnknownCheck
        Nobody knows the check, or the place is none of its places on any machine.
    CannotTake
        This machine lacks what the check or the place needs.
    """
    whole = find_check(slug)
    named = whole.place(place)
    reason = lacking(rig, whole.needs) or (lacking(rig, named.needs) if place else "")
    if reason:
        raise CannotTake(f"'{whole.title}' cannot be done on this machine. {reason}")
    check = checks_for(rig).get(slug)
    if check is None:
        raise CannotTake(f"'{whole.title}' cannot be done on this machine. {lacking(rig, named.needs)}")
    return check, check.place(place)


def _place(slug: str, entry: Any, where: str) -> Place:
    """Read a place: its title alone, or a table with what it needs."""
    if isinstance(entry, str):
        return Place(slug, entry)
    if not isinstance(entry, dict) or not isinstance(entry.get("title"), str):
        raise BadCheck(f"{where}: needs a title.")
    _refuse_unknown(entry, {"title", "needs"}, where)
    _refuse_unknown(entry.get("needs", []), FEATURES, f"{where}: needs")
    return Place(slug, entry["title"], tuple(entry.get("needs", [])))


def _check(entry: Mapping[str, Any], places: Mapping[str, Place], where: str) -> Check:
    _refuse_unknown(entry, {*CHECK_KEYS, *OPTIONAL_KEYS}, where)
    entry = {"needs": [], "fitted": "", "runs": False, **entry}
    for key, kind in {**CHECK_KEYS, **OPTIONAL_KEYS}.items():
        if key not in entry:
            raise BadCheck(f"{where}: '{key}' is missing.")
        if isinstance(entry[key], bool) != (kind is bool) or not isinstance(entry[key], kind):  # type: ignore[arg-type]
            raise BadCheck(f"{where}: '{key}' is {entry[key]!r}, which is of the wrong kind.")
    if not entry["minutes"] > 0:
        raise BadCheck(f"{where}: 'minutes' is {entry['minutes']!r}; it must be above zero.")
    if not entry["places"] or not entry["outcomes"]:
        raise BadCheck(f"{where}: needs at least one place and one outcome.")
    _refuse_unknown([entry["tool"]], get_args(Tool), f"{where}: tool")
    _refuse_unknown([entry["safe"]], get_args(SafeState), f"{where}: safe")
    _refuse_unknown(entry["places"], places, f"{where}: places")
    _refuse_unknown(entry["stop"], entry["outcomes"], f"{where}: stop")
    _refuse_unknown(entry["needs"], FEATURES, f"{where}: needs")
    _refuse_unknown([entry["fitted"]], {*FEATURES, ""}, f"{where}: fitted")
    chosen = tuple(places[slug] for slug in entry["places"])
    sets = {"places": chosen, "stop": frozenset(entry["stop"]), "needs": tuple(entry["needs"])}
    return Check(**{**entry, **sets})


def _refuse_unknown(given: Iterable[str], known: Iterable[str], where: str) -> None:
    known = set(known)
    for word in given:
        if word not in known:
            raise BadCheck(f"{where}: unknown '{word}'.{nearest(word, known)}")
