"""The engine: integrate a machine, find events inside the step, apply them in order, record, resume.

Linearly implicit (Rosenbrock type) embedded pair of order 4(3), stiffly accurate, with dense output. The
machine is stiff (a head line of 0.2 L behind a valve of 0.7 cm²) and switches often, which a one-step method
takes without the restarts that cost a multistep one most of its time.
"""

import math
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numba import njit

from simulator import ENGINE_VERSION
from simulator.dynamics import ACTIVE, CORE, STATES, Channels, Hands, Modes, State, observe, pressures, rates
from simulator.events import NAMES, Event, Happening, Watch
from simulator.machine import Parameters
from simulator.trace import Trace, joined

__all__ = ["ENGINE_VERSION", "Snapshot", "advance", "at_rest", "warm"]

TOLERANCE = 1e-4
LONGEST_STEP = 60.0
_CHANNELS = len(Channels._fields)
_BUFFER = 4000
# What is a small change of each state: scales the absolute tolerance.
_SCALES = np.array([0.5, 30.0, 0.05, 2e-4, 30.0, 0.02, 30.0, 30.0, 30.0, 30.0, 30.0, 1.0, 1.0, 1e6, 1e6])

# Coefficients of the method, autonomous form.
# Hairer and Wanner, Solving Ordinary Differential Equations II, section IV.7 (RODAS, from memory; a test holds
# the order of convergence).
_GAMMA = 0.25
_A = np.array(
    [
        [1.544, 0.0, 0.0, 0.0],
        [0.9466785280815826, 0.2557011698983284, 0.0, 0.0],
        [3.314825187068521, 2.896124015972201, 0.9986419139977817, 0.0],
        [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950],
    ]
)
_C = np.array(
    [
        [-5.6688, 0.0, 0.0, 0.0, 0.0],
        [-2.430093356833875, -0.2063599157091915, 0.0, 0.0, 0.0],
        [-0.1073529058151375, -9.594562251023355, -20.47028614809616, 0.0, 0.0],
        [7.496443313967647, -10.24680431464352, -33.99990352819905, 11.70890893206160, 0.0],
        [8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054],
    ]
)
_D = np.array(
    [
        [10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662],
        [-0.6762803392801253, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872],
    ]
)


@njit(cache=True)
def _state(y: np.ndarray) -> State:
    return State(
        y[0], y[1], y[2], y[3], y[4], y[5], y[6], y[7], y[8], y[9], y[10], y[11], y[12], y[13], y[14]
    )  # fmt: skip


@njit(cache=True)
def _modes(m: np.ndarray) -> Modes:
    return Modes(m[0], m[1], m[2], m[3])


@njit(cache=True)
def right_hand_side(y: np.ndarray, modes: Modes, hands: Hands, p: Parameters, out: np.ndarray) -> None:
    """Rates of change as an array, for this engine and for any other solver.

    Parameters
    ----------
    y : numpy.ndarray
        State in the order of `State`, shape (STATES,). [SI]
    modes : Modes
        Positions changed by events.
    hands : Hands
        Levers and valves.
    p : Parameters
        The machine.
    out : numpy.ndarray
        Filled with the rates, shape (STATES,). [SI/s]

    References
    ----------
    See `simulator.dynamics.rates`.
    """
    d = rates(_state(y), modes, hands, p)
    for i in range(STATES):
        out[i] = d[i]


# States of which no rate depends on two may be nudged together: one evaluation serves several columns.
# A test holds this grouping against the columns taken one by one.
_GROUPS = np.array(
    [
        [0, -1, -1],  # receiver mass
        [1, -1, -1],  # receiver temperature
        [3, -1, -1],  # head line mass
        [4, -1, -1],  # head line temperature
        [6, -1, -1],  # motor speed
        [2, 7, 9],  # receiver water, first head, winding
        [5, 8, 10],  # shop line mass, second head, protector
    ]
)
# Which group member a rate belongs to, for the two shared groups; the others go to the only member.
_OWNER = np.array(
    [
        [0, 0, 0, 0, 0, 0, 0, 1, 1, 2, 2, 0, 0, 2, 2],
        [0, 0, 0, 0, 0, 0, 0, 1, 1, 2, 2, 0, 0, 2, 2],
    ]
)


