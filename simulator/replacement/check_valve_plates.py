"""What is known of a check valve and of the machine it must suit, read as people write it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator import units
from simulator.replacement.part_lines import part_lines
from simulator.replacement.part_reading import read_lines
from simulator.replacement.problems import BadPlate, Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from simulator.replacement.threads import Thread

CHECK_LINES = part_lines("check-valve", "part")
CHECK_PLACE_LINES = part_lines("check-valve", "place")


@dataclass(frozen=True)
class CheckValvePlate:
    """What is known of a check valve; None where nothing is."""

    form: str | None = None
    bore: float | None = None  # [m]
    crack: float | None = None  # [Pa]
    inlet: Thread | None = None
    tank_thread: Thread | None = None
    side_port: str | None = None
    direction: str | None = None
    pressure: float | None = None  # gauge [Pa]
    temperature: float | None = None  # [K]
    medium: str | None = None


@dataclass(frozen=True)
class CheckValvePlace:
    """What a check valve must suit; None where it is not known."""

    form: str | None = None
    free_air: float | None = None  # at cut-in [m³/s]
    free_air_empty: float | None = None  # [m³/s]
    cut_in: float | None = None  # gauge [Pa]
    mawp: float | None = None  # gauge [Pa]
    inlet: Thread | None = None
    tank_thread: Thread | None = None
    side_port: str | None = None
    temperature: float | None = None  # [K]


def read_check_valve(
    typed: Mapping[str, str] | Iterable[str] | str, which: str = "new valve"
) -> CheckValvePlate:
    """Read what is known of a check valve.

    Parameters
    ----------
    typed : mapping, iterable of str or str
        Line to value, lines such as "bore=9.5 mm", or one string of them parted by semicolons.
    which : str
        Whose, for the refusal.

    Returns
    -------
    CheckValvePlate
        Checked against itself.

    Raises
    ------
    BadPlate
        With every line that cannot be read or contradicts another.
    """
    plate = CheckValvePlate(**read_lines(typed, CHECK_LINES, which))
    if plate.bore is not None and plate.tank_thread is not None:
        widest = units.convert(plate.tank_thread.size, "in", "m") * _OUTSIDE_OVER_NOMINAL
        if plate.bore > widest:
            why = f"so wide a way does not go through {plate.tank_thread.title}"
            raise BadPlate([Problem("bore", why, CHECK_LINES["bore"].look)], which)
    return plate


_OUTSIDE_OVER_NOMINAL = 1.7  # a pipe thread's outside over its nominal size is 1.68 at 1/2 in; from memory


def read_check_valve_place(
    typed: Mapping[str, str] | Iterable[str] | str, which: str = "machine"
) -> CheckValvePlace:
    """Read what a check valve must suit.

    Parameters
    ----------
    typed : mapping, iterable of str or str
        As for `read_check_valve`.
    which : str
        Whose, for the refusal.

    Returns
    -------
    CheckValvePlace
        Checked against itself.

    Raises
    ------
    BadPlate
        With every line that cannot be read or contradicts another.
    """
    place = CheckValvePlace(**read_lines(typed, CHECK_PLACE_LINES, which))
    problems = []
    if place.cut_in is not None and place.mawp is not None and place.cut_in >= place.mawp:
        why = "the cut-in reaches the highest pressure allowed in the vessel"
        problems.append(Problem("cut-in", why, "Do not run it; read both plates again."))
    if None not in (place.free_air, place.free_air_empty) and place.free_air > place.free_air_empty:  # type: ignore[operator]  # neither is none
        why = "a pump delivers less against pressure, not more"
        problems.append(Problem("free air", why, CHECK_PLACE_LINES["free air"].look))
    if problems:
        raise BadPlate(problems, which)
    return place
