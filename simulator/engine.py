"""The engine: integrate a machine, find events inside the step, apply them in order, record, resume.

Linearly implicit (Rosenbrock type) embedded pair of order 4(3), stiffly accurate, with dense output. The
machine is stiff (a head line of 0.2 L behind a valve of 0.7 cm²) and switches often, which a one-step method
takes without the restarts that cost a multistep one most of its time.
"""

import math
from dataclasses import dataclass, field

import numpy as np
from numba import njit

from simulator import ENGINE_VERSION
from simulator.dynamics import ACTIVE, CORE, STATES, Channels, Hands, Modes, State, observe, pressures, rates
from simulator.events import NAMES, Event, Happening, Watch
from simulator.machine import Parameters
from simulator.trace import Trace

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


@njit(cache=True)
def _step(
    y: np.ndarray, f0: np.ndarray, jac: np.ndarray, h: float, modes: Modes, hands: Hands, p: Parameters,
    k: np.ndarray, new: np.ndarray, rhs: np.ndarray, lu: np.ndarray, pivot: np.ndarray, tolerance: float,
) -> float:  # fmt: skip
    """Take one step of size h; fills the stages and the new state, returns the error over the tolerance."""
    hg = h * _GAMMA
    for i in range(CORE):
        for j in range(CORE):
            lu[i, j] = -jac[i, j]
        lu[i, i] += 1.0 / hg
    _factor(lu, pivot)
    _solve(lu, pivot, jac, hg, f0, k[0])
    for s in range(1, 6):
        for i in range(STATES):
            if s < 5:
                value = y[i]
                for j in range(s):
                    value += _A[s - 1, j] * k[j, i]
                new[i] = value
            else:
                new[i] += k[4, i]
        right_hand_side(new, modes, hands, p, rhs)
        for i in range(STATES):
            for j in range(s):
                rhs[i] += _C[s - 1, j] / h * k[j, i]
        _solve(lu, pivot, jac, hg, rhs, k[s])
    total = 0.0
    for i in range(STATES):
        new[i] += k[5, i]
        scale = tolerance * (_SCALES[i] + max(abs(y[i]), abs(new[i]))) if i < ACTIVE else 1e300
        total += (k[5, i] / scale) ** 2
    return math.sqrt(total / ACTIVE)


@njit(cache=True)
def _between(theta: float, y: np.ndarray, new: np.ndarray, k: np.ndarray, out: np.ndarray) -> None:
    """State inside the step, theta from 0 to 1 (dense output)."""
    for i in range(STATES):
        c3 = 0.0
        c4 = 0.0
        for j in range(5):
            c3 += _D[0, j] * k[j, i]
            c4 += _D[1, j] * k[j, i]
        out[i] = y[i] * (1.0 - theta) + theta * (new[i] + (1.0 - theta) * (c3 + theta * c4))


@njit(cache=True)
def _margins(
    y: np.ndarray, m: np.ndarray, hands: Hands, p: Parameters, watch: int, value: float, out: np.ndarray
) -> None:
    """How far each event is from happening; at or below zero it happens. Unarmed events stand at 1."""
    s = _state(y)
    gauge = pressures(s, p)[0] - p.intake.ambient_pressure
    out[:] = 1.0
    live = m[0] > 0.5 and m[1] < 0.5 and hands.isolator_closed > 0.5
    if m[1] < 0.5:
        out[1] = (p.motor.protector_trip - s.protector_temperature) / 100.0
    if m[0] > 0.5:
        out[2] = (p.switch.cut_out - gauge) / 1e5
    elif hands.lever_on > 0.5:
        out[3] = (gauge - p.switch.cut_in) / 1e5
    if m[3] < 0.5:
        out[4] = (p.relief.set_pressure - gauge) / 1e5
    else:
        out[5] = (gauge - p.relief.reseat_pressure) / 1e5
    if m[2] > 0.5:
        out[6] = (p.motor.start_switch_speed - s.motor_speed) / 100.0
    else:
        out[7] = (s.motor_speed - 0.5 * p.motor.start_switch_speed) / 100.0
    if watch == 1:
        out[8] = (value - gauge) / 1e5
    elif watch == 2:
        out[8] = (gauge - value) / 1e5
    elif watch == 7 and not live:
        out[8] = (s.motor_speed - 1.0) / 100.0


