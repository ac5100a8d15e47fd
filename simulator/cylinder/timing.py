"""How long a card takes."""

import statistics
import time
from typing import NamedTuple

from simulator.adjustable import healthy_values
from simulator.cylinder.card import settle
from simulator.cylinder.rigs import machine_of
from simulator.rig import Rig


class CardTime(NamedTuple):
    """Time and effort of one settled card of a sound machine, compiled code and plate fit already there."""

    rig: str
    seconds: float  # median of the runs
    turns: int
    steps: int  # of the last turn


def time_card(rig: Rig, line_pressure: float, runs: int = 5) -> CardTime:
    """Measure how long a settled card of a sound machine takes.

    Parameters
    ----------
    rig : Rig
        The rig.
    line_pressure : float
        Absolute. [Pa]
    runs : int
        Whose median counts.

    Returns
    -------
    CardTime
        In seconds.
    """
    values = healthy_values(rig)
    settled = settle(machine_of(rig, values, line_pressure))  # compiles and fits
    times = []
    for _ in range(runs):
        machine = machine_of(rig, values, line_pressure)
        start = time.perf_counter()
        settled = settle(machine)
        times.append(time.perf_counter() - start)
    return CardTime(rig.slug, statistics.median(times), settled.turns, settled.steps)