@njit(cache=True)
def _jacobian(
    y: np.ndarray,
    f0: np.ndarray,
    modes: Modes,
    hands: Hands,
    p: Parameters,
    work: np.ndarray,
    out: np.ndarray,
) -> None:
    """Partial derivatives by forward differences; columns of the running totals are nought."""
    steps = np.zeros(3)
    kept = np.zeros(3)
    for group in range(7):
        for member in range(3):
            j = _GROUPS[group, member]
            if j >= 0:
                kept[member] = y[j]
                steps[member] = 1e-7 * max(abs(y[j]), _SCALES[j])
                y[j] += steps[member]
        right_hand_side(y, modes, hands, p, work)
        for member in range(3):
            j = _GROUPS[group, member]
            if j < 0:
                continue
            y[j] = kept[member]
            for i in range(STATES):
                if group < 5 or _OWNER[group - 5, i] == member:
                    out[i, j] = (work[i] - f0[i]) / steps[member]


@njit(cache=True)
def _factor(a: np.ndarray, pivot: np.ndarray) -> None:
    """LU factors of the core block in place, rows exchanged."""
    for k in range(CORE):
        best = k
        for i in range(k + 1, CORE):
            if abs(a[i, k]) > abs(a[best, k]):
                best = i
        pivot[k] = best
        if best != k:
            for j in range(CORE):
                a[k, j], a[best, j] = a[best, j], a[k, j]
        for i in range(k + 1, CORE):
            if a[i, k] != 0.0:
                a[i, k] /= a[k, k]
                for j in range(k + 1, CORE):
                    a[i, j] -= a[i, k] * a[k, j]


@njit(cache=True)
def _solve(
    a: np.ndarray, pivot: np.ndarray, jac: np.ndarray, hg: float, b: np.ndarray, x: np.ndarray
) -> None:
    """Solve (1/(h·gamma) - J) x = b.

    The core block by its factors; then what follows the core without acting back on it: the two heads together,
    winding, protector, running totals.
    """
    for i in range(CORE):
        x[i] = b[i]
    for k in range(CORE):
        m = pivot[k]
        if m != k:
            x[k], x[m] = x[m], x[k]
    for i in range(CORE):
        s = x[i]
        for j in range(i):
            s -= a[i, j] * x[j]
        x[i] = s
    for i in range(CORE - 1, -1, -1):
        s = x[i]
        for j in range(i + 1, CORE):
            s -= a[i, j] * x[j]
        x[i] = s / a[i, i]
    for i in range(CORE, STATES):
        s = b[i]
        for j in range(CORE):
            s += jac[i, j] * x[j]
        x[i] = s
    d = 1.0 / hg
    one, two = d - jac[7, 7], d - jac[8, 8]
    determinant = one * two - jac[7, 8] * jac[8, 7]
    head_1, head_2 = x[7], x[8]
    x[7] = (two * head_1 + jac[7, 8] * head_2) / determinant
    x[8] = (one * head_2 + jac[8, 7] * head_1) / determinant
    x[9] /= d - jac[9, 9]
    x[10] = (x[10] + jac[10, 9] * x[9]) / (d - jac[10, 10])
    for i in range(ACTIVE, STATES):
        x[i] *= hg


class Workspace(NamedTuple):
    """Arrays that a run of steps reuses."""

    stages: np.ndarray  # shape (6, STATES)
    new: np.ndarray  # state at the end of the step
    rhs: np.ndarray
    f0: np.ndarray  # rates at the start of the step
    probe: np.ndarray  # a state inside the step
    jacobian: np.ndarray  # shape (STATES, STATES)
    lu: np.ndarray  # shape (CORE, CORE)
    pivot: np.ndarray
    margins: np.ndarray  # by Happening


class Logbook(NamedTuple):
    """What a run writes down."""

    time: np.ndarray  # of the samples [s]
    values: np.ndarray  # shape (samples, channels)
    event_time: np.ndarray  # [s]
    event: np.ndarray  # Happening
    count: np.ndarray  # samples, events, steps, rejected steps, right-hand sides


SAMPLES, EVENTS, TAKEN, REJECTED, EVALUATED = range(5)


class Task(NamedTuple):
    """What is run and until when."""

    p: Parameters
    hands: Hands
    until: float  # [s]
    watch: int
    value: float  # gauge pressure of a pressure watch [Pa]
    tolerance: float
    recording: bool