@njit(cache=True)
def _apply(what: int, m: np.ndarray) -> None:
    if what == 1:
        m[1] = 1.0
    elif what == 2:
        m[0] = 0.0
    elif what == 3:
        m[0] = 1.0
    elif what == 4:
        m[3] = 1.0
    elif what == 5:
        m[3] = 0.0
    elif what == 6:
        m[2] = 0.0
    elif what == 7:
        m[2] = 1.0


@njit(cache=True)
def _ends(what: int, watch: int) -> bool:
    """Whether this event is what the caller waits for."""
    return (
        what == 8
        or (watch == 3 and (what == 2 or what == 3 or what == 1))
        or (watch == 4 and what == 2)
        or (watch == 5 and what == 3)
        or (watch == 6 and what == 1)
    )


@njit(cache=True)
def _first_event(
    y: np.ndarray, new: np.ndarray, k: np.ndarray, m: np.ndarray, hands: Hands, p: Parameters, watch: int, value: float,
    g: np.ndarray, probe: np.ndarray,
) -> tuple[float, int]:  # fmt: skip
    """Where in the step the first event lies (share of the step) and which; 2.0 and 0 if none does."""
    _margins(new, m, hands, p, watch, value, g)
    first, which = 2.0, 0
    for e in range(1, 9):
        if g[e] > 0.0:
            continue
        low, high = 0.0, 1.0
        for _ in range(48):
            middle = 0.5 * (low + high)
            _between(middle, y, new, k, probe)
            _margins(probe, m, hands, p, watch, value, g)
            if g[e] > 0.0:
                low = middle
            else:
                high = middle
        _margins(new, m, hands, p, watch, value, g)
        if high < first - 1e-12:
            first, which = high, e
    return first, which


@njit(cache=True)
def _record(
    t: float,
    y: np.ndarray,
    m: np.ndarray,
    hands: Hands,
    p: Parameters,
    n: int,
    out_t: np.ndarray,
    out_v: np.ndarray,
) -> int:
    c = observe(_state(y), _modes(m), hands, p)
    out_t[n] = t
    for i in range(_CHANNELS):
        out_v[n, i] = c[i]
    return n + 1


