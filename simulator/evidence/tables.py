"""Outcome of every standard check under every suspect of a rig, and the check that is worth taking next."""

import hashlib
import itertools
import json
import os
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from simulator import ENGINE_VERSION
from simulator.checks import checks_for, safe_for
from simulator.evidence.deeds import HEALTHY, NOT_TAKEN, take_if_it_can_be, variants
from simulator.faults import Fault, Injected
from simulator.rig import Rig
from simulator.session import Session

_TABLE_SEED = 60  # instruments' errors of the tables; any number does
_REST = 15.0  # before a standard check [s]
_BLEED_LIMIT = 300.0  # [s]


@dataclass(frozen=True)
class NextCheck:
    """A check worth taking next.

    Parameters
    ----------
    check, place : str
        What and where.
    minutes : float
        What it costs from a rested machine, making safe included. [min]
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


def standard_checks(rig: Rig) -> tuple[tuple[str, str], ...]:
    """Every check at every place of a rig, as (check, place)."""
    return tuple((check.slug, place.slug) for check in checks_for(rig).values() for place in check.places)


def standard_start(rig: Rig, faults: Mapping[str, Fault], injected: Sequence[Injected]) -> Session:
    """Give a machine as a caller finds it: rested, air in the receiver, lever at AUTO.

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
        Outlet shut.
    """
    session = Session(rig, faults, injected, _TABLE_SEED)
    if not rig.has_engine:  # an engine stands until somebody starts it
        session.operate("start")
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
    pairs: Collection[tuple[str, str]] | None = None,
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
    pairs : collection of pair of str, optional
        The checks, as (check, place); all standard ones if left out.

    Returns
    -------
    OutcomeTable
        The table.
    """
    pairs = standard_checks(rig) if pairs is None else pairs
    names = list(suspects) if suspects is not None else suspects_of(rig, faults)
    machines = [(name, injected) for name in names for injected in variants(rig, faults, name)]
    rows: dict[tuple[str, str], dict[str, list[str]]] = {pair: {} for pair in pairs}
    spent: dict[tuple[str, str], list[float]] = {pair: [] for pair in rows}
    for done, (name, injected) in enumerate(machines, start=1):
        for pair, outcome, minutes in _all_checks(rig, faults, injected, pairs):
            rows[pair].setdefault(name, []).append(outcome)
            spent[pair].append(minutes)
        if progress:
            progress(done, len(machines))
    return OutcomeTable(
        {pair: {name: tuple(row) for name, row in by_name.items()} for pair, by_name in rows.items()},
        {pair: sum(minutes) / max(len(minutes), 1) for pair, minutes in spent.items()},
    )


def _all_checks(
    rig: Rig,
    faults: Mapping[str, Fault],
    injected: Sequence[Injected],
    pairs: Collection[tuple[str, str]],
) -> Iterable[tuple[tuple[str, str], str, float]]:
    """Take each of these checks on a copy of the standard machine: what, outcome, minutes."""
    start = standard_start(rig, faults, injected)
    ready = {safe: made_safe(start.copy(), safe) for safe in ("S0", "S2", "S3")}
    checks = checks_for(rig)
    for pair in pairs:
        safe = safe_for(checks[pair[0]], pair[1])
        session = ready.get(safe, start).copy()
        outcome = take_if_it_can_be(session, *pair)
        cost = (session.clock - start.clock) / 60.0
        yield pair, outcome.outcome if outcome else NOT_TAKEN, cost


_rows: dict[str, OutcomeTable] = {}


def outcome_table(
    rig: Rig,
    faults: Mapping[str, Fault],
    suspects: Iterable[str] | None = None,
    store: Path | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> OutcomeTable:
    """Give the rig's table for some suspects; what was worked out before is not worked out again.

    Parameters
    ----------
    rig : Rig
        The rig.
    faults : mapping
        The catalogue.
    suspects : iterable of str, optional
        All faults of the rig, and "healthy", if left out.
    store : Path, optional
        Folder in which tables are kept from one start of the server to the next, a file for each suspect.
    progress : callable, optional
        Called with suspects done and suspects to do.

    Returns
    -------
    OutcomeTable
        The table.
    """
    names = list(dict.fromkeys(suspects)) if suspects is not None else suspects_of(rig, faults)
    told = _told(rig)
    rows = []
    for done, name in enumerate(names, start=1):
        rows.append(_row(rig, faults, name, told, store))
        if progress:
            progress(done, len(names))
    return _joined(rows)


def suspects_of(rig: Rig, faults: Mapping[str, Fault]) -> list[str]:
    """Everything that a rig can have, and nothing wrong at all.

    Parameters
    ----------
    rig : Rig
        The rig.
    faults : mapping
        The catalogue.

    Returns
    -------
    list of str
        "healthy", then slugs of faults.
    """
    return [HEALTHY, *sorted(slug for slug, fault in faults.items() if rig.slug in fault.rigs)]


def _row(rig: Rig, faults: Mapping[str, Fault], name: str, told: str, store: Path | None) -> OutcomeTable:
    """One suspect's part of the table: from memory, from the store, or taken now."""
    digest = hashlib.sha256(f"{told}{faults.get(name)!r}".encode()).hexdigest()[:12]
    key = f"{ENGINE_VERSION}-{rig.slug}-{name}-{digest}"
    if key not in _rows:
        file = store / f"outcomes-{key}.json" if store else None
        if file and file.exists():
            _rows[key] = _read(file)
        else:
            _rows[key] = build_table(rig, faults, [name])
            if file:
                _write(file, _rows[key])
    return _rows[key]


def _joined(rows: Sequence[OutcomeTable]) -> OutcomeTable:
    """Tables of one suspect each, as one."""
    outcomes: dict[tuple[str, str], dict[str, tuple[str, ...]]] = {}
    spent: dict[tuple[str, str], list[float]] = {}
    for row in rows:
        for pair, by_suspect in row.outcomes.items():
            outcomes.setdefault(pair, {}).update(by_suspect)
            spent.setdefault(pair, []).append(row.minutes[pair])
    return OutcomeTable(outcomes, {pair: sum(minutes) / len(minutes) for pair, minutes in spent.items()})


def _told(rig: Rig) -> str:
    """Everything a row depends on besides the engine and the suspect."""
    checks = [(c.slug, c.minutes, c.safe, c.places, c.outcomes) for c in checks_for(rig).values()]
    return f"{rig!r}{checks!r}"


def _write(file: Path, table: OutcomeTable) -> None:
    """Keep a table; put in place at once, so that another process never reads half of it."""
    file.parent.mkdir(parents=True, exist_ok=True)
    rows = [
        {"check": check, "place": place, "minutes": table.minutes[check, place], "outcomes": by_suspect}
        for (check, place), by_suspect in table.outcomes.items()
    ]
    half = file.with_suffix(f".{os.getpid()}.part")
    half.write_text(json.dumps(rows), encoding="utf-8")
    half.replace(file)


def _read(file: Path) -> OutcomeTable:
    rows = json.loads(file.read_text(encoding="utf-8"))
    return OutcomeTable(
        {(r["check"], r["place"]): {s: tuple(o) for s, o in r["outcomes"].items()} for r in rows},
        {(r["check"], r["place"]): r["minutes"] for r in rows},
    )


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
