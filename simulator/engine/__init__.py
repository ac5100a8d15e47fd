"""The engine: integrate a machine, find events inside the step, apply them in order, record, resume."""

import math
from dataclasses import dataclass, field

import numpy as np

from simulator import ENGINE_VERSION
from simulator.air import GAS_CONSTANT
from simulator.components.receiver import WATER_DENSITY, vapour_ratio
from simulator.components.unloader import PILOT
from simulator.engine.method import Task, right_hand_side
from simulator.engine.record import record
from simulator.engine.run import CHANNEL_COUNT, EVENTS, SAMPLES, TAKEN, Logbook, integrate
from simulator.events import NAMES, Event, Happening, Watch
from simulator.machine import Parameters
from simulator.state import Hands, Modes, State
from simulator.trace import Trace, joined

__all__ = [
    "ENGINE_VERSION",
    "EngineFailed",
    "Segment",
    "Snapshot",
    "Work",
    "advance",
    "at_rest",
    "right_hand_side",
    "warm",
]

TOLERANCE = 2e-4
_BUFFER = 4000


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
    gas = GAS_CONSTANT * t
    vessel = p.receiver
    charge = (receiver_gauge_pressure + room) * (vessel.volume - vessel.standing_water / WATER_DENSITY) / gas
    vapour = charge * min(p.intake.humidity_ratio, vapour_ratio(vessel.volume, charge, t))
    state = State(**dict.fromkeys(State._fields, 0.0))._replace(
        receiver_mass=charge,
        receiver_temperature=t,
        receiver_water=vessel.standing_water + vapour,
        head_line_mass=room * p.head_line.volume / gas,
        head_line_temperature=t,
        shop_line_mass=room * p.outlet.line_volume / gas,
        interstage_mass=room * p.pump.interstage_volume / (GAS_CONSTANT * p.pump.interstage_temperature),
        head_temperature_1=t,
        head_temperature_2=t,
        head_temperature_3=t,
        head_temperature_4=t,
        winding_temperature=t,
        protector_temperature=t,
        sensed_pressure=receiver_gauge_pressure,
    )
    modes = Modes(**dict.fromkeys(Modes._fields, 0.0))._replace(
        # At rest the start switch is closed, unless it is stuck open; a pilot at rest is loaded.
        start_switch_closed=float(p.motor.start_switch_stuck >= 0.0),
        unloader_shut=float(p.unloader.kind == PILOT),
    )
    return Snapshot(0.0, state, modes)


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
    task = Task(
        record(p),
        hands,
        float(until),
        int(watch),
        float(value),
        float(tolerance),
        recording,
        p.receiver.over_pressure,
    )
    t, h, why = start.time, start.step, 2
    pieces: list[Trace] = []
    work = Work()
    while why == 2:
        log = _blank_logbook(recording)
        t, h, why = integrate(y, m, t, h, task, log)
        pieces.append(_read(log))
        work += Work(*(int(n) for n in log.tally[TAKEN:]))
    if why == 3:
        raise EngineFailed(f"The engine cannot follow the machine beyond {t:.3f} s.")
    end = Snapshot(
        float(until if why == 0 else t),
        State(*(float(x) for x in y)),
        Modes(*(float(x) for x in m)),
        float(h),
    )
    return Segment(end, joined(pieces), why == 1, work)


def _blank_logbook(recording: bool) -> Logbook:
    size = _BUFFER if recording else 32
    return Logbook(
        np.empty(size),
        np.empty((size, CHANNEL_COUNT)),
        np.empty(400),
        np.empty(400, np.int64),
        np.zeros(5, np.int64),
    )


def _read(log: Logbook) -> Trace:
    samples, events = int(log.tally[SAMPLES]), int(log.tally[EVENTS])
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
    advance(p, at_rest(p, 0.0), Hands(lever_on=1.0), 0.01)
