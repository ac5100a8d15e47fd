"""The standard trial of a machine: the same deeds on every rig, read for the same figures.

From an empty receiver, outlet shut, to cut-out and 15 s on; then left to cool for a quarter of an hour and watched
for ten minutes; besides, bled to cut-in and started again, and pumped for an hour and a half near cut-out. True
figures, without the spread of instruments; the same machine gives the same figures to the digit.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from simulator.faults import Fault, Injected
from simulator.figures import Figures
from simulator.rig import Rig
from simulator.trial import filling, leaving, reading, starting
from simulator.trial.filling import Fill
from simulator.trial.leaving import Stretch
from simulator.trial.reading import Yardstick

__all__ = ["figures", "healthy_figures"]

NEVER_GETS_THERE = 6.0  # times the sound machine's time from empty to cut-out
LONGEST_SOUND_FILL = 3600.0  # [s]


@dataclass(frozen=True)
class _Sound:
    """A sound machine's trial."""

    figures: Figures
    yardstick: Yardstick
    left_full: Stretch


_sound: dict[str, _Sound] = {}


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
    sound = _of_sound(rig)
    if not injected:
        return sound.figures
    filled = filling.fill(rig, catalogue, injected, NEVER_GETS_THERE * sound.yardstick.pump_up)
    return _taken(filled, sound.yardstick, sound.left_full)


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
    return _of_sound(rig).figures


def _of_sound(rig: Rig) -> _Sound:
    key = repr(rig)
    if key not in _sound:
        filled = filling.fill(rig, {}, (), LONGEST_SOUND_FILL)
        found = _taken(filled, Yardstick(), None)
        yardstick = Yardstick(
            float(found["pumping"]["pump_up"]),
            reading.free_air_at_half(filled),
            float(found["restart"]["start_time"]),
        )
        _sound[key] = _Sound(found, yardstick, leaving.left_full(leaving.just_stopped(filled)))
    return _sound[key]


def _taken(filled: Fill, yardstick: Yardstick, left_full: Stretch | None) -> Figures:
    hot = filling.long_pumping(filled)
    stopped = leaving.just_stopped(filled)
    vented = leaving.vented(stopped)
    stood, starts_from = vented, stopped
    if left_full is not None and not filled.holds_air:
        stood = starts_from = leaving.failed_since(left_full, filled)
    standing = leaving.settled(stood)
    cooled = leaving.cooled(standing)
    opened = leaving.outlet_opened(cooled)
    bled = starting.bled_to_cut_in(starts_from)
    return {
        "pumping": reading.pumping(filled, hot, yardstick),
        "just-stopped": reading.just_stopped(stopped, vented),
        "settled": reading.settled(
            standing, cooled, leaving.watched(cooled), leaving.watched(opened), leaving.trigger_held(opened)
        ),
        "restart": reading.restart(bled, starting.restarted(starts_from, bled), yardstick),
    }
