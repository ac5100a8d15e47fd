"""How fast the engine is, against SciPy's LSODA on the same compiled right-hand side, in one run."""

import platform
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, replace
from importlib.metadata import version
from typing import Any

from simulator import ENGINE_VERSION, engine
from simulator.benchmark.peer import GaveUp, Peer
from simulator.events import Event
from simulator.faults import load_faults
from simulator.machine import Parameters, parameters
from simulator.rig import Rig, load_rigs
from simulator.session import Session
from simulator.spaces import pressures
from simulator.state import Hands, State

RIG = "twin-60"
LENGTH = 600.0  # [s]
TIGHTER = 1000.0  # the reference's tolerance over the engine's own, inverted
ENGINE_TOLERANCES = (engine.TOLERANCE, engine.TOLERANCE / 10.0, engine.TOLERANCE / 100.0)
PEER_TOLERANCES = (1e-3, 1e-4, 1e-5, 1e-6)
PEER_REFERENCE = 1e-9
REPEATS = {"engine": 30, "SciPy LSODA": 5}
REPLAY_REPEATS = 10
# The lever on, the outlet open: the shop uses air and the machine cycles.
WORKING = Hands(1.0, 1.0, 1.0, 0.0, 0.0, 1.0)
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
# What a worker process does before its first answer.
FRESH = "from simulator import engine; engine.warm()"


@dataclass(frozen=True)
class Row:
    """One solver at one tolerance over the ten minutes."""

    solver: str
    tolerance: float
    milliseconds: float  # of the processor, so that other work does not count; the best of several
    simulated_per_wall_second: float
    steps: int
    evaluations: int
    event_error_ms: float  # worst shift of an event against the reference
    pressure_error_pa: float  # of the receiver at the end
    times_engine: float = 1.0  # its processor time over the engine's


@dataclass(frozen=True)
class Result:
    """Everything that was measured."""

    engine_version: str
    python: str
    numba: str
    scipy: str
    rows: tuple[Row, ...]
    gave_up: tuple[str, ...]
    reference_tolerance: float
    references_differ_ms: float  # engine and LSODA, both tight: worst shift of an event
    compared_with: str
    faster: float  # the engine, at the same or a smaller error
    replay_ms: float
    replayed_minutes: float
    ready_seconds: float  # a fresh process, from nothing to the first answer


@dataclass(frozen=True)
class _Run:
    events: tuple[Event, ...]
    state: State
    steps: int
    evaluations: int


@dataclass(frozen=True)
class _Course:
    """The ten minutes, to be run by either solver."""

    p: Parameters
    start: engine.Snapshot
    peer: Peer

    @classmethod
    def of(cls, rig: Rig) -> "_Course":
        p = parameters(rig, load_faults())
        start = engine.at_rest(p, (rig.switch.cut_in + rig.switch.cut_out) / 2)
        return cls(p, start, Peer(p, WORKING))

    def ours(self, tolerance: float) -> _Run:
        run = engine.advance(self.p, self.start, WORKING, LENGTH, tolerance=tolerance, recording=False)
        return _Run(run.trace.events, run.end.state, run.work.steps, run.work.evaluations)

    def theirs(self, tolerance: float) -> _Run:
        run = self.peer.run(self.start, LENGTH, "LSODA", tolerance)
        return _Run(run.events, State(*(float(x) for x in run.state)), run.steps, run.evaluations)


def measure() -> Result:
    """Measure all of it.

    Returns
    -------
    Result
        Times of this machine; steps, evaluations and errors of any.

    Raises
    ------
    GaveUp
        When SciPy cannot even give the reference.
    """
    rig = load_rigs()[RIG]
    course = _Course.of(rig)
    reference = course.ours(engine.TOLERANCE / TIGHTER)
    rows = [_row("engine", tolerance, course.ours, reference, course) for tolerance in ENGINE_TOLERANCES]
    gave_up = []
    for tolerance in PEER_TOLERANCES:
        try:
            rows.append(_row("SciPy LSODA", tolerance, course.theirs, reference, course))
        except GaveUp as refusal:
            gave_up.append(str(refusal))
    own = rows[0]
    rows = [replace(row, times_engine=row.milliseconds / own.milliseconds) for row in rows]
    against = _comparable(own, [row for row in rows if row.solver != own.solver])
    return Result(
        ENGINE_VERSION,
        platform.python_version(),
        version("numba"),
        version("scipy"),
        tuple(rows),
        tuple(gave_up),
        engine.TOLERANCE / TIGHTER,
        _event_error_ms(course.theirs(PEER_REFERENCE).events, reference.events),
        f"{against.solver} at {against.tolerance:g}",
        against.times_engine,
        _replay_ms(rig),
        LOG_LENGTH / 60.0,
        _ready_seconds(),
    )


