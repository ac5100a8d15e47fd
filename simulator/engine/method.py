"""The method: one step of a linearly implicit embedded pair of order 4(3), stiffly accurate, with dense output.

The machine is stiff (a head line of 0.2 L behind a valve of 0.7 cm²) and switches often, which a one-step method
takes without the restarts that cost a multistep one most of its time.
"""

import math
from typing import NamedTuple

import numpy as np

from simulator import air
from simulator.compiled import stepping
from simulator.components import compressing, induction
from simulator.driving import driving
from simulator.dynamics import fan_share, oil_lag, rates, rates_of
from simulator.machine import Parameters
from simulator.pumping import Pumping, pumping
from simulator.state import ACTIVE, CORE, STATES, Hands, Modes, State

# What is a small change of each state: scales the absolute tolerance.
_SCALES = np.array(
    [0.5, 30.0, 0.05, 2e-4, 30.0, 0.02, 30.0, 1e-3]
    + [30.0] * 6
    + [1e5, 1e5]
    + [1.0, 1.0, 1e6, 1e6, 1e6, 1e6, 1e6]
)

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


@stepping
def state_of(y: np.ndarray) -> State:
    """Name the entries of a state array of shape (STATES,)."""
    return State(
        y[0], y[1], y[2], y[3], y[4], y[5], y[6], y[7], y[8], y[9], y[10], y[11], y[12], y[13], y[14], y[15],
        y[16], y[17], y[18], y[19], y[20], y[21], y[22],
    )  # fmt: skip


@stepping
def modes_of(m: np.ndarray) -> Modes:
    """Name the entries of a modes array."""
    return Modes(m[0], m[1], m[2], m[3], m[4], m[5], m[6], m[7], m[8], m[9], m[10])


@stepping
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
    d = rates(state_of(y), modes, hands, p)
    for i in range(STATES):
        out[i] = d[i]


# Columns by which of their parts they move: what the pump and the motor do need not be worked out again for the
# others. A test holds this against the columns taken whole.
_MOVES_PUMP = np.array([0, 0, 0, 1, 1, 0, 1, 1])
_MOVES_MOTOR = np.array([0, 0, 0, 0, 0, 0, 1, 0])
COLUMN_COST = 8  # right-hand sides a Jacobian counts as, at most
_NUDGE = 1e-7
INTERSTAGE = State._fields.index("interstage_mass")


@stepping
def jacobian(
    y: np.ndarray,
    modes: Modes,
    hands: Hands,
    p: Parameters,
    f0: np.ndarray,
    out: np.ndarray,
) -> None:
    """Rates, and their partial derivatives: by forward differences for the core, in closed form for what follows it."""
    at = state_of(y)
    pump, drive = pumping(at, hands, p), driving(at.motor_speed, modes, hands, p)
    d = rates_of(at, modes, hands, p, pump, drive)
    for i in range(STATES):
        f0[i] = d[i]
    for j in range(CORE):
        if j == INTERSTAGE and p.pump.second_1.swept_volume <= 0.0:
            continue
        kept = y[j]
        y[j] += _NUDGE * max(abs(kept), _SCALES[j])
        scale = 1.0 / (y[j] - kept)
        s = state_of(y)
        moved_pump = pumping(s, hands, p) if _MOVES_PUMP[j] else pump
        moved_drive = driving(s.motor_speed, modes, hands, p) if _MOVES_MOTOR[j] else drive
        d = rates_of(s, modes, hands, p, moved_pump, moved_drive)
        for i in range(STATES):
            out[i, j] = (d[i] - f0[i]) * scale
        y[j] = kept
    _followers(pump, at, p, out)


HEAD_LINE_HEAT = State._fields.index("head_line_temperature")
HEAT_OUT = State._fields.index("heat_out")


