"""A second way to run a machine: SciPy's solvers on the same compiled right-hand side, for comparison only.

The switching law is stated here once more, apart from the engine's, so that each checks the other.
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from simulator.engine import Snapshot, right_hand_side
from simulator.engine.method import modes_of, state_of
from simulator.events import NAMES, Event, Happening
from simulator.machine import Parameters
from simulator.spaces import pressures
from simulator.state import STATES, Hands

LONGEST_STEP = 60.0  # as the engine's [s]
MOST_EVALUATIONS = 1_000_000
# A change of each state that counts as small, in the order of `State`; times the tolerance it is the absolute one.
SMALL = np.array([0.5, 30.0, 0.05, 2e-4, 30.0, 0.02, 30.0, 30.0, 30.0, 30.0, 30.0, 1.0, 1.0, 1e6, 1e6])
# Happening -> which mode it sets, and to what.
_EFFECTS = {
    Happening.PROTECTOR_TRIPS: (1, 1.0),
    Happening.CONTACTS_OPEN: (0, 0.0),
    Happening.CONTACTS_CLOSE: (0, 1.0),
    Happening.RELIEF_POPS: (3, 1.0),
    Happening.RELIEF_RESEATS: (3, 0.0),
    Happening.START_SWITCH_OPENS: (2, 0.0),
    Happening.START_SWITCH_CLOSES: (2, 1.0),
}

Array = NDArray[np.float64]


class GaveUp(ArithmeticError):
    """The solver did not come to the end."""


@dataclass(frozen=True)
class PeerRun:
    """Where the machine stands at the end, what happened, and what it cost."""

    state: Array
    events: tuple[Event, ...]
    steps: int
    evaluations: int
    seconds: float
    times: Array
    states: Array  # shape (len(times), STATES)


class Peer:
    """A machine with the hands where they are, ready for SciPy.

    Parameters
    ----------
    p : Parameters
        The machine; frozen into the compiled functions, so that a call from Python costs a microsecond.
    hands : Hands
        Levers and valves.
    """

    def __init__(self, p: Parameters, hands: Hands) -> None:
        @njit(cache=False)
        def rates_at(y: Array, m: Array) -> Array:
            out = np.empty(STATES)
            right_hand_side(y, modes_of(m), hands, p, out)
            return out

        @njit(cache=False)
        def margin_of(what: int, y: Array) -> float:
            s = state_of(y)
            gauge = pressures(s, p)[0] - p.intake.ambient_pressure
            margin = s.motor_speed - 0.5 * p.motor.start_switch_speed
            if what == 1:
                margin = p.motor.protector_trip - s.protector_temperature
            elif what == 2:
                margin = p.switch.cut_out - gauge
            elif what == 3:
                margin = gauge - p.switch.cut_in
            elif what == 4:
                margin = p.relief.set_pressure - gauge
            elif what == 5:
                margin = gauge - p.relief.reseat_pressure
            elif what == 6:
                margin = p.motor.start_switch_speed - s.motor_speed
            return margin

        self._hands = hands
        self._rates: Callable[[Array, Array], Array] = rates_at
        self._margin: Callable[[int, Array], float] = margin_of

    def run(
        self, start: Snapshot, until: float, method: str, tolerance: float, sample: Sequence[float] = ()
    ) -> PeerRun:
        """Run to a time, starting afresh after every event.

        Parameters
        ----------
        start : Snapshot
            Where the machine stands.
        until : float
            Rig's clock at the end. [s]
        method : str
            A method of `scipy.integrate.solve_ivp`.
        tolerance : float
            Relative; the absolute one goes with it. [-]
        sample : sequence of float, optional
            Times at which the state is wanted. [s]

        Returns
        -------
        PeerRun
            The end, the events, the cost.

        Raises
        ------
        GaveUp
            When the solver fails or works too long.
        """
        began = time.perf_counter()
        y, m, t = np.array(start.state), np.array(start.modes), start.time
        wanted = np.asarray(sample, dtype=float)
        events: list[Event] = []
        times, states, steps, evaluations = [], [], 0, 0
        while t < until:
            due = self._due(y, m)
            if due is not None:
                self._apply(due, m, t, events)
                continue
            piece = self._piece(t, y, m, until, method, tolerance, wanted.size > 0)
            steps, evaluations = steps + piece.t.size - 1, evaluations + piece.nfev
            if wanted.size:
                inside = wanted[(wanted >= t) & (wanted < piece.t[-1])]
                times.append(inside)
                states.append(piece.sol(inside).T if inside.size else np.empty((0, STATES)))
            t, y = float(piece.t[-1]), piece.y[:, -1].copy()
            for what, at in zip(self._armed(m), piece.t_events, strict=True):
                if at.size:
                    self._apply(what, m, t, events)
        seconds = time.perf_counter() - began
        return PeerRun(
            y,
            tuple(events),
            steps,
            evaluations,
            seconds,
            np.concatenate(times) if times else np.empty(0),
            np.concatenate(states) if states else np.empty((0, STATES)),
        )

    def _armed(self, m: Array) -> list[Happening]:
        """Events that can happen in these modes, the most urgent first."""
        armed = [] if m[1] else [Happening.PROTECTOR_TRIPS]
        if m[0]:
            armed.append(Happening.CONTACTS_OPEN)
        elif self._hands.lever_on:
            armed.append(Happening.CONTACTS_CLOSE)
        armed.append(Happening.RELIEF_RESEATS if m[3] else Happening.RELIEF_POPS)
        armed.append(Happening.START_SWITCH_OPENS if m[2] else Happening.START_SWITCH_CLOSES)
        return armed

    def _due(self, y: Array, m: Array) -> Happening | None:
        return next((what for what in self._armed(m) if self._margin(int(what), y) <= 0.0), None)

    def _apply(self, what: Happening, m: Array, t: float, events: list[Event]) -> None:
        place, value = _EFFECTS[what]
        m[place] = value
        events.append(Event(t, NAMES[what]))

    def _piece(
        self, t: float, y: Array, m: Array, until: float, method: str, tolerance: float, dense: bool
    ) -> Any:
        left = MOST_EVALUATIONS

        def rates(_t: float, state: Array) -> Array:
            nonlocal left
            left -= 1
            if left < 0:
                raise GaveUp(f"{method} at a tolerance of {tolerance:g} does not get past {_t:.3f} s")
            return self._rates(state, m)

        piece = solve_ivp(
            rates,
            (t, until),
            y,
            method=method,
            rtol=tolerance,
            atol=tolerance * SMALL,
            max_step=LONGEST_STEP,
            dense_output=dense,
            events=[self._watch(what) for what in self._armed(m)],
        )
        if not piece.success:
            raise GaveUp(f"{method} at a tolerance of {tolerance:g}: {piece.message}")
        return piece

    def _watch(self, what: Happening) -> Callable[[float, Array], float]:
        number = int(what)

        def watch(_t: float, state: Array) -> float:
            return self._margin(number, state)

        watch.terminal = True  # type: ignore[attr-defined]  # SciPy reads these off the function
        watch.direction = -1.0  # type: ignore[attr-defined]
        return watch
