"""A rig being worked on: hands on levers and valves, a clock, and everything that was recorded.

Deterministic: the same rig, faults, seed and deeds give the same session to the digit.
"""

import hashlib
import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace

import numpy as np

from simulator import engine
from simulator.adjustable import Values, fault_values
from simulator.channels import observe
from simulator.components.spec import nearest
from simulator.engine.record import record
from simulator.events import Event, Watch
from simulator.faults import Fault, Injected
from simulator.hands import MOVES, Hands, UnknownDeed, deeds_for
from simulator.machine import Parameters, from_values
from simulator.rig import Rig
from simulator.state import Modes
from simulator.trace import CHANNELS, Trace, joined

# Below these nobody would call it charged, or turning.
ZERO_PRESSURE = 1_000.0  # gauge [Pa]
TURNING_RPM = 5.0
LOOK_AHEAD_AFTER_EVENT = 20.0  # [s]

_WATCHES = {
    "cut-in": Watch.CONTACTS_CLOSE,
    "cut-out": Watch.CONTACTS_OPEN,
    "contacts-close": Watch.CONTACTS_CLOSE,
    "contacts-open": Watch.CONTACTS_OPEN,
    "contacts": Watch.CONTACTS,
    "trip": Watch.TRIP,
    "receiver-above": Watch.RECEIVER_ABOVE,
    "receiver-below": Watch.RECEIVER_BELOW,
    "stopped": Watch.STOPPED,
    "unloaded": Watch.UNLOADED,
    "loaded": Watch.LOADED,
}