@stepping
def _followers(pump: Pumping, s: State, p: Parameters, out: np.ndarray) -> None:
    """Derivatives by what follows the core: of itself, and of the head line's heat by the heads that warm it."""
    a, two_stage = p.pump, p.pump.second_1.swept_volume > 0.0
    cooled, capacity = fan_share(p, pump.speed), a.head_heat_capacity
    first, second = a.head_heat_loss * cooled, a.second_head_heat_loss * cooled
    exchange = air.CP * compressing.WALL_EXCHANGE
    out[8, 8] = -(first + a.head_to_head + exchange * pump.first_1.delivered) / capacity
    out[9, 9] = -(first + a.head_to_head + exchange * pump.first_2.delivered) / capacity
    out[8, 9] = out[9, 8] = a.head_to_head / capacity
    out[10, 10] = -(second + exchange * pump.second_1.delivered) / capacity
    out[11, 11] = -(second + exchange * pump.second_2.delivered) / capacity
    # The stage before the head line warms it, the one before the intercooler warms that, which sheds it.
    line = p.head_line.heat_capacity
    by_first, by_second = (0.0, 1.0) if two_stage else (1.0, 0.0)
    out[HEAD_LINE_HEAT, 8] = by_first * exchange * pump.first_1.delivered / line
    out[HEAD_LINE_HEAT, 9] = by_first * exchange * pump.first_2.delivered / line
    out[HEAD_LINE_HEAT, 10] = by_second * exchange * pump.second_1.delivered / line
    out[HEAD_LINE_HEAT, 11] = by_second * exchange * pump.second_2.delivered / line
    out[HEAT_OUT, 8] = first + by_second * exchange * pump.first_1.delivered
    out[HEAT_OUT, 9] = first + by_second * exchange * pump.first_2.delivered
    out[HEAT_OUT, 10] = out[HEAT_OUT, 11] = second
    out[12, 12] = -induction.winding_cooling(p.motor, s.motor_speed)
    out[13, 13] = -1.0 / p.motor.protector_time_constant
    out[13, 12] = p.motor.protector_on_winding / p.motor.protector_time_constant
    out[14, 14] = -oil_lag(s, p, pump.speed)
    out[15, 15] = -p.switch.sensing_rate


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
    inverse: np.ndarray  # of what follows the core, and in its first places what joins the heads to it
    margins: np.ndarray  # of the events inside the step, by Happening
    ends: np.ndarray  # the same at the end of the step


@stepping
def _factor(a: np.ndarray, pivot: np.ndarray) -> None:
    """LU factors of the core block in place, rows exchanged; the diagonal is left inverted."""
    for k in range(CORE):
        best = k
        for i in range(k + 1, CORE):
            if abs(a[i, k]) > abs(a[best, k]):
                best = i
        pivot[k] = best
        if best != k:
            for j in range(CORE):
                a[k, j], a[best, j] = a[best, j], a[k, j]
        a[k, k] = 1.0 / a[k, k]
        for i in range(k + 1, CORE):
            if a[i, k] != 0.0:
                a[i, k] *= a[k, k]
                for j in range(k + 1, CORE):
                    a[i, j] -= a[i, k] * a[k, j]


@stepping
def _prepare(w: Workspace, hg: float) -> None:
    """Factors of one step: what follows the core inverted, the heads put into the core's row of the line they warm."""
    d, jac, inverse = 1.0 / hg, w.jacobian, w.inverse
    for i in range(CORE + 2, ACTIVE):
        inverse[i] = 1.0 / (d - jac[i, i])
    one, two = d - jac[8, 8], d - jac[9, 9]
    determinant = 1.0 / (one * two - jac[8, 9] * jac[9, 8])
    inverse[8], inverse[9], inverse[0] = two * determinant, one * determinant, jac[8, 9] * determinant
    for i in range(CORE):
        for j in range(CORE):
            w.lu[i, j] = -jac[i, j]
        w.lu[i, i] += d
    # What a head's own change adds to the line: by head, with the first two sharing a casting.
    line = jac[HEAD_LINE_HEAT]
    inverse[1] = line[8] * inverse[8] + line[9] * inverse[0]
    inverse[2] = line[9] * inverse[9] + line[8] * inverse[0]
    inverse[3] = line[10] * inverse[10]
    inverse[4] = line[11] * inverse[11]
    for j in range(CORE):
        for head in range(4):
            w.lu[HEAD_LINE_HEAT, j] -= inverse[1 + head] * jac[8 + head, j]
    _factor(w.lu, w.pivot)


