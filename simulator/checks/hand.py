"""How a hand works the machine during a check: starts it, waits, bleeds, and puts back what it moved."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from simulator.checks.catalogue import Check
from simulator.checks.senses import litres_per_minute
from simulator.checks.spread import PSI, Instruments
from simulator.checks.words import CannotTake, Reading
from simulator.engine import Snapshot
from simulator.hands import Hands, deeds_for
from simulator.instruments import Parameter
from simulator.rig import Rig
from simulator.session import Session

Started = Literal["pumping", "stalls", "dead-silent", "stays-off"]
Ended = Literal["cut-out", "trip", "limit", "vessel-plate"]

SLICE = 5.0  # a hand looks up this often [s]
START_WATCHED = 8.0  # a start that is not over by then has failed or crawls [s]
TRIP_WAITED = 60.0  # a protector on a stalled motor acts within this [s]
BLEED_LIMIT = 300.0  # the drain empties the receiver well within this [s]
RUN_LIMIT = 1200.0  # twenty minutes: nobody waits longer for cut-out [s]
STARTED_SPEED_SHARE = 0.5  # of the plate's pump speed: above it the pump is pumping [-]
ENGINE_WARMS = 7.0  # idling before it is loaded [s]
LOADS_WITHIN = 8.0  # from idle to full speed [s]
RESET_TRIES = 20  # a protector that will not hold for twenty minutes stays out
NO_CURRENT = 0.5  # a clamp shows nothing [A]
OVER_PLATE = 3.0 * PSI  # above the vessel plate: the hand goes to the lever [Pa]


@dataclass
class Job:
    """One check being taken: the session, the place, the instruments, what was read.

    Parameters
    ----------
    session : Session
        The machine being worked on.
    check : Check
        What is being done.
    place : str
        Where.
    instruments : Instruments
        With this check's errors.
    charge : float
        Least time it costs. [s]
    """

    session: Session
    check: Check
    place: str
    instruments: Instruments
    charge: float
    readings: list[Reading] = field(default_factory=list)
    _moment: tuple[Snapshot, Hands] | None = None
    _values: dict[str, float] = field(default_factory=dict)

    def note(self, name: str, title: str, value: float, quantity: str, note: str = "") -> float:
        """Write down a reading and give it back."""
        self.readings.append(Reading(name, title, value, quantity, note))
        return value

    def now(self, channel: str) -> float:
        """Value of a channel at this moment, before any instrument. [SI]"""
        moment = (self.session.snapshot, self.session.hands)
        if self._moment is None or moment[0] is not self._moment[0] or moment[1] is not self._moment[1]:
            self._moment, self._values = moment, self.session.now()
        return self._values[channel]

    def mean(self, channel: str, since: float, until: float | None = None) -> float:
        """Mean of a recorded channel over a time. [SI]"""
        end = self.session.clock if until is None else until
        times, values = self.session.channel(channel, since, end)
        if len(times) < 2 or times[-1] <= times[0]:
            return float(values[-1]) if len(values) else self.now(channel)
        return float(np.trapezoid(values, times) / (times[-1] - times[0]))

    def peak(self, channel: str, since: float, until: float | None = None) -> float:
        """Highest recorded value of a channel over a time. [SI]"""
        end = self.session.clock if until is None else until
        return float(np.max(self.session.channel(channel, since, end)[1]))

    def air_at(self, place: str, since: float, until: float | None = None) -> float:
        """Free air that escapes at a leak point, as a mean over a time. [L/min]"""
        channel = f"leak:{'lp-hose' if place == 'lp-outlet' else place}"
        return litres_per_minute(max(self.mean(channel, since, until), 0.0))

    def peak_air(self, place: str, since: float, until: float | None = None) -> float:
        """Most free air that escapes at a leak point over a time. [L/min]"""
        return litres_per_minute(max(self.peak(f"leak:{place}", since, until), 0.0))

    @property
    def physical(self) -> Mapping[str, Parameter]:
        """Physical parameters by name, for what is seen or measured at rest."""
        return self.session.values

    def seen(self, parameter: str) -> float:
        """One of them that is a number. [unit of its name]"""
        return float(self.physical[parameter])

    def in_cylinder(self, parameter: str, cylinder: str) -> Parameter:
        """One that each cylinder has of its own. [unit of its name]"""
        return self.physical[f"{parameter}@{cylinder}"]

    def from_sheet(self, key: str, gauge_pressure: float) -> float:
        """Figure of the rig's sheet at a receiver pressure. [unit of the key]"""
        sheet = self.session.rig.reference
        return float(np.interp(gauge_pressure / PSI, sheet["receiver_psig"], sheet[key]))

    def stopped_at(self, since: float) -> float | None:
        """Moment it ended pumping by itself: contacts opened, or a pilot unloaded the engine. [s]"""
        return self.happened("unloader-open" if piloted(self.session) else "contacts-open", since)

    def started_at(self, since: float) -> float | None:
        """Moment it was called on to pump: contacts closed, or a pilot loaded the engine. [s]"""
        return self.happened("unloader-shut" if piloted(self.session) else "contacts-closed", since)

    def happened(self, what: str, since: float) -> float | None:
        """Moment of the first event of a kind since a time. [s]"""
        for event in self.session.events:
            if event.what == what and event.t >= since:
                return event.t
        return None


