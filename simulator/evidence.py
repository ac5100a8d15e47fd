"""What a finding proves: the same deeds on the same rig with another fault, and what would have been found.

Nothing here knows what a fault does. It puts each suspect into the machine, lets the same hand do the same
things, and compares what was found.
"""

import itertools
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from simulator import ENGINE_VERSION
from simulator.checks import CannotTake, Finding, UnsafeCheck, load_checks, take
from simulator.faults import Fault, Injected, find
from simulator.rig import Rig
from simulator.session import Session

SEVERITIES = (0.3, 0.6, 0.9)
HEALTHY = "healthy"  # the suspect that is no fault at all
NOT_TAKEN = "not-taken"  # outcome of a check that could not be taken under that suspect
_TABLE_SEED = 60  # instruments' errors of the tables; any number does
_REST = 60.0  # between the last stop and a standard check [s]
_CYCLE_LIMIT = 600.0  # longest wait for a standard machine's cut-out [s]
_BLEED_LIMIT = 300.0  # [s]


@dataclass(frozen=True)
class Deed:
    """One thing done on the machine, as the attempt's log has it.

    Parameters
    ----------
    at : float
        When, on the rig's clock. [s]
    do : str
        A deed of `Session.operate`, "wait" for one that only lets time pass, or "check".
    check, place, key : str
        For a check: what `simulator.checks.take` was given.
    """

    at: float
    do: str
    check: str = ""
    place: str = ""
    key: str = ""


@dataclass(frozen=True)
class Separation:
    """A finding that parts the true fault from a suspect.

    Parameters
    ----------
    index : int
        Which of the deeds.
    check, place, seen : str
        What was done, where, and the outcome found.
    instead : tuple of str
        Outcomes the suspect would have given, whatever its severity and location.
    """

    index: int
    check: str
    place: str
    seen: str
    instead: tuple[str, ...]


@dataclass(frozen=True)
class NextCheck:
    """A check worth taking next.

    Parameters
    ----------
    check, place : str
        What and where.
    minutes : float
        What it costs from a machine that has just stopped, making safe included. [min]
    parts : tuple of pair of str
        The pairs of suspects it tells apart for certain.
    outcomes : mapping
        Suspect to the outcomes it can give.
    """

    check: str
    place: str
    minutes: float
    parts: tuple[tuple[str, str], ...]
    outcomes: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class OutcomeTable:
    """Outcome and cost of each standard check under each suspect.

    Parameters
    ----------
    outcomes : mapping
        (check, place) to suspect to the outcomes over its severities and locations, in order.
    minutes : mapping
        (check, place) to its mean cost. [min]
    """

    outcomes: Mapping[tuple[str, str], Mapping[str, tuple[str, ...]]]
    minutes: Mapping[tuple[str, str], float]


def variants(faults: Mapping[str, Fault], suspect: str) -> tuple[tuple[Injected, ...], ...]:
    """List the ways a suspect can sit in the machine: each severity at each location.

    Parameters
    ----------
    faults : mapping
        The catalogue.
    suspect : str
        Slug of a fault, or "healthy".

    Returns
    -------
    tuple
        What to inject; one empty tuple for the healthy machine.
    """
    if suspect == HEALTHY:
        return ((),)
    fault = find(faults, suspect)
    severities: tuple[float | None, ...] = SEVERITIES if fault.graded else (None,)
    locations: tuple[str | None, ...] = fault.locations or (None,)
    return tuple((Injected(suspect, s, where),) for where in locations for s in severities)


def replay(session: Session, deeds: Iterable[Deed]) -> tuple[str | None, ...]:
    """Do the deeds on a machine.

    Parameters
    ----------
    session : Session
        At the start; it is worked on.
    deeds : iterable of Deed
        In order of time. Where this machine keeps the hand waiting longer than the log says, the later deeds
        are done as soon as the hand is free.

    Returns
    -------
    tuple
        Outcome per deed; None for what is no check.
    """
    return tuple(_do(session, deed) for deed in deeds)


def _do(session: Session, deed: Deed) -> str | None:
    if deed.at > session.clock:
        session.run(deed.at - session.clock)
    if deed.do == "wait":
        return None
    if deed.do != "check":
        session.operate(deed.do)
        return None
    finding = _taken(session, deed.check, deed.place, deed.key)
    return finding.outcome if finding else NOT_TAKEN