@njit(cache=True)
def _step(y: np.ndarray, h: float, modes: Modes, task: Task, w: Workspace) -> float:
    """Take one step of size h; fills the stages and the new state, returns the error over the tolerance."""
    hg = h * _GAMMA
    for i in range(CORE):
        for j in range(CORE):
            w.lu[i, j] = -w.jacobian[i, j]
        w.lu[i, i] += 1.0 / hg
    _factor(w.lu, w.pivot)
    _solve(w.lu, w.pivot, w.jacobian, hg, w.f0, w.stages[0])
    for s in range(1, 6):
        for i in range(STATES):
            if s < 5:
                value = y[i]
                for j in range(s):
                    value += _A[s - 1, j] * w.stages[j, i]
                w.new[i] = value
            else:
                w.new[i] += w.stages[4, i]
        right_hand_side(w.new, modes, task.hands, task.p, w.rhs)
        for i in range(STATES):
            for j in range(s):
                w.rhs[i] += _C[s - 1, j] / h * w.stages[j, i]
        _solve(w.lu, w.pivot, w.jacobian, hg, w.rhs, w.stages[s])
    total = 0.0
    for i in range(STATES):
        w.new[i] += w.stages[5, i]
    for i in range(ACTIVE):
        scale = task.tolerance * (_SCALES[i] + max(abs(y[i]), abs(w.new[i])))
        total += (w.stages[5, i] / scale) ** 2
    return math.sqrt(total / ACTIVE)


@njit(cache=True)
def _between(theta: float, y: np.ndarray, w: Workspace) -> None:
    """Fill the probe with the state inside the step, theta from 0 to 1 (dense output)."""
    for i in range(STATES):
        c3 = 0.0
        c4 = 0.0
        for j in range(5):
            c3 += _D[0, j] * w.stages[j, i]
            c4 += _D[1, j] * w.stages[j, i]
        w.probe[i] = y[i] * (1.0 - theta) + theta * (w.new[i] + (1.0 - theta) * (c3 + theta * c4))


@njit(cache=True)
def _margins(y: np.ndarray, m: np.ndarray, task: Task, out: np.ndarray) -> None:
    """How far each event is from happening; at or below zero it happens. Unarmed events stand at 1."""
    s, p = _state(y), task.p
    gauge = pressures(s, p)[0] - p.intake.ambient_pressure
    out[:] = 1.0
    if m[1] < 0.5:
        out[1] = (p.motor.protector_trip - s.protector_temperature) / 100.0
    if m[0] > 0.5:
        out[2] = (p.switch.cut_out - gauge) / 1e5
    elif task.hands.lever_on > 0.5:
        out[3] = (gauge - p.switch.cut_in) / 1e5
    if m[3] < 0.5:
        out[4] = (p.relief.set_pressure - gauge) / 1e5
    else:
        out[5] = (gauge - p.relief.reseat_pressure) / 1e5
    if m[2] > 0.5:
        out[6] = (p.motor.start_switch_speed - s.motor_speed) / 100.0
    else:
        out[7] = (s.motor_speed - 0.5 * p.motor.start_switch_speed) / 100.0
    out[8] = _watched(s, m, gauge, task)


@njit(cache=True)
def _watched(s: State, m: np.ndarray, gauge: float, task: Task) -> float:
    """Margin of what the caller waits for, where that is no event of the machine's own."""
    if task.watch == 1:
        return (task.value - gauge) / 1e5
    if task.watch == 2:
        return (gauge - task.value) / 1e5
    live = m[0] > 0.5 and m[1] < 0.5 and task.hands.isolator_closed > 0.5
    if task.watch == 7 and not live:
        return (s.motor_speed - 1.0) / 100.0
    return 1.0


@njit(cache=True)
def _apply(what: int, m: np.ndarray) -> None:
    if what == 1:
        m[1] = 1.0
    elif what in (2, 3):
        m[0] = 1.0 if what == 3 else 0.0
    elif what in (4, 5):
        m[3] = 1.0 if what == 4 else 0.0
    elif what in (6, 7):
        m[2] = 1.0 if what == 7 else 0.0


@njit(cache=True)
def _ends(what: int, watch: int) -> bool:
    """Whether this event is what the caller waits for."""
    return (
        what == 8
        or (watch == 3 and what in (1, 2, 3))
        or (watch == 4 and what == 2)
        or (watch == 5 and what == 3)
        or (watch == 6 and what == 1)
    )


@njit(cache=True)
def _first_event(y: np.ndarray, m: np.ndarray, task: Task, w: Workspace) -> tuple[float, int]:
    """Where in the step the first event lies (share of the step) and which; 2.0 and 0 if none does.

    At the same instant the lower number goes first.
    """
    first, which = 2.0, 0
    for e in range(1, 9):
        _margins(w.new, m, task, w.margins)
        if w.margins[e] > 0.0:
            continue
        low, high = 0.0, 1.0
        for _ in range(48):
            middle = 0.5 * (low + high)
            _between(middle, y, w)
            _margins(w.probe, m, task, w.margins)
            if w.margins[e] > 0.0:
                low = middle
            else:
                high = middle
        if high < first - 1e-12:
            first, which = high, e
    return first, which


