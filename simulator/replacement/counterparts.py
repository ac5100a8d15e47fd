"""NEMA beside IEC: which frame of the other series stands nearest, and what of it is not the same."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator.replacement.frames import table_frames
from simulator.replacement.swap import small_words

if TYPE_CHECKING:
    from simulator.replacement.frames import Frame

NEAR = 0.003  # shaft heights of partners differ by no more: 112 mm and 4.5 in, 132 mm and 5.25 in [m]


@dataclass(frozen=True)
class Counterpart:
    """A frame of the other series, and where it differs; all lengths new less old. [m]"""

    frame: Frame
    height: float
    holes_across: float
    holes_along: float
    shaft: float | None  # None where the old frame's shaft is special

    @property
    def words(self) -> str:
        """The counterpart in one sentence; never an equal part."""
        shaft = self.frame.shaft_diameter
        bore = f", shaft {small_words(shaft)}" if shaft is not None else ""
        return (
            f"{self.frame.name}: shaft height {self.height * 1000:+.1f} mm, holes {self.holes_across * 1000:+.1f} mm across and"
            f" {self.holes_along * 1000:+.1f} mm along{bore}; another bore and key"
        )


def counterparts(frame: Frame) -> tuple[Counterpart, ...]:
    """Find the frames of the other series that stand as high.

    Parameters
    ----------
    frame : Frame
        Of either series.

    Returns
    -------
    tuple of Counterpart
        Those whose holes lie nearest first; empty if none stands within 3 mm, or the feet are special.

    References
    ----------
    NEMA MG 1 4.4.1; IEC 60072-1 (from memory, to confirm).

    Examples
    --------
    >>> from simulator.replacement.frames import find_frame
    >>> [one.frame.name for one in counterparts(find_frame("184T"))]
    ['112M']
    """
    if frame.shaft_height is None or frame.holes_across is None or not frame.holes_along:
        return ()
    found = []
    for other in table_frames().values():
        if other.series == frame.series or other.shaft_height is None or other.holes_across is None:
            continue
        if abs(other.shaft_height - frame.shaft_height) > NEAR:
            continue
        along = min((one - mine for one in other.holes_along for mine in frame.holes_along), key=abs)
        shaft = None
        if other.shaft_diameter is not None and frame.shaft_diameter is not None:
            shaft = other.shaft_diameter - frame.shaft_diameter
        found.append(
            Counterpart(
                other,
                other.shaft_height - frame.shaft_height,
                other.holes_across - frame.holes_across,
                along,
                shaft,
            )
        )
    return tuple(sorted(found, key=lambda one: abs(one.holes_across) + abs(one.holes_along)))
