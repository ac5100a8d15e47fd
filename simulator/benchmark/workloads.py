"""What is run: ten minutes of average use, and an hour in which a rig starts as often as its plate allows."""

from collections.abc import Sequence
from dataclasses import dataclass

from simulator import engine
from simulator.adjustable import healthy_values
from simulator.benchmark.peer import Peer
from simulator.events import Event
from simulator.machine import Parameters, from_values
from simulator.rig import Rig
from simulator.spaces import pressures
from simulator.state import Hands, State

TEN_MINUTES, HOUR = 600.0, 3600.0  # [s]
# An engine is not started by its switch: it unloads as often as a motor of its size might start.
UNLOADINGS_PER_HOUR = 10
WORKING = Hands(lever_on=1.0, outlet_open=1.0)
_DEMAND = "outlet.demand_fad_fraction"


@dataclass(frozen=True)
class Course:
    """What one solver did."""

    events: tuple[Event, ...]
    state: State | None
    steps: int
    evaluations: int


@dataclass(frozen=True)
class Workload:
    """A machine at work for a while, to be run by either solver."""

    rig: str
    title: str
    seconds: float
    demand: float  # drawn by the shop, over the machine's free air [-]
    p: Parameters
    start: engine.Snapshot

    def ours(self, tolerance: float) -> Course:
        """Run by the engine."""
        run = engine.advance(self.p, self.start, WORKING, self.seconds, tolerance=tolerance, recording=False)
        return Course(run.trace.events, run.end.state, run.work.steps, run.work.evaluations)

    def theirs(self, tolerance: float) -> Course:
        """Run by SciPy's LSODA, which is spared the running totals."""
        run = Peer(self.p, WORKING, totals=False).run(self.start, self.seconds, "LSODA", tolerance)
        return Course(run.events, None, run.steps, run.evaluations)

    def pressure(self, state: State) -> float:
        """Absolute pressure of the receiver. [Pa]"""
        return float(pressures(state, self.p)[0])


def cycles(rig: Rig, events: Sequence[Event]) -> int:
    """How many times the machine started, or an engine unloaded."""
    wanted = "unloader-open" if rig.has_engine else "contacts-closed"
    return sum(event.what == wanted for event in events)


def allowed(rig: Rig) -> int:
    """Starts an hour that the rig's plate allows; unloadings of an engine."""
    return UNLOADINGS_PER_HOUR if rig.has_engine else int(rig.fittings["max_starts_per_hour"])


def average(rig: Rig) -> Workload:
    """Ten minutes with the outlet open and the demand a rig usually meets."""
    return _workload(rig, "10 minutes of average use", TEN_MINUTES, float(healthy_values(rig)[_DEMAND]))


def as_often_as_allowed(rig: Rig) -> Workload:
    """An hour at the demand at which the rig starts as often as its plate allows.

    Below half of a machine's free air more demand means more starts, so the demand is found by halving.
    """
    wanted, low, high = allowed(rig), 0.0, 0.5
    for _ in range(24):
        demand = 0.5 * (low + high)
        work = _workload(rig, "", HOUR, demand)
        starts = cycles(rig, work.ours(engine.TOLERANCE).events)
        if starts == wanted:
            break
        low, high = (demand, high) if starts < wanted else (low, demand)
    said = "unloadings" if rig.has_engine else "starts"
    return _workload(rig, f"an hour with {starts} {said}", HOUR, demand)


def _workload(rig: Rig, title: str, seconds: float, demand: float) -> Workload:
    p = from_values(rig, healthy_values(rig) | {_DEMAND: demand})
    start = engine.at_rest(p, (rig.switch.cut_in + rig.switch.cut_out) / 2)
    return Workload(rig.slug, title, seconds, demand, p, start)
