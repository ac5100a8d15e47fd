"""Checks of an engine-driven machine: its speeds, and its pilot valve against its unloader."""

from typing import Literal

import numpy as np

from simulator.checks import senses
from simulator.checks.hand import (
    Job,
    get_pumping,
    need_power,
    shut_outlet,
    stop_by_lever,
)
from simulator.checks.spread import PSI
from simulator.components.petrol_engine import EngineSpec

# Limits of a judgement; common practice, no source.
OFF_SPEED = 0.06  # of a governed engine [-]
IDLE_SETTLES = 12.0  # after unloading, until the idle speed is read [s]
BEFORE_UNLOADING = 2.0  # the speed under load is read over the last of it [s]
OFF_THE_SHEET = 8.0 * PSI  # of unloading or reloading [Pa]
CLIMB_LIMIT = 600.0  # a small receiver is full in a few minutes [s]
SEEN_UNLOADED = 3.0  # after the pilot has spoken, until the strip is judged [s]
RELOAD_LIMIT = 300.0  # the drain brings the receiver under the reload pressure well within this [s]

UNDER_THE_RELIEF = 3.0 * PSI  # where a hand stops an engine that does not unload [Pa]
LOOKED_UP = 5.0  # from the gauge to the engine and back [s]

Climbed = Literal["unloads", "passes", "no-rise", "stalls"]
_CLIMBING_SPEED = {"passes": "stays-loaded", "no-rise": "full-speed-no-rise", "stalls": "labours-and-stalls"}
_CLIMBING_PILOT = {"passes": "never-signals", "no-rise": "never-gets-there", "stalls": "does-not-run"}
_NOT_RUNNING = {"stalls": "does-not-run", "dead-silent": "does-not-run"}


def engine_speed(job: Job) -> str:
    """Read the engine's speed under load, at idle when it has unloaded, and see that it takes up load again."""
    need_power(job.session)
    engine = _engine(job)
    shut_outlet(job)
    began = job.session.clock
    started = get_pumping(job)
    if started in _NOT_RUNNING:
        return _NOT_RUNNING[started]
    ended: Climbed = _climb(job, began) if started == "pumping" else "unloads"
    unloaded = job.stopped_at(began) or job.session.clock
    if ended != "unloads":
        stopped = job.session.clock
        stop_by_lever(job)
        if ended != "stalls":
            _note_speed(job, "loaded", "Loaded", stopped - BEFORE_UNLOADING, stopped)
        return _CLIMBING_SPEED[ended]
    job.session.run(IDLE_SETTLES)
    idle = _note_speed(job, "idle", "Unloaded", job.session.clock - BEFORE_UNLOADING, job.session.clock)
    if started == "stays-off" or _reloads(job) is None:
        return "stays-idling"
    speed = _note_speed(job, "loaded", "Loaded", unloaded - BEFORE_UNLOADING, unloaded)
    if speed < (1.0 - OFF_SPEED) * engine.rated_speed_rpm:
        return "loaded-slow"
    return "idles-fast" if idle > (1.0 + OFF_SPEED) * engine.idle_speed_rpm else "both-right"


def _climb(job: Job, began: float) -> Climbed:
    """Watch a loaded engine until the pilot unloads it, eye on the gauge: nobody lets the relief do the stopping."""
    session = job.session
    just_under = session.rig.relief.set_pressure - UNDER_THE_RELIEF
    until = session.clock + CLIMB_LIMIT
    while job.stopped_at(began) is None:
        if job.happened("engine-stalled", began) is not None:
            return "stalls"
        if job.now("receiver_gauge_pressure") > just_under:
            return "passes"
        if session.clock >= until:
            past = session.rig.switch.cut_out + OFF_THE_SHEET
            return "passes" if job.peak("receiver_gauge_pressure", began) > past else "no-rise"
        session.run_until("unloaded", LOOKED_UP)
    return "unloads"


def _note_speed(job: Job, name: str, title: str, since: float, until: float) -> float:
    shown = job.instruments.tachometer(job.mean("motor_speed_rpm", since, until))
    return job.note(name, title, shown, "speed_rpm")


def _engine(job: Job) -> EngineSpec:
    engine = job.session.rig.motor
    if not isinstance(engine, EngineSpec):
        raise TypeError(f"{job.session.rig.slug} has no engine")
    return engine


def pilot_vent(job: Job) -> str:
    """Hold strips to the dump port and the pilot's vent while it unloads at the top and reloads at the bottom."""
    need_power(job.session)
    session = job.session
    shut_outlet(job)
    began = session.clock
    started = get_pumping(job)
    if started in _NOT_RUNNING:
        return _NOT_RUNNING[started]
    if started == "stays-off":
        return "never-reloads"
    ended = _climb(job, began)
    if ended != "unloads":
        stop_by_lever(job)
        return _CLIMBING_PILOT[ended]
    top = _note_pressure(job, "unloads", "Unloads at", job.stopped_at(began) or session.clock)
    session.run(SEEN_UNLOADED)
    dumped = job.air_at("lp-dump-port", session.clock - SEEN_UNLOADED) > senses.PAPER_STIRS
    low = _reloads(job)
    if not dumped:
        return "signals-without-dump"
    return "never-reloads" if low is None else _settings(job, top, low)


def _reloads(job: Job) -> float | None:
    """Bleed the receiver until it loads again; the pressure it loads at, or nothing. [Pa]"""
    session = job.session
    began = session.clock
    session.operate("open-drain")
    reloaded = session.run_until("loaded", RELOAD_LIMIT)
    session.operate("shut-drain")
    if not reloaded:
        return None
    return _note_pressure(job, "reloads", "Reloads at", job.started_at(began) or session.clock)


def _note_pressure(job: Job, name: str, title: str, at: float) -> float:
    times, values = job.session.channel("receiver_gauge_pressure", at - 2.0, at + 2.0)
    shown = job.instruments.reference(float(np.interp(at, times, values)), moving=True)
    return job.note(name, title, shown, "gauge_pressure")


def _settings(job: Job, top: float, low: float) -> str:
    """Name where it unloads and reloads against the sheet."""
    switch = job.session.rig.switch
    if top > switch.cut_out + OFF_THE_SHEET:
        return "unloads-late"
    if top < switch.cut_out - OFF_THE_SHEET:
        return "unloads-early"
    return "close-band" if low > switch.cut_in + OFF_THE_SHEET else "speaks-and-obeys"