def _taken(session: Session, check: str, place: str, key: str = "") -> Finding | None:
    try:
        return take(session, check, place, key)
    except (UnsafeCheck, CannotTake):
        return None


def outcomes(
    rig: Rig, faults: Mapping[str, Fault], deeds: Sequence[Deed], hypotheses: Iterable[str], *, seed: int = 0
) -> dict[str, dict[tuple[Injected, ...], tuple[str | None, ...]]]:
    """Rerun the same deeds under other faults.

    Parameters
    ----------
    rig : Rig
        The rig of the attempt.
    faults : mapping
        The catalogue.
    deeds : sequence of Deed
        From the attempt's log.
    hypotheses : iterable of str
        Suspects: fault slugs, or "healthy".
    seed : int
        Of the attempt, so that the instruments err alike.

    Returns
    -------
    dict
        Suspect to what was injected to outcome per deed.
    """
    return {
        suspect: {
            injected: replay(Session(rig, faults, injected, seed), deeds) for injected in variants(faults, suspect)
        }
        for suspect in hypotheses
    }


def separates(
    rig: Rig,
    faults: Mapping[str, Fault],
    deeds: Sequence[Deed],
    seen: Sequence[str | None],
    suspects: Iterable[str],
    *,
    seed: int = 0,
) -> dict[str, tuple[Separation, ...]]:
    """Find which findings part what was seen from each suspect.

    A finding parts a suspect when no severity and no location of it gives the outcome that was seen.

    Parameters
    ----------
    rig : Rig
        The rig of the attempt.
    faults : mapping
        The catalogue.
    deeds : sequence of Deed
        From the attempt's log.
    seen : sequence of str or None
        Outcome of each deed in the attempt, None for what is no check.
    suspects : iterable of str
        Fault slugs, or "healthy".
    seed : int
        Of the attempt.

    Returns
    -------
    dict
        Suspect to the findings that part it; empty where none does.
    """
    found: dict[str, tuple[Separation, ...]] = {}
    for suspect, by_variant in outcomes(rig, faults, deeds, suspects, seed=seed).items():
        parted = []
        for i, deed in enumerate(deeds):
            instead = {row[i] for row in by_variant.values()}
            outcome = seen[i]
            if outcome is not None and outcome not in instead:
                other = tuple(sorted(o for o in instead if o is not None))
                parted.append(Separation(i, deed.check, deed.place, outcome, other))
        found[suspect] = tuple(parted)
    return found


def standard_checks() -> tuple[tuple[str, str], ...]:
    """Every check at every place, as (check, place)."""
    return tuple((check.slug, place.slug) for check in load_checks().values() for place in check.places)


def standard_start(rig: Rig, faults: Mapping[str, Fault], injected: Sequence[Injected]) -> Session:
    """Give a machine that has been cycled once and stands stopped, as a caller finds it.

    Parameters
    ----------
    rig : Rig
        The rig.
    faults : mapping
        The catalogue.
    injected : sequence of Injected
        What is wrong with it.

    Returns
    -------
    Session
        Outlet shut, lever at AUTO.
    """
    session = Session(rig, faults, injected, _TABLE_SEED)
    if session.hands.outlet_open:
        session.operate("shut-outlet")
    if not session.hands.lever_on:
        session.operate("start")
    session.operate("open-drain")
    session.run_until("contacts-close", _BLEED_LIMIT)
    session.operate("shut-drain")
    session.run_until("contacts-open", _CYCLE_LIMIT)
    session.run(_REST)
    return session


def made_safe(session: Session, safe: str) -> Session:
    """Bring a machine into the safe state a check needs.

    Parameters
    ----------
    session : Session
        The machine; it is worked on.
    safe : str
        Safe state of the check.

    Returns
    -------
    Session
        The same machine.
    """
    if safe not in ("S2", "S3"):
        return session
    for deed in ("stop", "isolate", "lock"):
        session.operate(deed)
    session.run(60.0)
    if safe == "S3":
        session.operate("open-drain")
        session.operate("vent-head")
        session.run_until("receiver-below", 2.0 * _BLEED_LIMIT, 500.0)
        session.run(30.0)
    return session


