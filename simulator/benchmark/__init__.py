"""How fast the engine is, against SciPy's LSODA on the same compiled right-hand side, in one run."""

import math
import platform
import time
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from importlib.metadata import version
from typing import Any

from simulator import ENGINE_VERSION, engine
from simulator.benchmark.peer import GaveUp
from simulator.benchmark.processes import Processes, measure_processes
from simulator.benchmark.workloads import WORKING, Course, Workload, as_often_as_allowed, average
from simulator.events import Event
from simulator.faults import load_faults
from simulator.rig import Rig, load_rigs
from simulator.session import Session

TIGHTER = 1000.0  # the reference's tolerance over the engine's own, inverted
# From loose to tight, until SciPy's error is no larger than the engine's.
PEER_TOLERANCES = (1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 3e-6, 1e-6, 1e-7)
PEER_REFERENCE = 1e-8
OWN_REPEATS, PEER_REPEATS, REPLAY_REPEATS = 15, 2, 10
LONG_RIG = "twin-60"
MINUTE, WEEK = 60.0, 604_800.0  # [s]
# A job of half an hour: fill, work, a stop, locked out, bled, put back.
LOG = (
    (0.0, "start"),
    (400.0, "open-outlet"),
    (1000.0, "shut-outlet"),
    (1060.0, "stop"),
    (1080.0, "isolate"),
    (1085.0, "lock"),
    (1100.0, "open-drain"),
    (1300.0, "shut-drain"),
    (1310.0, "unlock"),
    (1315.0, "restore"),
    (1320.0, "start"),
)
LOG_LENGTH = 1800.0  # [s]


@dataclass(frozen=True)
class Row:
    """One rig at one workload: the engine, and SciPy at the loosest tolerance that is no less exact."""

    rig: str
    workload: str
    demand: float  # over the machine's free air [-]
    milliseconds: float  # of the processor, so that other work does not count; the best of several
    times_real_time: float
    steps: int
    evaluations: int
    event_error_ms: float  # worst shift of an event against the reference
    pressure_error_pa: float  # of the receiver at the end
    references_differ_ms: float  # engine and LSODA, both tight; not a number where LSODA gives up
    peer_tolerance: float  # not a number where no tolerance was exact enough
    peer_milliseconds: float
    peer_evaluations: int
    peer_error_ms: float
    times_faster: float  # SciPy's processor time over the engine's


@dataclass(frozen=True)
class Result:
    """Everything that was measured."""

    engine_version: str
    python: str
    numba: str
    scipy: str
    reference_tolerance: float
    rows: tuple[Row, ...]
    microseconds_per_second_by_minutes: float  # an hour run minute by minute
    microseconds_per_second_in_a_week: float  # a week in one go
    replay_ms: float
    replayed_minutes: float
    processes: Processes | None


def measure(rigs: Sequence[str] | None = None, *, processes: bool = True) -> Result:
    """Measure all of it.

    Parameters
    ----------
    rigs : sequence of str, optional
        Slugs; every rig if left out.
    processes : bool, optional
        Whether fresh processes are measured too.

    Returns
    -------
    Result
        Times of this machine; steps, evaluations and errors of any.
    """
    known = load_rigs()
    chosen = [known[slug] for slug in rigs or known]
    rows = [_row(make(rig)) for rig in chosen for make in (average, as_often_as_allowed)]
    minute, week = _long(known[LONG_RIG])
    return Result(
        ENGINE_VERSION,
        platform.python_version(),
        version("numba"),
        version("scipy"),
        engine.TOLERANCE / TIGHTER,
        tuple(rows),
        minute,
        week,
        _replay_ms(known[LONG_RIG]),
        LOG_LENGTH / 60.0,
        measure_processes() if processes else None,
    )


def _row(work: Workload) -> Row:
    reference = work.ours(engine.TOLERANCE / TIGHTER)
    own, milliseconds = _timed(lambda: work.ours(engine.TOLERANCE), OWN_REPEATS)
    error = _event_error_ms(own.events, reference.events)
    assert own.state is not None  # noqa: S101  the engine always has one
    assert reference.state is not None  # noqa: S101
    peer = _peer(work, reference, error)
    return Row(
        work.rig,
        work.title,
        work.demand,
        milliseconds,
        work.seconds / milliseconds * 1e3,
        own.steps,
        own.evaluations,
        error,
        abs(work.pressure(own.state) - work.pressure(reference.state)),
        _references_differ_ms(work, reference),
        *peer,
        peer[1] / milliseconds,
    )


def _references_differ_ms(work: Workload, reference: Course) -> float:
    """Worst shift of an event between engine and LSODA, both tight; not a number where LSODA gives up."""
    try:
        return _event_error_ms(work.theirs(PEER_REFERENCE).events, reference.events)
    except GaveUp:
        return math.nan