@njit(cache=True)
def _record(t: float, y: np.ndarray, m: np.ndarray, task: Task, log: Logbook) -> None:
    if not task.recording:
        return
    n = log.count[SAMPLES]
    c = observe(_state(y), _modes(m), task.hands, task.p)
    log.time[n] = t
    for i in range(_CHANNELS):
        log.values[n, i] = c[i]
    log.count[SAMPLES] = n + 1


@njit(cache=True)
def _happen(what: int, t: float, y: np.ndarray, m: np.ndarray, task: Task, log: Logbook) -> bool:
    """Write an event down, apply it, and say whether it ends the run."""
    n = log.count[EVENTS]
    log.event_time[n], log.event[n] = t, what
    log.count[EVENTS] = n + 1
    _apply(what, m)
    _record(t, y, m, task, log)
    return _ends(what, task.watch)


@njit(cache=True)
def _due(y: np.ndarray, m: np.ndarray, task: Task, w: Workspace) -> int:
    """Which event is due where the machine stands; 0 if none. The lower number goes first."""
    _margins(y, m, task, w.margins)
    for e in range(1, 9):
        if w.margins[e] <= 0.0:
            return e
    return 0


@njit(cache=True)
def _accept(
    t: float, h: float, y: np.ndarray, m: np.ndarray, task: Task, w: Workspace, log: Logbook
) -> tuple[float, int]:
    """Go to the end of the step or to the first event in it; returns the time and the event, 0 if none."""
    share, which = _first_event(y, m, task, w)
    taken = min(share, 1.0)
    if task.recording:
        pieces = 4 if h * taken > 0.05 else 1
        for i in range(1, pieces):
            _between(taken * i / pieces, y, w)
            _record(t + h * taken * i / pieces, w.probe, m, task, log)
    if which:
        _between(taken, y, w)
        w.new[:] = w.probe
        end = t + h * taken
    else:
        end = t + h if task.until - (t + h) > 1e-12 * max(1.0, task.until) else task.until
    y[:] = w.new
    _record(end, y, m, task, log)
    return end, which


@njit(cache=True)
def _integrate(
    y: np.ndarray, m: np.ndarray, t: float, h: float, task: Task, log: Logbook
) -> tuple[float, float, int]:
    """Run from t to the end of the task or to the watched event; changes y and m in place.

    Returns time, next step size, and why it ended: 0 time, 1 watched event, 2 logbook full, 3 the step size
    fell to nothing.
    """
    w = Workspace(
        np.zeros((6, STATES)), np.zeros(STATES), np.zeros(STATES), np.zeros(STATES), np.zeros(STATES),
        np.zeros((STATES, STATES)), np.zeros((CORE, CORE)), np.zeros(CORE, np.int64), np.zeros(9),
    )  # fmt: skip
    fresh = True
    _record(t, y, m, task, log)
    while t < task.until:
        if log.count[SAMPLES] > log.time.size - 8 or log.count[EVENTS] > log.event.size - 8:
            return t, h, 2
        if fresh:
            due = _due(y, m, task, w)
            if due:
                if _happen(due, t, y, m, task, log):
                    return t, h, 1
                continue
            right_hand_side(y, _modes(m), task.hands, task.p, w.f0)
            _jacobian(y, w.f0, _modes(m), task.hands, task.p, w.rhs, w.jacobian)
            log.count[EVALUATED] += 1 + _GROUPS.shape[0]
        h = min(h, LONGEST_STEP, task.until - t)
        error = _step(y, h, _modes(m), task, w)
        log.count[EVALUATED] += 5
        fresh = error <= 1.0  # not a number counts as too large
        if not fresh:
            log.count[REJECTED] += 1
            h *= max(min(0.9 * error**-0.25, 0.9), 0.1) if math.isfinite(error) else 0.1
            if h < 1e-12:
                return t, h, 3
            continue
        log.count[TAKEN] += 1
        t, which = _accept(t, h, y, m, task, w, log)
        if which:
            h = min(h, 0.01)
            if _happen(which, t, y, m, task, log):
                return t, h, 1
        else:
            h *= min(6.0, max(0.2, 0.9 * max(error, 1e-8) ** -0.25))
    return t, h, 0


class EngineFailed(ArithmeticError):
    """The machine left the range in which the engine can follow it."""


@dataclass(frozen=True)
class Work:
    """What a stretch of simulation cost, in figures that no machine changes."""

    steps: int = 0
    rejected: int = 0
    evaluations: int = 0

    def __add__(self, other: "Work") -> "Work":
        return Work(
            self.steps + other.steps, self.rejected + other.rejected, self.evaluations + other.evaluations
        )


