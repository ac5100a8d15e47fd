"""The standard trial of a machine: the same deeds on every rig, read for the same figures.

From an empty receiver, outlet shut, to cut-out and 15 s on; then left to cool for a quarter of an hour and watched
for ten minutes; besides, bled to cut-in and started again, and pumped for an hour and a half near cut-out. True
figures, without the spread of instruments; the same machine gives the same figures to the digit.
"""

import math
from collections.abc import Mapping, Sequence

from simulator.faults import Fault, Injected
from simulator.figures import Figures
from simulator.rig import Rig
from simulator.trial import deeds, reading
from simulator.trial.reading import Yardstick

__all__ = ["figures", "healthy_figures"]

NEVER_GETS_THERE = 6.0  # times the sound machine's time from empty to cut-out
LONGEST_SOUND_FILL = 3600.0  # [s]

_sound: dict[str, tuple[Yardstick, Figures]] = {}


def figures(rig: Rig, catalogue: Mapping[str, Fault], injected: Sequence[Injected]) -> Figures:
    """Put a machine through the trial.

    Parameters
    ----------
    rig : Rig
        The machine.
    catalogue : mapping of str to Fault
        The faults.
    injected : sequence of Injected
        Those put in; none for a sound machine.

    Returns
    -------
    Figures
        By state and name, each in the trade's unit that `simulator.figures.FIGURES` gives; what the rig does not
        have is not there.
    """
    yardstick, sound = _of_sound(rig)
    if not injected:
        return sound
    return _taken(rig, catalogue, injected, yardstick)


def healthy_figures(rig: Rig) -> Figures:
    """Figures of the rig with nothing wrong, taken once.

    Parameters
    ----------
    rig : Rig
        The machine.

    Returns
    -------
    Figures
        See `figures`.
    """
    return _of_sound(rig)[1]


def _of_sound(rig: Rig) -> tuple[Yardstick, Figures]:
    key = repr(rig)
    if key not in _sound:
        unmeasured = Yardstick(LONGEST_SOUND_FILL / NEVER_GETS_THERE, math.nan, math.nan)
        sound = _taken(rig, {}, (), unmeasured)
        yardstick = Yardstick(
            float(sound["pumping"]["pump_up"]),
            reading.free_air_at_half(deeds.fill(rig, {}, (), LONGEST_SOUND_FILL)),
            float(sound["restart"]["start_time"]),
        )
        _sound[key] = yardstick, sound
    return _sound[key]


def _taken(
    rig: Rig, catalogue: Mapping[str, Fault], injected: Sequence[Injected], yardstick: Yardstick
) -> Figures:
    filled = deeds.fill(rig, catalogue, injected, NEVER_GETS_THERE * yardstick.pump_up)
    hot = deeds.long_pumping(filled, catalogue)
    stopped = deeds.just_stopped(filled)
    vented = deeds.vented(stopped)
    standing = deeds.settled(filled, vented, catalogue)
    watched, opened = deeds.watched(standing), deeds.outlet_opened(standing)
    again = deeds.restarted(filled, stopped, catalogue)
    return {
        "pumping": reading.pumping(filled, hot, yardstick),
        "just-stopped": reading.just_stopped(stopped, vented),
        "settled": reading.settled(filled, standing, watched, opened),
        "restart": reading.restart(again, yardstick),
    }