@stepping
def _solve(w: Workspace, hg: float, b: np.ndarray, x: np.ndarray) -> None:
    """Solve (1/(h·gamma) - J) x = b: the core block by its factors, then what follows it."""
    a = w.lu
    for i in range(CORE):
        x[i] = b[i]
    for head in range(4):
        x[HEAD_LINE_HEAT] += w.inverse[1 + head] * b[8 + head]
    for k in range(CORE):
        m = w.pivot[k]
        if m != k:
            x[k], x[m] = x[m], x[k]
    for i in range(1, CORE):
        s = x[i]
        for j in range(i):
            s -= a[i, j] * x[j]
        x[i] = s
    for i in range(CORE - 1, -1, -1):
        s = x[i]
        for j in range(i + 1, CORE):
            s -= a[i, j] * x[j]
        x[i] = s * a[i, i]
    _follow(w, hg, b, x)


@stepping
def _follow(w: Workspace, hg: float, b: np.ndarray, x: np.ndarray) -> None:
    """Solve for what follows the core, once the core is known."""
    jac, inverse = w.jacobian, w.inverse
    for i in range(CORE, STATES):
        s = b[i]
        for j in range(CORE):
            s += jac[i, j] * x[j]
        x[i] = s
    # The first two heads share a casting; the winding warms the protector; the rest stands alone.
    head_1, head_2 = x[8], x[9]
    x[8] = inverse[8] * head_1 + inverse[0] * head_2
    x[9] = inverse[9] * head_2 + inverse[0] * head_1
    x[10] *= inverse[10]
    x[11] *= inverse[11]
    x[12] *= inverse[12]
    x[13] = (x[13] + jac[13, 12] * x[12]) * inverse[13]
    x[14] *= inverse[14]
    x[15] *= inverse[15]
    for head in range(8, 12):
        x[HEAT_OUT] += jac[HEAT_OUT, head] * x[head]
    for i in range(ACTIVE, STATES):
        x[i] *= hg


class Task(NamedTuple):
    """What is run and until when."""

    p: Parameters
    hands: Hands
    until: float  # [s]
    watch: int
    value: float  # gauge pressure of a pressure watch [Pa]
    tolerance: float
    recording: bool
    over_pressure: float  # gauge pressure at which a receiver counts as over-pressed [Pa]


@stepping
def _add(to: np.ndarray, factor: float, what: np.ndarray) -> None:
    """Add a multiple of one state array to another."""
    for i in range(STATES):
        to[i] += factor * what[i]


@stepping
def step(y: np.ndarray, h: float, modes: Modes, task: Task, w: Workspace) -> float:
    """Take one step of size h; fills the stages and the new state, returns the error over the tolerance."""
    hg = h * _GAMMA
    _prepare(w, hg)
    _solve(w, hg, w.f0, w.stages[0])
    for s in range(1, 6):
        if s < 5:
            w.new[:] = y
            for j in range(s):
                _add(w.new, _A[s - 1, j], w.stages[j])
        else:
            _add(w.new, 1.0, w.stages[4])
        right_hand_side(w.new, modes, task.hands, task.p, w.rhs)
        for j in range(s):
            _add(w.rhs, _C[s - 1, j] / h, w.stages[j])
        _solve(w, hg, w.rhs, w.stages[s])
    for i in range(STATES):
        w.new[i] += w.stages[5, i]
    return _error(y, w, task.tolerance)


@stepping
def _error(y: np.ndarray, w: Workspace, tolerance: float) -> float:
    """Root mean square of the estimated error over what is allowed; above 1 the step is too long."""
    total = 0.0
    for i in range(ACTIVE):
        scale = tolerance * (_SCALES[i] + max(abs(y[i]), abs(w.new[i])))
        total += (w.stages[5, i] / scale) ** 2
    return math.sqrt(total / ACTIVE)


@stepping
def between(theta: float, y: np.ndarray, w: Workspace) -> None:
    """Fill the probe with the state inside the step, theta from 0 to 1 (dense output)."""
    for i in range(STATES):
        c3 = 0.0
        c4 = 0.0
        for j in range(5):
            c3 += _D[0, j] * w.stages[j, i]
            c4 += _D[1, j] * w.stages[j, i]
        w.probe[i] = y[i] * (1.0 - theta) + theta * (w.new[i] + (1.0 - theta) * (c3 + theta * c4))
