"""A run: step after step, events found inside the step and applied in order, samples written down."""

import math
from typing import NamedTuple

import numpy as np

from simulator.channels import Channels, observe
from simulator.compiled import stepping
from simulator.engine.method import (
    COLUMN_COST,
    Task,
    Workspace,
    between,
    jacobian,
    modes_of,
    state_of,
    step,
)
from simulator.engine.occasions import MARGINS, apply, ends, margins
from simulator.state import CORE, STATES

LONGEST_STEP = 60.0
SHORTEST = 1e-9  # a stretch shorter than this is none [s]
CHANNEL_COUNT = len(Channels._fields)


class Logbook(NamedTuple):
    """What a run writes down."""

    time: np.ndarray  # of the samples [s]
    values: np.ndarray  # shape (samples, channels)
    event_time: np.ndarray  # [s]
    event: np.ndarray  # Happening
    tally: np.ndarray  # samples, events, steps, rejected steps, right-hand sides


SAMPLES, EVENTS, TAKEN, REJECTED, EVALUATED = range(5)


@stepping
def _first_event(y: np.ndarray, m: np.ndarray, task: Task, w: Workspace) -> tuple[float, int]:
    """Where in the step the first event lies (share of the step) and which; 2.0 and 0 if none does.

    At the same instant the lower number goes first.
    """
    first, which = 2.0, 0
    margins(w.new, m, task, w.ends)
    if w.ends.min() > 0.0:
        return first, which
    for e in range(1, MARGINS):
        if w.ends[e] > 0.0:
            continue
        low, high = 0.0, 1.0
        for _ in range(48):
            middle = 0.5 * (low + high)
            between(middle, y, w)
            margins(w.probe, m, task, w.margins)
            if w.margins[e] > 0.0:
                low = middle
            else:
                high = middle
        if high < first - 1e-12:
            first, which = high, e
    return first, which


@stepping
def _record(t: float, y: np.ndarray, m: np.ndarray, task: Task, log: Logbook) -> None:
    if not task.recording:
        return
    n = log.tally[SAMPLES]
    c = observe(state_of(y), modes_of(m), task.hands, task.p)
    log.time[n] = t
    for i in range(CHANNEL_COUNT):
        log.values[n, i] = c[i]
    log.tally[SAMPLES] = n + 1


@stepping
def _happen(what: int, t: float, y: np.ndarray, m: np.ndarray, task: Task, log: Logbook) -> bool:
    """Write an event down, apply it, and say whether it ends the run."""
    n = log.tally[EVENTS]
    log.event_time[n], log.event[n] = t, what
    log.tally[EVENTS] = n + 1
    apply(what, m)
    _record(t, y, m, task, log)
    return ends(what, task.watch)


@stepping
def _settle(t: float, y: np.ndarray, m: np.ndarray, task: Task, w: Workspace, log: Logbook) -> bool:
    """Let everything happen that is due where the machine stands; says whether one of it ends the run.

    At the same instant the lower number goes first.
    """
    due = True
    while due:
        margins(y, m, task, w.margins)
        due = False
        for e in range(1, MARGINS):
            if w.margins[e] <= 0.0:
                if _happen(e, t, y, m, task, log):
                    return True
                due = True
                break
    return False


@stepping
def _accept(
    t: float, h: float, y: np.ndarray, m: np.ndarray, task: Task, w: Workspace, log: Logbook
) -> tuple[float, int]:
    """Go to the end of the step or to the first event in it; returns the time and the event, 0 if none."""
    share, which = _first_event(y, m, task, w)
    taken = min(share, 1.0)
    if task.recording:
        pieces = 4 if h * taken > 0.05 else 1
        for i in range(1, pieces):
            between(taken * i / pieces, y, w)
            _record(t + h * taken * i / pieces, w.probe, m, task, log)
    if which:
        between(taken, y, w)
        w.new[:] = w.probe
        end = t + h * taken
    else:
        end = t + h if task.until - (t + h) > 1e-12 * max(1.0, task.until) else task.until
    y[:] = w.new
    _record(end, y, m, task, log)
    return end, which


@stepping
def _shrink(error: float) -> float:
    """Factor on a rejected step."""
    return max(min(0.8 * math.pow(error, -0.25), 0.9), 0.1) if math.isfinite(error) else 0.1


@stepping
def _stretch(error: float, calm: bool) -> float:
    """Factor on the step after an accepted one."""
    return min(4.0 if calm else 1.0, max(0.2, 0.8 * math.pow(max(error, 1e-8), -0.25)))


@stepping
def integrate(
    y: np.ndarray, m: np.ndarray, t: float, h: float, task: Task, log: Logbook
) -> tuple[float, float, int]:
    """Run from t to the end of the task or to the watched event; changes y and m in place.

    Returns time, next step size, and why it ended: 0 time, 1 watched event, 2 logbook full, 3 the step size
    fell to nothing.
    """
    w = Workspace(
        np.zeros((6, STATES)), np.zeros(STATES), np.zeros(STATES), np.zeros(STATES), np.zeros(STATES),
        np.zeros((STATES, STATES)), np.zeros((CORE, CORE)), np.zeros(CORE, np.int64), np.zeros(STATES), np.zeros(MARGINS), np.zeros(MARGINS),
    )  # fmt: skip
    fresh = calm = True
    _record(t, y, m, task, log)
    if task.until - t > SHORTEST and _settle(t, y, m, task, w, log):
        return t, h, 1
    while task.until - t > SHORTEST:
        if log.tally[SAMPLES] > log.time.size - 16 or log.tally[EVENTS] > log.event.size - 16:
            return t, h, 2
        if fresh:
            jacobian(y, modes_of(m), task.hands, task.p, w.f0, w.jacobian)
            log.tally[EVALUATED] += 1 + COLUMN_COST
        h = min(h, LONGEST_STEP, task.until - t)
        error = step(y, h, modes_of(m), task, w)
        log.tally[EVALUATED] += 5
        fresh = error <= 1.0  # not a number counts as too large
        if not fresh:
            log.tally[REJECTED] += 1
            calm = False
            h *= _shrink(error)
            if h < 1e-12:
                return t, h, 3
            continue
        log.tally[TAKEN] += 1
        t, which = _accept(t, h, y, m, task, w, log)
        if which == 0:  # after a rejected step the next may not be longer at once
            h *= _stretch(error, calm)
            calm = True
            continue
        h = min(h, 0.002)
        if _happen(which, t, y, m, task, log) or _settle(t, y, m, task, w, log):
            return t, h, 1
    return t, h, 0
