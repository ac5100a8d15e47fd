"""Recorded channels: names, units, and readings at any instant."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from simulator.channels import Channels
from simulator.events import Event

CHANNELS: tuple[str, ...] = tuple(
    "leak:lp-" + name.removeprefix("leak_").replace("_", "-") if name.startswith("leak_") else name
    for name in Channels._fields
)


def _unit(name: str) -> str:
    if name.startswith("leak:") or name == "intake_flow":
        return "kg/s"
    for ending, unit in (
        ("_pressure", "Pa"),
        ("_swing", "Pa"),
        ("_closed", ""),
        ("_live", ""),
        ("_open", ""),
        ("_rpm", "rpm"),
        ("_power", "W"),
        ("_delivered", "m³/s"),
        ("_water", "kg"),
    ):
        if name.endswith(ending):
            return unit
    if name.startswith("motor_current") or name == "start_winding_current":
        return "A"
    return "V" if "voltage" in name else "K"


# Places where an ear or soap can be put and where none of these machines can leak air.
SOUND_PLACES = frozenset(
    f"leak:{place}"
    for place in ("lp-check-body", "lp-gauge", "lp-outlet", "lp-ports", "lp-switch-nipple", "lp-crank-seal")
)
UNITS: dict[str, str] = {name: _unit(name) for name in CHANNELS}


@dataclass(frozen=True)
class Trace:
    """Samples of every channel over a stretch of time, uneven, to be read by straight lines between them."""

    time: np.ndarray  # shape (samples,) [s]
    values: np.ndarray  # shape (samples, channels), order of CHANNELS
    events: tuple[Event, ...] = ()

    def channel(self, name: str) -> np.ndarray:
        """Values of one channel, shape (samples,).

        Parameters
        ----------
        name : str
            One of `CHANNELS`.

        Returns
        -------
        numpy.ndarray
            In the channel's unit, see `UNITS`.
        """
        if name in SOUND_PLACES:
            return np.zeros(self.time.size)
        return np.asarray(self.values[:, CHANNELS.index(name)])

    def at(self, name: str, time: float | Sequence[float]) -> np.ndarray:
        """Read one channel at given times.

        Parameters
        ----------
        name : str
            One of `CHANNELS`.
        time : float or sequence of float
            On the rig's clock. [s]

        Returns
        -------
        numpy.ndarray
            In the channel's unit.
        """
        return np.asarray(np.interp(time, self.time, self.channel(name)))


def joined(pieces: Sequence[Trace]) -> Trace:
    """Put stretches that follow each other into one trace.

    Parameters
    ----------
    pieces : sequence of Trace
        In order of time.

    Returns
    -------
    Trace
        All samples and events.
    """
    return Trace(
        np.concatenate([piece.time for piece in pieces]),
        np.concatenate([piece.values for piece in pieces]),
        tuple(event for piece in pieces for event in piece.events),
    )
