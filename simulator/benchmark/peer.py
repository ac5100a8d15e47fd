"""A second way to run a machine: SciPy's solvers on the same compiled right-hand side, for comparison only.

The switching law is stated in `simulator.benchmark.switching` once more, apart from the engine's, so that each checks
the other.
"""

import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from simulator.benchmark.switching import CHANGES, distances, rates_at
from simulator.engine import Snapshot
from simulator.engine.record import LAYOUT, record
from simulator.events import NAMES, Event, Happening
from simulator.machine import Parameters
from simulator.state import ACTIVE, STATES, Hands

LONGEST_STEP = 60.0  # as the engine's [s]
MOST_EVALUATIONS = 60_000  # between two events
# A change of each state that counts as small, in the order of `State`; times the tolerance it is the absolute one.
SMALL = np.array(
    [0.5, 30.0, 0.05, 2e-4, 30.0, 0.02, 30.0, 1e-3]
    + [30.0] * 6
    + [1e5, 1e5]
    + [1.0, 1.0]
    + [1e6] * (STATES - ACTIVE - 2)
)

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
        The machine.
    hands : Hands
        Levers and valves.
    totals : bool, optional
        Whether the running totals are integrated too; without them SciPy's Jacobian has fewer columns.
    """

    def __init__(self, p: Parameters, hands: Hands, *, totals: bool = True) -> None:
        self._machine = np.array([record(p)], dtype=LAYOUT)
        self._hands = np.array(hands)
        self._size = STATES if totals else ACTIVE

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
        y, m, t = np.array(start.state)[: self._size], np.array(start.modes), start.time
        wanted = np.asarray(sample, dtype=float)
        events: list[Event] = []
        times, states, steps, evaluations = [], [], 0, 0
        while t < until:
            self._settle(t, y, m, events)
            piece = self._piece(t, y, m, until, method, tolerance, wanted.size > 0)
            steps, evaluations = steps + piece.t.size - 1, evaluations + piece.nfev
            if wanted.size:
                inside = wanted[(wanted >= t) & (wanted < piece.t[-1])]
                times.append(inside)
                states.append(piece.sol(inside).T if inside.size else np.empty((0, self._size)))
            t, y = float(piece.t[-1]), piece.y[:, -1].copy()
            if piece.t_events[0].size:
                self._happen(int(np.argmin(self._distances(y, m))), t, m, events)
        seconds = time.perf_counter() - began
        return PeerRun(
            y,
            tuple(events),
            steps,
            evaluations,
            seconds,
            np.concatenate(times) if times else np.empty(0),
            np.concatenate(states) if states else np.empty((0, self._size)),
        )

    def _distances(self, y: Array, m: Array) -> Array:
        return distances(y, m, self._hands, self._machine)

    def _settle(self, t: float, y: Array, m: Array, events: list[Event]) -> None:
        """Let everything happen that is due where the machine stands, the most urgent first."""
        while (left := self._distances(y, m)).min() <= 0.0:
            self._happen(int(np.argmax(left <= 0.0)), t, m, events)

    def _happen(self, what: int, t: float, m: Array, events: list[Event]) -> None:
        for place, value in CHANGES[Happening(what)]:
            m[place] = value
        events.append(Event(t, NAMES[Happening(what)]))

    def _piece(
        self, t: float, y: Array, m: Array, until: float, method: str, tolerance: float, dense: bool
    ) -> Any:
        left = MOST_EVALUATIONS

        def rates(_t: float, state: Array) -> Array:
            nonlocal left
            left -= 1
            if left < 0:
                raise GaveUp(f"{method} at a tolerance of {tolerance:g} does not get past {_t:.3f} s")
            return rates_at(state, m, self._hands, self._machine)

        def nearest_event(_t: float, state: Array) -> float:
            return float(self._distances(state, m).min())

        nearest_event.terminal = True  # type: ignore[attr-defined]  # SciPy reads these off the function
        nearest_event.direction = -1.0  # type: ignore[attr-defined]
        piece = solve_ivp(
            rates,
            (t, until),
            y,
            method=method,
            rtol=tolerance,
            atol=tolerance * SMALL[: self._size],
            max_step=LONGEST_STEP,
            dense_output=dense,
            events=nearest_event,
        )
        if not piece.success:
            raise GaveUp(f"{method} at a tolerance of {tolerance:g}: {piece.message}")
        return piece
