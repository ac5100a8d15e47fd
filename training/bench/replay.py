"""State is a pure function of the case and the log: run the machine from line to line and do what is written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from training.bench.doing import do
from training.bench.exceptions import ClockRefused
from training.bench.job import ROUNDING, Job, Line, Told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from training.bench.case import Case

AHEAD = 900.0  # how far a page may play on without asking again [s]


def replay(case: Case, lines: Iterable[Line]) -> Job:
    """Return the job as it stands after the last line."""
    case.check_unchanged()
    job = Job(case, case.session())
    for line in lines:
        follow(job, line)
    return job


def follow(job: Job, line: Line) -> Told:
    """Let the machine go on to the line's moment and do what it says."""
    if line.at > job.clock:
        job.session.run(line.at - job.clock)
    return do(job, line)


def horizon(job: Job) -> float:
    """Return how far the clock may go before the server is asked again. [s]"""
    return float(job.session.ahead(AHEAD).time[-1])


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
