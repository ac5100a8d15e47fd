"""State is a pure function of the case and the log: run the machine from line to line and do what is written.

A worker keeps the jobs it replayed last, to go on from them instead of from the start. Nothing depends on it: a
kept job is what the case and its lines give, and any worker gets the same from the log alone.
"""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING

from simulator.engine import EngineFailed
from training.bench import ticket
from training.bench.doing import do
from training.bench.exceptions import CannotBeDone, ClockRefused
from training.bench.job import ROUNDING, Job, Line, Told

if TYPE_CHECKING:
    from collections.abc import Sequence

    from training.bench.case import Case

AHEAD = 900.0  # how far a page may play on without asking again [s]
KEPT = 32  # jobs; each holds a few megabytes of record

_kept: OrderedDict[Case, tuple[tuple[Line, ...], Job]] = OrderedDict()
_lock = Lock()


def replay(case: Case, lines: Sequence[Line]) -> Job:
    """Return the job as it stands after the last line, going on from a kept one where its log begins so."""
    case.check_unchanged()
    wanted = tuple(lines)
    with _lock:
        known, job = _kept.get(case, ((), None))
        job = job.copy() if job is not None and wanted[: len(known)] == known else None
    job = job or Job(case, case.session())
    for line in wanted[len(job.told) :]:
        follow(job, line)
    keep(case, wanted, job)
    return job


def replay_afresh(case: Case, lines: Sequence[Line]) -> Job:
    """Return the same from the log alone."""
    case.check_unchanged()
    job = Job(case, case.session())
    for line in lines:
        follow(job, line)
    return job


def forget() -> None:
    """Drop every kept job, as a new worker has none."""
    with _lock:
        _kept.clear()


def keep(case: Case, lines: tuple[Line, ...], job: Job) -> None:
    """Keep a copy of the job that these lines give."""
    with _lock:
        _kept[case] = (lines, job.copy())
        _kept.move_to_end(case)
        while len(_kept) > KEPT:
            _kept.popitem(last=False)


def follow(job: Job, line: Line) -> Told:
    """Let the machine go on to the line's moment and do what it says.

    Raises
    ------
    Refusal
        The deed cannot be done now, or the machine cannot be followed through it.
    """
    try:
        if line.at > job.clock:
            job.session.run(line.at - job.clock)
        return ticket.write(job, line) if line.deed == ticket.DEED else do(job, line)
    except EngineFailed as failed:
        raise CannotBeDone(
            f"{failed} Nothing was done. Do something else first, or tell the instructor."
        ) from failed


def horizon(job: Job) -> float:
    """Return how far the clock may go before the server is asked again. [s]"""
    try:
        return float(job.session.ahead(AHEAD).time[-1])
    except EngineFailed:
        return job.clock


def moment(job: Job, at: float | None) -> float:
    """Return the moment on the rig's clock that a page's `at` means.

    A page shows tenths and plays its own clock, so half a second before the log's end means the end and half
    a second after the horizon means the horizon.

    Raises
    ------
    ClockRefused
        The page's clock runs backwards, or ahead of what it was given.
    """
    now = job.clock
    if at is None or abs(at - now) <= ROUNDING:
        return now
    end = horizon(job)
    if at < now:
        raise ClockRefused(
            f"The rig's clock is at {now:.0f} s and does not run backwards to {at:.0f} s. Somebody, or another "
            f"page of yours, has gone on: load the bench again.",
            now,
            end,
        )
    if at > end + ROUNDING:
        raise ClockRefused(
            f"The rig's clock is at {now:.0f} s and has been given up to {end:.0f} s, not {at:.0f} s. Load the "
            f"bench again to go on.",
            now,
            end,
        )
    return min(at, end)