def _row(
    solver: str, tolerance: float, run: Callable[[float], _Run], reference: _Run, course: _Course
) -> Row:
    done, milliseconds, wall = _timed(lambda: run(tolerance), REPEATS[solver])
    return Row(
        solver,
        tolerance,
        milliseconds,
        LENGTH / (wall / 1e3),
        done.steps,
        done.evaluations,
        _event_error_ms(done.events, reference.events),
        abs(pressures(done.state, course.p)[0] - pressures(reference.state, course.p)[0]),
    )


def _timed(work: Callable[[], _Run], repeats: int) -> tuple[_Run, float, float]:
    """Run a few times; the last result, the best processor time and the best wall time in milliseconds."""
    done = work()
    processor, wall = [], []
    for _ in range(repeats):
        began = time.process_time(), time.perf_counter()
        done = work()
        processor.append((time.process_time() - began[0]) * 1e3)
        wall.append((time.perf_counter() - began[1]) * 1e3)
    return done, min(processor), min(wall)


def _event_error_ms(events: Sequence[Event], reference: Sequence[Event]) -> float:
    """Worst shift of an event; not comparable (infinite) where other things happened."""
    if [event.what for event in events] != [event.what for event in reference]:
        return float("inf")
    return max(abs(a.t - b.t) for a, b in zip(events, reference, strict=True)) * 1e3


def _comparable(own: Row, peers: Sequence[Row]) -> Row:
    """Pick SciPy's row of the nearest error that is not below the engine's, so that the engine has no easier job."""
    no_better = [row for row in peers if row.event_error_ms >= own.event_error_ms]
    return min(no_better or peers, key=lambda row: row.event_error_ms)


def _replay_ms(rig: Rig) -> float:
    catalogue = load_faults()
    spent = []
    for _ in range(REPLAY_REPEATS):
        began = time.perf_counter()
        session = Session(rig, catalogue, [], 1, receiver_gauge_pressure=0.0)
        for at, deed in LOG:
            session.run(at - session.clock)
            session.operate(deed)
        session.run(LOG_LENGTH - session.clock)
        spent.append((time.perf_counter() - began) * 1e3)
    return min(spent)


def _ready_seconds() -> float:
    """Start a Python of its own that loads and warms the engine from its cache."""
    began = time.perf_counter()
    subprocess.run([sys.executable, "-c", FRESH], check=True)  # noqa: S603  our own interpreter and words
    return time.perf_counter() - began


def plain(result: Result) -> dict[str, Any]:
    """Put a result in plain values for JSON; an error that has no figure becomes None.

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
            if value == float("inf"):
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
        f"Ten minutes of {RIG} cycling while the shop uses air. Engine {result.engine_version}, "
        f"Python {result.python}, numba {result.numba}, SciPy {result.scipy}.\n"
        f"Errors against the engine at a tolerance of {result.reference_tolerance:g}; LSODA at {PEER_REFERENCE:g} "
        f"puts every event within {result.references_differ_ms:.3f} ms of it.\n\n"
    )
    columns = "solver       tolerance    cpu ms   sim s/wall s  steps  rhs calls  event error   pressure error   cpu/engine\n"
    lines = "".join(
        f"{row.solver:<12} {row.tolerance:>9.0e} {row.milliseconds:>9.2f} {row.simulated_per_wall_second:>14,.0f} "
        f"{row.steps:>6} {row.evaluations:>10} {row.event_error_ms:>9.2f} ms {row.pressure_error_pa:>12.1f} Pa {row.times_engine:>12.1f}\n"
        for row in result.rows
    )
    tail = (
        f"\nEngine faster than {result.compared_with} (the nearest error not below its own): {result.faster:.1f} times\n"
        f"Replay of a log of {result.replayed_minutes:.0f} minutes: {result.replay_ms:.1f} ms\n"
        f"Engine ready in a fresh process: {result.ready_seconds:.2f} s\n"
    )
    return head + columns + lines + "".join(f"{words}\n" for words in result.gave_up) + tail
