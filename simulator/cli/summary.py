"""The figures of a run that a rig's reference block gives for a sound machine."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from simulator import units
from simulator.events import Event
from simulator.plot import Series
from simulator.session import Session

# When something counts as reached; common practice, no source.
EMPTY_PSI = 2.0  # a receiver below it is filled from empty, a head line below it has vented
UP_TO_SPEED = 0.95  # of rated speed
START_IS_OVER = 3.0  # after the motor is switched on [s]
SETTLED_AFTER = 900.0  # after a first fill from empty [s]

Figure = float | list[float | None] | None


@dataclass(frozen=True)
class Spell:
    """Once that the motor was live: from when to when, in seconds, and whether the switch ended it."""

    start: float
    end: float
    cut_out: bool


def summary(session: Session) -> dict[str, Figure]:
    """Figures of a run under the names of the rig's reference block.

    Parameters
    ----------
    session : Session
        After the run.

    Returns
    -------
    dict
        What the run was long enough to show, None where it was not. Names carry their unit.
    """
    figures = _Figures(session)
    return {
        "receiver_psig": [float(psi) for psi in session.rig.reference.get("receiver_psig", ())],
        "free_air_L_min": figures.against_pressure("free_air_delivered", 60_000.0),
        "shaft_kW": figures.against_pressure("shaft_power", 1e-3),
        "motor_A": figures.against_pressure("motor_current", 1.0),
        "unloaded_A": figures.unloaded_current(),
        "pump_up_s": figures.pump_up(),
        "recover_s": figures.recovery(),
        "vent_at_stop_s": figures.vent(),
        "start_time_unloaded_s": figures.start_time(),
        "settle_drop_psi": figures.settle_drop(),
        "starts": float(len(figures.spells)),
        "motor_on_s": sum(spell.end - spell.start for spell in figures.spells),
        "receiver_max_psi": figures.psi(float(np.max(figures.receiver))),
        "head_max_C": figures.hottest("head_temperature"),
        "line_pump_end_max_C": figures.hottest("head_line_temperature"),
        "line_tank_end_max_C": figures.hottest("line_temperature_at_receiver"),
        "winding_max_C": figures.hottest("winding_temperature"),
    }


class _Figures:
    """A recorded run, read the way a person with a stopwatch would."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.trace = session.trace
        self.time: Series = self.trace.time
        self.receiver: Series = self.trace.channel("receiver_gauge_pressure")
        self.current: Series = self.trace.channel("motor_current")
        self.spells = _spells(self.time, self.current, session.events)

    @staticmethod
    def psi(pascal: float) -> float:
        return units.convert(pascal, "Pa", "psi")

    def receiver_psi(self, time: float) -> float:
        return self.psi(float(self.trace.at("receiver_gauge_pressure", time)))

    @property
    def first_fill(self) -> Spell | None:
        """The first spell, if it began with an empty receiver and the switch ended it."""
        first = next(iter(self.spells), None)
        if first and first.cut_out and self.receiver_psi(first.start) < EMPTY_PSI:
            return first
        return None

    def pump_up(self) -> float | None:
        return self.first_fill.end - self.first_fill.start if self.first_fill else None

    def recovery(self) -> float | None:
        """Time from cut-in to cut-out, of the last one that is complete."""
        closings = {event.t for event in self.session.events if event.what == "contacts-closed"}
        whole = [
            spell
            for spell in self.spells
            if spell.cut_out and spell.start in closings and self.receiver_psi(spell.start) > EMPTY_PSI
        ]
        return whole[-1].end - whole[-1].start if whole else None

    def vent(self) -> float | None:
        """Time from cut-out until the head line is empty, the first time."""
        stop = next((spell.end for spell in self.spells if spell.cut_out), None)
        if stop is None:
            return None
        line = self.trace.channel("head_line_gauge_pressure")
        vented = (self.time >= stop) & (line < units.convert(EMPTY_PSI, "psi", "Pa"))
        return float(self.time[np.argmax(vented)]) - stop if vented.any() else None

    def start_time(self) -> float | None:
        """Time from switching on until the motor is up to speed, the first time."""
        if not self.spells:
            return None
        wanted = UP_TO_SPEED * self.session.rig.motor.rated_speed_rpm
        there = (self.time >= self.spells[0].start) & (self.trace.channel("motor_speed_rpm") >= wanted)
        return float(self.time[np.argmax(there)]) - self.spells[0].start if there.any() else None

    def settle_drop(self) -> float | None:
        """Pressure lost to cooling after the first fill, with nobody's hand on the machine and no air used."""
        fill = self.first_fill
        if fill is None or self.time[-1] < fill.end + SETTLED_AFTER or self.session.hands.outlet_open:
            return None
        touched = (event for event in self.session.events if event.what in {"deed", "contacts-closed"})
        if any(fill.end <= event.t <= fill.end + SETTLED_AFTER for event in touched):
            return None
        return self.receiver_psi(fill.end) - self.receiver_psi(fill.end + SETTLED_AFTER)

    def unloaded_current(self) -> float | None:
        """Least current of the motor once a start is over."""
        least = [self.current[self._after_start(spell)] for spell in self.spells]
        return min((float(np.min(amperes)) for amperes in least if amperes.size), default=None)

    def against_pressure(self, channel: str, scale: float) -> list[float | None]:
        """Value of a channel as the receiver passes each pressure of the reference block."""
        wanted = self.session.rig.reference.get("receiver_psig", ())
        return [self._at_pressure(channel, units.convert(float(psi), "psi", "Pa"), scale) for psi in wanted]

    def _at_pressure(self, channel: str, pressure: float, scale: float) -> float | None:
        values = self.trace.channel(channel)
        for spell in self.spells:
            inside = self._after_start(spell)
            receiver = self.receiver[inside]
            near = units.convert(EMPTY_PSI, "psi", "Pa")
            if receiver.size and receiver[0] - near <= pressure <= receiver[-1] + 1.0:
                return scale * float(np.interp(pressure, receiver, values[inside]))
        return None

    def _after_start(self, spell: Spell) -> NDArray[np.intp]:
        inside = (self.time >= spell.start + START_IS_OVER) & (self.time <= spell.end)
        return np.flatnonzero(inside & (self.current > 0.0))

    def hottest(self, channel: str) -> float:
        return units.convert(float(np.max(self.trace.channel(channel))), "K", "°C")


def _spells(time: Series, current: Series, events: list[Event]) -> list[Spell]:
    """Stretches in which the motor draws current."""
    live = np.concatenate([[0], (current > 0.0).astype(np.int8), [0]])
    starts, ends = np.flatnonzero(np.diff(live) == 1), np.flatnonzero(np.diff(live) == -1)
    openings = {event.t for event in events if event.what == "contacts-open"}
    return [
        Spell(float(time[start]), float(time[end - 1]), float(time[end - 1]) in openings)
        for start, end in zip(starts, ends, strict=True)
        if end - start > 1
    ]
