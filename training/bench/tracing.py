"""Strip-chart samples for the page: only of instruments in view, and as their dials show them.

The bench's machines carry fixed instruments: gauges on receiver, head line and outlet, on some between the stages and
on the oil; an ammeter and a voltmeter on an electric motor's line; thermometers on head and line. Each has its own error, the same for the whole attempt, and
the flywheel is given as coarsely as an eye can judge it: a check with a proven instrument tells more.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from simulator.engine import EngineFailed
from simulator.fitted import has
from simulator.instruments import receiver_gauge
from simulator.units import number

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from simulator.events import Event
    from simulator.rig import Rig
    from simulator.session import Session
    from training.bench.job import Job

BUCKETS = 160  # of the chart's width; each keeps its lowest and highest sample of every line
DIAL_SHARE = 0.02  # of span; common practice, no source
DIAL_SPAN = 200.0 * 6894.757293168361  # [Pa]
EYE_RPM = 250.0  # an eye tells no finer steps of a turning flywheel [rpm]
IN_VIEW = {
    "tank": "receiver_gauge_pressure",
    "line": "head_line_gauge_pressure",
    "reg": "regulated_gauge_pressure",
    "amps": "motor_current",
    "volts": "motor_terminal_voltage",
    "rpm": "pump_speed_rpm",
    "head_f": "head_temperature",
    "line_f": "line_temperature_at_receiver",
    "inter": "interstage_gauge_pressure",
    "oil": "oil_gauge_pressure",
}
FITTED = {"amps": "electric", "volts": "electric", "inter": "interstage-gauge", "oil": "oil-pressure-gauge"}
METER_SHARE = {"amps": 0.02, "volts": 0.01}  # of the reading; common practice, no source
THERMOMETER = 3.0  # common practice, no source [K]
SAID = {
    "contacts-closed": "Contacts closed",
    "contacts-open": "Contacts opened",
    "protector-tripped": "The protector's button popped out",
    "protector-reset": "The protector was reset",
    "relief-popped": "The relief valve blew",
    "relief-reseated": "The relief valve shut",
    "interstage-relief-popped": "The interstage relief valve blew",
    "interstage-relief-reseated": "The interstage relief valve shut",
    "head-relief-popped": "The head line's relief valve blew",
    "head-relief-reseated": "The head line's relief valve shut",
    "engine-fired": "The engine fired",
    "engine-stalled": "The engine stopped",
    "winding-burnt": "Smoke and a smell of burning came from the motor",
}
# An engine's pilot valve is heard at its dump port; other unloaders are checked by ear, not told.
SAID_OF_ENGINES = {"unloader-open": "It unloaded and idles", "unloader-shut": "It loaded again"}
QUANTITY = {
    "tank": "gauge_pressure",
    "line": "gauge_pressure",
    "reg": "gauge_pressure",
    "inter": "gauge_pressure",
    "oil": "gauge_pressure",
    "head_f": "temperature",
    "line_f": "temperature",
}
# Which error is drawn for which dial; the receiver's is the one that checks read off it.
_ERROR_OF = {line: "fitted-gauge" if line == "tank" else f"fixed-{line}" for line in IN_VIEW}
DIGITS = {"amps": 1, "volts": 0, "rpm": 0}


def in_view(rig: Rig) -> dict[str, str]:
    """Return the channels that a rig's fixed instruments show, by the page's names for them."""
    return {
        line: channel for line, channel in IN_VIEW.items() if line not in FITTED or has(rig, FITTED[line])
    }


def ahead(job: Job, limit: float) -> dict[str, Any]:
    """Return what the instruments in view will show from now on if nobody touches the machine."""
    try:
        trace = job.session.ahead(limit)
    except EngineFailed:  # nothing is granted; the deed that meets the same end is refused with its reason
        trace = job.session.ahead(0.0)
    return _json(job, trace.time, trace.channel, trace.events)


def history(job: Job) -> dict[str, Any]:
    """Return what the instruments in view have shown so far."""
    session = job.session
    time, _ = session.channel("receiver_gauge_pressure")
    return _json(job, time, lambda name: session.channel(name)[1], session.events)


def _json(
    job: Job, time: np.ndarray, read: Callable[[str], np.ndarray], events: Iterable[Event]
) -> dict[str, Any]:
    read_off = {line: read(channel) for line, channel in in_view(job.session.rig).items()}
    said = SAID | SAID_OF_ENGINES if job.session.rig.has_engine else SAID
    read_off["tank"] = _on_the_receiver(job.session, time, read_off["tank"])
    shown = {line: _as_shown(job.session, line, values) for line, values in read_off.items()}
    kept = _thinned(time, list(shown.values()))
    return {
        "v": 1,
        "from": round(float(time[0]), 3),
        "to": round(float(time[-1]), 3),
        "t": [round(float(value), 2) for value in time[kept]],
        "ch": {line: _rounded(values[kept], DIGITS.get(line, 1)) for line, values in shown.items()},
        "events": [
            {"t": round(event.t, 2), "say": said[event.what]}
            for event in events
            if event.what in said and time[0] <= event.t <= time[-1]
        ],
    }


def _on_the_receiver(session: Session, time: np.ndarray, pressures: np.ndarray) -> np.ndarray:
    """Return what the receiver's own gauge shows, with what is wrong with it: its needle goes on from where it was."""
    times, recorded = session.channel(IN_VIEW["tank"])
    before = times < time[0]
    all_times = np.concatenate([times[before], time])
    all_pressures = np.concatenate([recorded[before], pressures])
    shown = receiver_gauge(session.values, all_times, all_pressures, stuck_at=float(recorded[0]))
    return shown[np.count_nonzero(before) :]


def _as_shown(session: Session, line: str, values: np.ndarray) -> np.ndarray:
    """Return a channel as its dial shows it, in the chart's unit."""
    if line == "rpm":
        return np.asarray(np.round(values / EYE_RPM) * EYE_RPM)
    draw = float(np.clip(session.rng(_ERROR_OF[line]).normal(0.0, 0.5), -1.0, 1.0))
    if line in METER_SHARE:
        return np.asarray(values * (1.0 + draw * METER_SHARE[line]))
    quantity = QUANTITY[line]
    if quantity == "temperature":
        values = values + draw * THERMOMETER
    else:  # a needle on its stop stays there
        values = np.where(values > 0, np.maximum(values + draw * DIAL_SHARE * DIAL_SPAN, 0.0), 0.0)
    zero, one = number(0.0, quantity, "us"), number(1.0, quantity, "us")
    return zero + (one - zero) * values  # both units are linear in SI


def _rounded(values: np.ndarray, digits: int) -> list[float]:
    return [round(float(value), digits) for value in values]


def _thinned(time: np.ndarray, lines: list[np.ndarray]) -> np.ndarray:
    """Return the indices to keep: ends, and in each bucket of time the extremes of every line."""
    if len(time) <= BUCKETS:
        return np.arange(len(time))
    edges = np.searchsorted(time, np.linspace(time[0], time[-1], BUCKETS + 1))
    keep = {0, len(time) - 1}
    for start, end in pairwise(edges):
        if end > start:
            keep.add(int(start))
            for values in lines:
                part = values[start:end]
                keep |= {int(start + np.argmin(part)), int(start + np.argmax(part))}
    return np.array(sorted(keep))
