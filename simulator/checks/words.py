"""What goes in and out of a check: findings, readings and refusals."""

from dataclasses import dataclass
from typing import Literal

from simulator.hazards import Prohibited

Tool = Literal["look", "listen", "feel", "soap", "clamp", "volts", "probe", "time"]
SafeState = Literal["S0", "S1", "S2", "S3", "S4"]


class UnsafeCheck(Prohibited):
    """The check was tried in a state in which it hurts people; says why and how to make it safe."""


class CannotTake(Exception):
    """The check makes no sense as the machine stands; says why and what to do first."""


@dataclass(frozen=True)
class Reading:
    """One figure an instrument showed.

    Parameters
    ----------
    name : str
        Name in the log.
    title : str
        What was measured.
    value : float
        With the instrument's spread. [SI unit of the quantity]
    quantity : str
        A quantity of `simulator.units`.
    note : str
        What must be known to read it rightly.
    """

    name: str
    title: str
    value: float
    quantity: str
    note: str = ""


@dataclass(frozen=True)
class Finding:
    """What a check found.

    Parameters
    ----------
    check, place : str
        Slugs.
    outcome : str
        A code of the check's closed list.
    readings : tuple of Reading
        What the instruments showed.
    started_at, ended_at : float
        On the rig's clock. [s]
    """

    check: str
    place: str
    outcome: str
    readings: tuple[Reading, ...]
    started_at: float
    ended_at: float