def build_table(
    rig: Rig,
    faults: Mapping[str, Fault],
    suspects: Iterable[str] | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> OutcomeTable:
    """Take every standard check under every suspect.

    Parameters
    ----------
    rig : Rig
        The rig.
    faults : mapping
        The catalogue.
    suspects : iterable of str, optional
        All faults of the rig, and "healthy", if left out.
    progress : callable, optional
        Called with machines done and machines to do.

    Returns
    -------
    OutcomeTable
        The table.
    """
    names = list(suspects) if suspects is not None else [HEALTHY, *sorted(_of(rig, faults))]
    machines = [(name, injected) for name in names for injected in variants(faults, name)]
    rows: dict[tuple[str, str], dict[str, list[str]]] = {pair: {} for pair in standard_checks()}
    spent: dict[tuple[str, str], list[float]] = {pair: [] for pair in rows}
    for done, (name, injected) in enumerate(machines, start=1):
        for pair, outcome, minutes in _all_checks(rig, faults, injected):
            rows[pair].setdefault(name, []).append(outcome)
            spent[pair].append(minutes)
        if progress:
            progress(done, len(machines))
    return OutcomeTable(
        {pair: {name: tuple(row) for name, row in by_name.items()} for pair, by_name in rows.items()},
        {pair: sum(minutes) / max(len(minutes), 1) for pair, minutes in spent.items()},
    )


def _of(rig: Rig, faults: Mapping[str, Fault]) -> list[str]:
    return [slug for slug, fault in faults.items() if rig.slug in fault.rigs]


def _all_checks(
    rig: Rig, faults: Mapping[str, Fault], injected: Sequence[Injected]
) -> Iterable[tuple[tuple[str, str], str, float]]:
    """Take each standard check on a copy of the standard machine: what, outcome, minutes."""
    start = standard_start(rig, faults, injected)
    ready = {safe: made_safe(start.copy(), safe) for safe in ("S0", "S2", "S3")}
    checks = load_checks()
    for pair in standard_checks():
        safe = checks[pair[0]].safe
        session = ready.get(safe, start).copy()
        outcome = _taken(session, *pair)
        cost = (session.clock - start.clock) / 60.0
        yield pair, outcome.outcome if outcome else NOT_TAKEN, cost


_tables: dict[str, OutcomeTable] = {}


def outcome_table(
    rig: Rig,
    faults: Mapping[str, Fault],
    store: Path | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> OutcomeTable:
    """Give the rig's table, built once for this version of the engine.

    Parameters
    ----------
    rig : Rig
        The rig.
    faults : mapping
        The catalogue.
    store : Path, optional
        Folder in which tables are kept from one start of the server to the next.
    progress : callable, optional
        Called with machines done and machines to do, if it must be built.

    Returns
    -------
    OutcomeTable
        The table.
    """
    key = f"{ENGINE_VERSION}-{rig.slug}-{_digest(rig, faults)}"
    if key not in _tables:
        file = store / f"outcomes-{key}.json" if store else None
        if file and file.exists():
            _tables[key] = _read(file)
        else:
            _tables[key] = build_table(rig, faults, progress=progress)
            if file:
                _write(file, _tables[key])
    return _tables[key]


def warm(
    rigs: Iterable[Rig],
    faults: Mapping[str, Fault],
    progress: Callable[[int, int], None] | None = None,
    store: Path | None = None,
) -> None:
    """Build the tables of rigs before anyone asks, as a server does at its start.

    Parameters
    ----------
    rigs : iterable of Rig
        The rigs.
    faults : mapping
        The catalogue.
    progress : callable, optional
        Called with machines done and machines to do.
    store : Path, optional
        See `outcome_table`.
    """
    for rig in rigs:
        outcome_table(rig, faults, store, progress)


def best_next(table: OutcomeTable, suspects: Sequence[str]) -> tuple[NextCheck, ...]:
    """Rank the standard checks by what they part and what they cost.

    Parameters
    ----------
    table : OutcomeTable
        Of the rig.
    suspects : sequence of str
        Still in: fault slugs, or "healthy".

    Returns
    -------
    tuple of NextCheck
        Only checks that part at least one pair for certain, cheapest per pair first.
    """
    ranked = []
    for (check, place), by_suspect in table.outcomes.items():
        can = {suspect: tuple(sorted(set(by_suspect[suspect]))) for suspect in suspects}
        parts = tuple(
            (one, other)
            for one, other in itertools.combinations(suspects, 2)
            if not set(can[one]) & set(can[other])
        )
        if parts:
            ranked.append(NextCheck(check, place, table.minutes[check, place], parts, can))
    return tuple(sorted(ranked, key=lambda n: (n.minutes / len(n.parts), n.check, n.place)))