@dataclass(frozen=True)
class Snapshot:
    """A machine at one instant: enough to go on from, with the result of an unbroken run."""

    time: float  # [s]
    state: State
    modes: Modes
    step: float = 1e-4  # the engine's next step size [s]


@dataclass(frozen=True)
class Segment:
    """One stretch of simulation."""

    end: Snapshot
    trace: Trace
    reached: bool  # whether the watched event ended it
    work: Work = field(default_factory=Work)


def at_rest(p: Parameters, receiver_gauge_pressure: float) -> Snapshot:
    """A machine standing cold with air in its receiver, lever off, head line empty.

    Parameters
    ----------
    p : Parameters
        The machine.
    receiver_gauge_pressure : float
        [Pa]

    Returns
    -------
    Snapshot
        At time nought.
    """
    t, room = p.intake.ambient_temperature, p.intake.ambient_pressure
    gas = 287.05287 * t
    state = State(
        (receiver_gauge_pressure + room) * p.receiver.volume / gas,
        t,
        0.0,
        room * p.head_line.volume / gas,
        t,
        room * p.outlet.line_volume / gas,
        0.0,
        t,
        t,
        t,
        t,
        0.0,
        0.0,
        0.0,
        0.0,
    )
    return Snapshot(0.0, state, Modes(0.0, 0.0, 1.0, 0.0))


def advance(
    p: Parameters,
    start: Snapshot,
    hands: Hands,
    until: float,
    watch: Watch = Watch.NOTHING,
    value: float = math.nan,
    *,
    tolerance: float = TOLERANCE,
    recording: bool = True,
) -> Segment:
    """Let a machine go on with the hands where they are.

    Parameters
    ----------
    p : Parameters
        The machine, faults included.
    start : Snapshot
        Where it stands.
    hands : Hands
        Levers and valves, unchanged during this stretch.
    until : float
        Rig's clock at which to end. [s]
    watch : Watch, optional
        Event that ends the stretch sooner.
    value : float, optional
        Gauge pressure for the pressure watches. [Pa]
    tolerance : float, optional
        Relative error allowed in a step. [-]
    recording : bool, optional
        Whether channels are sampled.

    Returns
    -------
    Segment
        Where the machine then stands, what was recorded, and whether the watched event came.

    Raises
    ------
    EngineFailed
        When the machine cannot be followed any further.
    ValueError
        For a time that is not finite or lies before the start.
    """
    if not (math.isfinite(until) and until >= start.time):
        raise ValueError(f"cannot run from {start.time:g} s to {until:g} s")
    y, m = np.array(start.state), np.array(start.modes)
    task = Task(p, hands, float(until), int(watch), float(value), float(tolerance), recording)
    t, h, why = start.time, start.step, 2
    pieces: list[Trace] = []
    work = Work()
    while why == 2:
        log = _blank_logbook(recording)
        t, h, why = _integrate(y, m, t, h, task, log)
        pieces.append(_read(log))
        work += Work(*(int(n) for n in log.count[TAKEN:]))
    if why == 3:
        raise EngineFailed(f"The engine cannot follow the machine beyond {t:.3f} s.")
    end = Snapshot(float(t), State(*(float(x) for x in y)), Modes(*(float(x) for x in m)), float(h))
    return Segment(end, joined(pieces), why == 1, work)


def _blank_logbook(recording: bool) -> Logbook:
    size = _BUFFER if recording else 16
    return Logbook(
        np.empty(size),
        np.empty((size, _CHANNELS)),
        np.empty(400),
        np.empty(400, np.int64),
        np.zeros(5, np.int64),
    )


def _read(log: Logbook) -> Trace:
    samples, events = int(log.count[SAMPLES]), int(log.count[EVENTS])
    happened = tuple(
        Event(float(at), NAMES[Happening(what)])
        for at, what in zip(log.event_time[:events], log.event[:events], strict=True)
        if what != Happening.WATCHED
    )
    return Trace(log.time[:samples].copy(), log.values[:samples].copy(), happened)


def warm() -> None:
    """Compile the engine, or fetch it from its cache, by running a machine for a moment."""
    from simulator.faults import load_faults  # noqa: PLC0415  only warming needs the fixtures
    from simulator.machine import parameters  # noqa: PLC0415
    from simulator.rig import load_rigs  # noqa: PLC0415

    rig = next(iter(load_rigs().values()))
    p = parameters(rig, load_faults())
    advance(p, at_rest(p, 0.0), Hands(1.0, 1.0, 0.0, 0.0, 0.0, 1.0), 0.01)