class Session:
    """A rig being worked on.

    Parameters
    ----------
    rig : Rig
        The rig.
    faults : mapping of str to Fault
        The catalogue.
    injected : sequence of Injected
        Faults put in; none for a healthy machine.
    seed : int
        Of the instruments' spread.
    receiver_gauge_pressure : float, optional
        At the start; midway between cut-in and cut-out if left out. [Pa]

    Examples
    --------
    >>> from simulator.faults import load_faults
    >>> from simulator.rig import load_rigs
    >>> session = Session(load_rigs()["twin-60"], load_faults(), [], seed=1)
    >>> session.operate("start")
    >>> session.running  # the receiver is above cut-in: the switch waits
    False
    """

    def __init__(
        self,
        rig: Rig,
        faults: Mapping[str, Fault],
        injected: Sequence[Injected],
        seed: int,
        *,
        receiver_gauge_pressure: float | None = None,
    ) -> None:
        self.rig, self.faults, self.seed = rig, faults, seed
        self.injected = tuple(injected)
        self.values: Values = fault_values(rig, faults, self.injected)
        self.parameters: Parameters = from_values(rig, self.values)
        if receiver_gauge_pressure is None:
            receiver_gauge_pressure = (rig.switch.cut_in + rig.switch.cut_out) / 2
        self._snapshot = engine.at_rest(self.parameters, receiver_gauge_pressure)
        self.hands = Hands()
        self._pieces: list[Trace] = []
        self.events: list[Event] = []
        self.work = engine.Work()

    # -- where it stands ---------------------------------------------------------------------------------

    @property
    def clock(self) -> float:
        """Rig's clock. [s]"""
        return self._snapshot.time

    @property
    def snapshot(self) -> engine.Snapshot:
        """The machine at this instant."""
        return self._snapshot

    def now(self) -> dict[str, float]:
        """True value of every channel at the clock; for instruments, never for a page."""
        values = observe(
            self._snapshot.state, self._snapshot.modes, self.hands.positions(), record(self.parameters)
        )
        return dict(zip(CHANNELS, (float(v) for v in values), strict=True))

    @property
    def running(self) -> bool:
        """Whether the flywheel turns."""
        return self.now()["pump_speed_rpm"] > TURNING_RPM

    @property
    def protector_tripped(self) -> bool:
        """Whether the motor's protector has opened and waits for its button."""
        return self._snapshot.modes.protector_tripped > 0.5

    @property
    def safe_state(self) -> str:
        """S0, S2 (isolated and locked) or S3 (also at zero, drain open), from the machine itself."""
        if not (self.hands.isolated and self.hands.locked) or self.running:
            return "S0"
        now = self.now()
        at_zero = (
            now["receiver_gauge_pressure"] < ZERO_PRESSURE and now["head_line_gauge_pressure"] < ZERO_PRESSURE
        )
        return "S3" if at_zero and self.hands.drain_open else "S2"

    # -- hands -------------------------------------------------------------------------------------------

    def operate(self, deed: str) -> None:
        """Do one deed, at once.

        Parameters
        ----------
        deed : str
            One of `deeds_for` the rig.

        Raises
        ------
        UnknownDeed
            Naming the nearest deed.
        """
        known = deeds_for(self.rig)
        if deed not in known:
            raise UnknownDeed(f"No deed of {self.rig.slug} is called '{deed}'.{nearest(deed, set(known))}")
        modes = self._snapshot.modes
        if deed in MOVES:
            self.hands = replace(self.hands, **MOVES[deed])
        elif deed == "roll-leads":
            self.hands = replace(self.hands, leads_rolled=(self.hands.leads_rolled + 1) % 3)
        if deed == "stop":
            modes = modes._replace(contacts_closed=0.0)
        elif deed == "start" and self.rig.has_engine:
            modes = modes._replace(protector_tripped=0.0)  # the key is turned afresh
        elif deed == "reset-protector":
            modes = self._reset(modes)
        self._snapshot = replace(self._snapshot, modes=modes, step=min(self._snapshot.step, 1e-3))
        self.events.append(Event(self.clock, "deed", deed))

    def _reset(self, modes: Modes) -> Modes:
        """Press the button; it holds only when the disc has cooled below its trip temperature."""
        motor = self.parameters.motor
        cool = motor.protector_trip - 0.1 * (
            motor.protector_trip - self.parameters.intake.ambient_temperature
        )
        if self._snapshot.state.protector_temperature < cool:
            return modes._replace(protector_tripped=0.0)
        return modes

    def run(self, seconds: float) -> None:
        """Let the machine go on.

        Parameters
        ----------
        seconds : float
            [s]

        Raises
        ------
        ValueError
            For a time that is not finite or below nought.
        """
        if not (math.isfinite(seconds) and seconds >= 0.0):
            raise ValueError(f"cannot let the machine run for {seconds} s")
        self._advance(self.clock + seconds)

    def run_until(self, reached: str, limit: float, value: float = math.nan) -> bool:
        """Let the machine go on until something is reached, at most for a while.

        Parameters
        ----------
        reached : str
            "cut-in", "cut-out", "contacts-close", "contacts-open", "contacts", "trip", "receiver-above",
            "receiver-below", "stopped", "unloaded" or "loaded".
        limit : float
            [s]
        value : float, optional
            Gauge pressure for the receiver watches. [Pa]

        Returns
        -------
        bool
            Whether it was reached.

        Raises
        ------
        ValueError
            For something that cannot be waited for.
        """
        if reached not in _WATCHES:
            raise ValueError(f"cannot wait for '{reached}'.{nearest(reached, set(_WATCHES))}")
        return self._advance(self.clock + limit, _WATCHES[reached], value)

    def _advance(self, until: float, watch: Watch = Watch.NOTHING, value: float = math.nan) -> bool:
        segment = engine.advance(self.parameters, self._snapshot, self.hands.positions(), until, watch, value)
        self._snapshot = segment.end
        self._pieces.append(segment.trace)
        self.events.extend(segment.trace.events)
        self.work += segment.work
        return segment.reached

    def repaired(self, cured: Collection[str]) -> None:
        """Take faults out of the machine after the work is done; it stands as it stood.

        Parameters
        ----------
        cured : collection of str
            Slugs of the faults that the work has removed.
        """
        self.injected = tuple(one for one in self.injected if one.fault not in cured)
        self.values = fault_values(self.rig, self.faults, self.injected)
        self.parameters = from_values(self.rig, self.values)
        self.events.append(Event(self.clock, "deed", "repaired"))

    def failed(self, faults: Mapping[str, Fault], injected: Sequence[Injected]) -> None:
        """Put faults into a machine that stands still; whatever came over it came while it stood.

        Parameters
        ----------
        faults : mapping of str to Fault
            The catalogue.
        injected : sequence of Injected
            Faults put in, instead of those that were in it.
        """
        self.faults, self.injected = faults, tuple(injected)
        self.values = fault_values(self.rig, faults, self.injected)
        self.parameters = from_values(self.rig, self.values)
        # A start switch that sticks open sticks at rest, where it would have closed.
        stuck = engine.at_rest(self.parameters, 0.0).modes.start_switch_closed
        modes = self._snapshot.modes._replace(start_switch_closed=stuck)
        self._snapshot = replace(self._snapshot, modes=modes)

    @contextmanager
    def fed_directly(self) -> Iterator[None]:
        """Feed the machine straight from a good outlet of its own for a while, without its cord."""
        as_fed = self.parameters
        self.parameters = as_fed._replace(supply=as_fed.supply._replace(cord_resistance=0.0))
        try:
            yield
        finally:
            self.parameters = as_fed

    # -- records -----------------------------------------------------------------------------------------

    @property
    def trace(self) -> Trace:
        """Everything recorded so far."""
        if not self._pieces:
            values = np.array([list(self.now().values())])
            return Trace(np.array([self.clock]), values, tuple(self.events))
        if len(self._pieces) > 1:
            self._pieces = [joined(self._pieces)]
        return replace(self._pieces[0], events=tuple(self.events))

    def channel(
        self, name: str, t0: float | None = None, t1: float | None = None
    ) -> tuple[np.ndarray, np.ndarray]:
        """Record of one channel.

        Parameters
        ----------
        name : str
            One of `simulator.trace.CHANNELS`.
        t0, t1 : float, optional
            Stretch of the rig's clock; everything if left out. [s]

        Returns
        -------
        tuple of numpy.ndarray
            Times and values, each of shape (samples,).
        """
        trace = self.trace
        low = 0 if t0 is None else int(np.searchsorted(trace.time, t0, "left"))
        high = trace.time.size if t1 is None else int(np.searchsorted(trace.time, t1, "right"))
        return trace.time[low:high], trace.channel(name)[low:high]

    def copy(self) -> "Session":
        """Make an independent continuation from here."""
        twin = object.__new__(Session)
        twin.__dict__.update(self.__dict__)
        twin._pieces, twin.events = list(self._pieces), list(self.events)
        return twin

    def ahead(self, limit: float) -> Trace:
        """Look at what will be recorded if nobody touches the machine; the clock stays.

        Parameters
        ----------
        limit : float
            Longest look ahead; it ends 20 s after the first change of the contacts. [s]

        Returns
        -------
        Trace
            From the clock on.
        """
        other = self.copy()
        other._pieces, other.events = [], []  # noqa: SLF001  its own class
        end = other.clock + limit
        if other._advance(end, Watch.CONTACTS):  # noqa: SLF001
            other._advance(min(end, other.clock + LOOK_AHEAD_AFTER_EVENT))  # noqa: SLF001
        return other.trace

    def rng(self, key: str) -> np.random.Generator:
        """Random numbers for one reading, the same for the same seed and key.

        Parameters
        ----------
        key : str
            Says which reading.

        Returns
        -------
        numpy.random.Generator
            Fresh.
        """
        digest = hashlib.sha256(f"{self.seed}:{key}".encode()).digest()
        return np.random.default_rng(int.from_bytes(digest[:8], "big"))