@njit(cache=True)
def _integrate(
    y: np.ndarray, m: np.ndarray, hands: Hands, p: Parameters, t: float, until: float, h: float, watch: int, value: float,
    tolerance: float, recording: bool, out_t: np.ndarray, out_v: np.ndarray, ev_t: np.ndarray, ev_what: np.ndarray, count: np.ndarray,
) -> tuple[float, float, int, int, int]:  # fmt: skip
    """Run from t to `until` or to the watched event; changes y and m in place.

    Returns time, next step size, samples, events, why it ended (0 time, 1 watched event, 2 buffer full,
    3 the step size fell to nothing). `count` gathers steps, rejected steps and right-hand sides.
    """
    k = np.empty((6, STATES))
    new, rhs, f0, probe = np.empty(STATES), np.empty(STATES), np.empty(STATES), np.empty(STATES)
    jac, lu = np.zeros((STATES, STATES)), np.empty((CORE, CORE))
    pivot, g = np.empty(CORE, np.int64), np.empty(9)
    n, events, fresh = 0, 0, True
    if recording:
        n = _record(t, y, m, hands, p, n, out_t, out_v)
    while t < until:
        if n > out_t.size - 8 or events > ev_t.size - 8:
            return t, h, n, events, 2
        if fresh:  # events that are due where we stand
            _margins(y, m, hands, p, watch, value, g)
            due = 0
            for e in range(8, 0, -1):
                if g[e] <= 0.0:
                    due = e
            if due:
                ev_t[events], ev_what[events] = t, due
                events += 1
                _apply(due, m)
                if recording:
                    n = _record(t, y, m, hands, p, n, out_t, out_v)
                if _ends(due, watch):
                    return t, h, n, events, 1
                continue
            right_hand_side(y, _modes(m), hands, p, f0)
            _jacobian(y, f0, _modes(m), hands, p, rhs, jac)
            count[2] += 1 + 7
            fresh = False
        h = min(h, LONGEST_STEP, until - t)
        error = _step(y, f0, jac, h, _modes(m), hands, p, k, new, rhs, lu, pivot, tolerance)
        count[2] += 5
        if not error <= 1.0:
            count[1] += 1
            shrink = 0.9 * error**-0.25 if math.isfinite(error) else 0.1
            h *= max(min(shrink, 0.9), 0.1)
            if h < 1e-12:
                return t, h, n, events, 3
            continue
        count[0] += 1
        share, which = _first_event(y, new, k, m, hands, p, watch, value, g, probe)
        taken = min(share, 1.0)
        if recording:
            pieces = 4 if h * taken > 0.05 else 1
            for i in range(1, pieces):
                _between(taken * i / pieces, y, new, k, probe)
                n = _record(t + h * taken * i / pieces, probe, m, hands, p, n, out_t, out_v)
        if which:
            _between(taken, y, new, k, probe)
            new[:] = probe
        t = until if (not which and until - (t + h) < 1e-12 * max(1.0, until)) else t + h * taken
        y[:] = new
        if recording:
            n = _record(t, y, m, hands, p, n, out_t, out_v)
        if which:
            ev_t[events], ev_what[events] = t, which
            events += 1
            _apply(which, m)
            if recording:
                n = _record(t, y, m, hands, p, n, out_t, out_v)
            if _ends(which, watch):
                return t, min(h, 0.01), n, events, 1
            h = min(h, 0.01)
        else:
            h *= min(6.0, max(0.2, 0.9 * max(error, 1e-8) ** -0.25))
        fresh = True
    return t, h, n, events, 0


class EngineFailed(ArithmeticError):
    """The machine left the range in which the engine can follow it."""


@dataclass
class Work:
    """What a stretch of simulation cost, in figures that no machine changes."""

    steps: int = 0
    rejected: int = 0
    evaluations: int = 0


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
    t, h = start.time, start.step
    count = np.zeros(3, np.int64)
    times, values, events = [], [], []
    while True:
        out_t, out_v = np.empty(_BUFFER), np.empty((_BUFFER, _CHANNELS))
        ev_t, ev_what = np.empty(400), np.empty(400, np.int64)
        t, h, n, e, why = _integrate(
            y, m, hands, p, t, until, h, int(watch), value, tolerance, recording, out_t, out_v, ev_t, ev_what, count
        )  # fmt: skip
        times.append(out_t[:n])
        values.append(out_v[:n])
        events += [
            Event(float(at), NAMES[Happening(what)])
            for at, what in zip(ev_t[:e], ev_what[:e], strict=True)
            if what != Happening.WATCHED
        ]
        if why == 3:
            raise EngineFailed(f"The engine cannot follow the machine beyond {t:.3f} s.")
        if why != 2:
            break
    trace = Trace(np.concatenate(times), np.concatenate(values), tuple(events))
    end = Snapshot(float(t), State(*(float(x) for x in y)), Modes(*(float(x) for x in m)), float(h))
    return Segment(end, trace, why == 1, Work(int(count[0]), int(count[1]), int(count[2])))


def warm() -> None:
    """Compile the engine, or fetch it from its cache, by running a machine for a moment."""
    from simulator.faults import load_faults  # noqa: PLC0415  only warming needs the fixtures
    from simulator.machine import parameters  # noqa: PLC0415
    from simulator.rig import load_rigs  # noqa: PLC0415

    rig = next(iter(load_rigs().values()))
    p = parameters(rig, load_faults())
    advance(p, at_rest(p, 0.0), Hands(1.0, 1.0, 0.0, 0.0, 0.0, 1.0), 0.01)