def piloted(session: Session) -> bool:
    """Whether a pilot valve governs the machine: its engine idles unloaded instead of stopping."""
    return session.rig.control == "pilot-valve"


def need_power(session: Session) -> None:
    """Refuse a check that runs the machine while it is isolated or locked.

    Raises
    ------
    CannotTake
        Saying what to do first.
    """
    if session.hands.isolated or session.hands.locked:
        raise CannotTake(
            "The machine is isolated, so it cannot run. Make sure everybody is clear, take the lock off, "
            "restore the power and take this check again."
        )
    if session.hands.element_out:
        raise CannotTake("The filter element is out. Put it back in before the machine is run for a check.")


def reset_protector(session: Session) -> bool:
    """Press the protector's button, again each minute while the motor is too hot for it to hold.

    One without a button closes by itself when it has cooled: all there is to do is wait.

    Returns
    -------
    bool
        Whether it held.
    """
    for _ in range(RESET_TRIES):
        if "reset-protector" in deeds_for(session.rig):
            session.operate("reset-protector")
        if not session.protector_tripped:
            return True
        session.run(60.0)
    return False


def called_for(job: Job) -> bool:
    """Say whether the control calls for air: the switch has snapped shut, or the pilot has let the engine load.

    Anyone can hear either, and see the first by the spring of the lever.
    """
    if piloted(job.session):
        return job.session.running and job.now("unloader_open") < 0.5
    return job.now("contacts_closed") > 0.5


def is_pumping(job: Job) -> bool:
    """Say whether the pump turns at more than half its plate's speed, and an engine's not idling."""
    turns = job.now("pump_speed_rpm") > STARTED_SPEED_SHARE * job.session.rig.pump.speed_rpm
    return turns and (not piloted(job.session) or job.now("unloader_open") < 0.5)


def get_pumping(job: Job, *, fresh: bool = False) -> Started:
    """Get the machine pumping as a hand would.

    Presses the protector's button once, puts the lever to AUTO, and bleeds the receiver through the drain
    until the switch closes. An engine is started unloaded by its toggle, which is then put back to RUN.

    Parameters
    ----------
    job : Job
        The check being taken.
    fresh : bool
        Stop it first, so that a whole start is seen.

    Returns
    -------
    str
        "pumping", "stalls" (hums and trips), "dead-silent" (closed, no current), "stays-off".
    """
    session = job.session
    if fresh and called_for(job):
        stop_by_lever(job)
    if piloted(session):
        return _start_engine(job)
    if session.protector_tripped and not reset_protector(session):
        return "dead-silent"
    if not session.hands.lever_on:
        session.operate("start")
    session.run(0.5)
    if not called_for(job):
        bleed_until_called(job)
    if not called_for(job):
        return "stays-off"
    return watch_start(job)


def _start_engine(job: Job) -> Started:
    """Start an engine with its toggle at START, then let the pilot load it."""
    session = job.session
    if not session.running:
        if session.hands.lever_on:
            session.operate("stop")
        session.operate("toggle-start")
        session.operate("start")
        session.run(START_WATCHED + ENGINE_WARMS)
    began = session.clock
    if not session.running:  # a starter that could not turn it over was let go
        return "stalls" if session.protector_tripped else "dead-silent"
    if session.hands.toggle_unloaded:
        session.operate("toggle-run")
    session.run(1.0)
    if not called_for(job):
        bleed_until_called(job)
    if not called_for(job):
        return "stays-off" if session.running else "stalls"
    session.run(LOADS_WITHIN)
    return "pumping" if is_pumping(job) or job.stopped_at(began) is not None else "stalls"


def watch_start(job: Job) -> Started:
    """Watch a start with the contacts closed until it pumps, trips or proves dead."""
    session = job.session
    began = session.clock
    session.run(START_WATCHED)
    if is_pumping(job):
        return "pumping"
    if job.peak("motor_current", began) < NO_CURRENT:
        return "dead-silent"
    while session.clock < began + TRIP_WAITED and not session.protector_tripped and not is_pumping(job):
        session.run(SLICE)
    return "pumping" if is_pumping(job) else "stalls"