def _peer(work: Workload, reference: Course, wanted: float) -> tuple[float, float, int, float]:
    """SciPy's tolerance, time, evaluations and error, at the loosest tolerance that is exact enough."""
    for tolerance in PEER_TOLERANCES:
        try:
            tried = work.theirs(tolerance)
        except GaveUp:
            continue
        error = _event_error_ms(tried.events, reference.events)
        if error <= wanted:
            done, milliseconds = _timed(lambda t=tolerance: work.theirs(t), PEER_REPEATS)  # type: ignore[misc]
            return tolerance, milliseconds, done.evaluations, error
    return math.nan, math.nan, 0, math.nan


def _timed(work: Callable[[], Course], repeats: int) -> tuple[Course, float]:
    """Run a few times; the last result, and the best processor time in milliseconds."""
    done, spent = work(), []
    for _ in range(repeats):
        began = time.process_time()
        done = work()
        spent.append((time.process_time() - began) * 1e3)
    return done, min(spent)


def _event_error_ms(events: Sequence[Event], reference: Sequence[Event]) -> float:
    """Worst shift of an event; not comparable (infinite) where other things happened."""
    if [event.what for event in events] != [event.what for event in reference]:
        return float("inf")
    return max((abs(a.t - b.t) for a, b in zip(events, reference, strict=True)), default=0.0) * 1e3


def _long(rig: Rig) -> tuple[float, float]:
    """Processor time per simulated second, minute by minute and over a week in one go. [µs/s]"""
    work = average(rig)
    best = math.inf
    for _ in range(3):
        snapshot, began = work.start, time.process_time()
        for i in range(1, 61):
            snapshot = engine.advance(work.p, snapshot, WORKING, i * MINUTE, recording=False).end
        best = min(best, time.process_time() - began)
    began = time.process_time()
    engine.advance(work.p, work.start, WORKING, WEEK, recording=False)
    return best / (60 * MINUTE) * 1e6, (time.process_time() - began) / WEEK * 1e6


def _replay_ms(rig: Rig) -> float:
    catalogue = load_faults()
    spent = []
    for _ in range(REPLAY_REPEATS):
        began = time.process_time()
        session = Session(rig, catalogue, [], 1, receiver_gauge_pressure=0.0)
        for at, deed in LOG:
            session.run(at - session.clock)
            session.operate(deed)
        session.run(LOG_LENGTH - session.clock)
        spent.append((time.process_time() - began) * 1e3)
    return min(spent)


def plain(result: Result) -> dict[str, Any]:
    """Put a result in plain values for JSON; what has no figure becomes None.

    Parameters
    ----------
    result : Result
        As measured.

    Returns
    -------
    dict
        Names and values.
    """
    values = asdict(result)
    for row in values["rows"]:
        for name, value in row.items():
            if isinstance(value, float) and not math.isfinite(value):
                row[name] = None
    return values


def table(result: Result) -> str:
    """Set a result in a table for a person.

    Parameters
    ----------
    result : Result
        As measured.

    Returns
    -------
    str
        Lines.
    """
    head = (
        f"Engine {result.engine_version}, Python {result.python}, numba {result.numba}, SciPy {result.scipy}. "
        "Processor time, the best of several.\n"
        f"Errors against the engine at a tolerance of {result.reference_tolerance:g}; LSODA at the loosest tolerance "
        "whose error is no larger, without the running totals.\n\n"
    )
    columns = (
        f"{'rig':<14}{'workload':<28}{'demand':>7}{'ms':>8}{'x real time':>13}{'steps':>7}{'rhs':>8}"
        f"{'error ms':>10}{'Pa':>7}{'refs ms':>9}{'LSODA ms':>10}{'at':>7}{'rhs':>8}{'error ms':>10}{'faster':>8}\n"
    )
    lines = "".join(
        f"{row.rig:<14}{row.workload:<28}{row.demand:>7.3f}{row.milliseconds:>8.2f}{row.times_real_time:>13,.0f}"
        f"{row.steps:>7}{row.evaluations:>8}{row.event_error_ms:>10.1f}{row.pressure_error_pa:>7.0f}"
        f"{row.references_differ_ms:>9.2f}{row.peer_milliseconds:>10.1f}{row.peer_tolerance:>7.0e}"
        f"{row.peer_evaluations:>8}{row.peer_error_ms:>10.1f}{row.times_faster:>7.1f}x\n"
        for row in result.rows
    )
    tail = (
        f"\n{LONG_RIG}: {result.microseconds_per_second_by_minutes:.2f} µs per simulated second minute by minute, "
        f"{result.microseconds_per_second_in_a_week:.2f} µs in a week at one go\n"
        f"Replay of a log of {result.replayed_minutes:.0f} minutes: {result.replay_ms:.1f} ms\n"
    )
    return head + columns + lines + tail + (_of_processes(result.processes) if result.processes else "")


def _of_processes(found: Processes) -> str:
    return (
        f"Engine ready in a fresh process: {found.ready_seconds:.2f} s, {found.ready_processor_seconds:.2f} s of the processor\n"
        f"Memory: {found.import_megabytes:.0f} MB ready, {found.hour_megabytes:.1f} MB more for an hour recorded\n"
        f"Two processes do {found.two_over_one:.2f} times the work of one, on {found.processors} processors\n"
    )