def stop_by_lever(job: Job) -> bool:
    """Put the lever to OFF, or the engine's switch, and wait for the flywheel; says whether that stopped it."""
    if job.session.hands.lever_on:
        job.session.operate("stop")
    return not job.session.running or job.session.run_until("stopped", 30.0)


def bleed_until_called(job: Job) -> None:
    """Bleed the receiver through the drain until the control calls for air or nothing is left."""
    with_drain = job.session.hands.drain_open
    if not with_drain:
        job.session.operate("open-drain")
    job.session.run_until("loaded" if piloted(job.session) else "contacts-close", BLEED_LIMIT)
    job.session.operate("shut-drain")


def bleed_to(job: Job, gauge_pressure: float) -> None:
    """Bleed the receiver through the drain down to a pressure."""
    if job.now("receiver_gauge_pressure") <= gauge_pressure:
        return
    job.session.operate("open-drain")
    job.session.run_until("receiver-below", BLEED_LIMIT, gauge_pressure)
    job.session.operate("shut-drain")


def restore(job: Job) -> None:
    """Give power back after work at zero: valves shut, lock off, isolator in."""
    session = job.session
    if session.hands.head_vent_open:
        session.operate("shut-head-vent")
    shut_outlet(job)
    if session.hands.locked:
        session.operate("unlock")
    if session.hands.isolated:
        session.operate("restore")


def shut_outlet(job: Job) -> None:
    """Shut the outlet valve and the drain, if they stand open."""
    if job.session.hands.outlet_open:
        job.session.operate("shut-outlet")
    if job.session.hands.drain_open:
        job.session.operate("shut-drain")


@contextmanager
def no_tool_in_use(session: Session) -> Iterator[None]:
    """Have the shop lay its tools down for a while: an open outlet then feeds hoses and their leaks alone."""
    at_work = session.parameters
    session.parameters = at_work._replace(outlet=at_work.outlet._replace(demand_area=0.0))
    try:
        yield
    finally:
        session.parameters = at_work


def put_back_outlet(job: Job, was_open: bool) -> None:
    """Leave the outlet valve as it was found."""
    if job.session.hands.outlet_open != was_open:
        job.session.operate("open-outlet" if was_open else "shut-outlet")


def wait_for_stop(job: Job, limit: float = RUN_LIMIT) -> Ended:
    """Let a pumping machine go on until it ends pumping by itself, hand on the lever.

    Parameters
    ----------
    job : Job
        The check being taken.
    limit : float
        Longest wait. [s]

    Returns
    -------
    str
        "cut-out", "trip" (an engine that stalls as well), "limit", or "vessel-plate" when the receiver passed its
        plate's figure.
    """
    session = job.session
    began = session.clock
    ceiling = session.rig.receiver.maximum_pressure + OVER_PLATE
    watched = "unloaded" if piloted(session) else "contacts"
    while session.clock < began + limit:
        if any(job.happened(what, began) is not None for what in ("protector-tripped", "engine-stalled")):
            return "trip"
        if not called_for(job) and job.now("motor_current") < NO_CURRENT:
            return "cut-out"  # a lever that has snapped stops nothing while the motor still hums
        if job.now("receiver_gauge_pressure") > ceiling:
            return "vessel-plate"
        session.run_until(watched, min(2.0 * SLICE, max(began + limit - session.clock, 0.01)))
    return "limit"


def let_it_stop(job: Job) -> float:
    """Let it run to its stop, or stop it by the lever if it never comes; gives the moment of the stop. [s]"""
    began = job.session.clock
    if wait_for_stop(job) == "cut-out":
        return job.stopped_at(began) or job.session.clock
    moved = job.session.clock
    stop_by_lever(job)
    return moved


def wait_for_pressure(job: Job, gauge_pressure: float, limit: float = RUN_LIMIT) -> bool:
    """Let a pumping machine go on until the receiver is above a pressure; False if it stops before."""
    session = job.session
    began = session.clock
    while session.clock < began + limit and is_pumping(job):
        if session.run_until("receiver-above", 2.0 * SLICE, gauge_pressure):
            return True
    return job.now("receiver_gauge_pressure") >= gauge_pressure


def known_good(rig: Rig, check: Check) -> Job:
    """Give the same rig as it was when it was known good, to take a sheet's figure in the same way.

    Parameters
    ----------
    rig : Rig
        The rig.
    check : Check
        What is being done.

    Returns
    -------
    Job
        A healthy machine, rested.
    """
    session = Session(rig, {}, (), 0)
    return Job(session, check, "", Instruments(session.rng("sheet")), charge=0.0)
