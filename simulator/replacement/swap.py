"""One motor for another in one place: what is worked out once and looked at by every rule."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator import electric, units
from simulator.replacement.plate_sense import poles_of, slip_of
from simulator.replacement.plate_words import Key
from simulator.replacement.tables import table

if TYPE_CHECKING:
    from simulator.replacement.place import Place
    from simulator.replacement.plates import MotorPlate, Range


@dataclass(frozen=True)
class Swap:
    """The old motor, the new one, and the place."""

    old: MotorPlate
    new: MotorPlate
    place: Place

    @property
    def is_belt(self) -> bool | None:
        """Whether a belt drives the pump; None if nobody has said."""
        return None if self.place.drive is None else self.place.drive == "belt"


@dataclass(frozen=True)
class Body:
    """Feet and shaft of a motor, measured where typed, else by its frame's name; None where unknown. [m]"""

    shaft_height: float | None
    holes_across: float | None
    holes_along: tuple[float, ...]
    hole: float | None
    shaft_to_holes: float | None  # shoulder of the shaft to the nearest holes
    shaft_diameter: float | None
    shaft_length: float | None
    key: Key | None
    has_feet: bool | None
    takes_belt: bool


def body(plate: MotorPlate) -> Body:
    """Give the feet and the shaft of a motor, as far as its plate tells.

    Parameters
    ----------
    plate : MotorPlate
        As read.

    Returns
    -------
    Body
        Also what a picture of it is drawn from.
    """
    frame = plate.frame
    feet = frame.has_feet if frame else None
    if plate.mounting:
        feet = plate.mounting != "face"
    along = (plate.holes_along,) if plate.holes_along is not None else (frame.holes_along if frame else ())
    return Body(
        shaft_height=_first(plate.shaft_height, frame.shaft_height if frame else None),
        holes_across=_first(plate.holes_across, frame.holes_across if frame else None),
        holes_along=along,
        hole=frame.hole if frame else None,
        shaft_to_holes=frame.shaft_to_holes if frame else None,
        shaft_diameter=_first(plate.shaft_diameter, frame.shaft_diameter if frame else None),
        shaft_length=_first(plate.shaft_length, frame.shaft_length if frame else None),
        key=plate.key or _frame_key(plate),
        has_feet=feet if feet is not None or plate.holes_across is None else True,
        takes_belt=frame.takes_belt if frame else True,
    )


def _frame_key(plate: MotorPlate) -> Key | None:
    frame = plate.frame
    if frame is None:
        return None
    if frame.flat_key:
        return Key(flat=True)
    if frame.key_width and frame.key_height:
        return Key(frame.key_width, frame.key_height)
    return None


def _first(*values: float | None) -> float | None:
    return next((value for value in values if value is not None), None)


def running_speed(plate: MotorPlate, hertz: float | None) -> float | None:
    """Speed at full load on a supply; the fastest of a motor with several speeds.

    Parameters
    ----------
    plate : MotorPlate
        As read.
    hertz : float or None
        Of the supply; unknown takes the plate's first. [Hz]

    Returns
    -------
    float or None
        None if the plate gives no speed for it. [rpm]
    """
    if not plate.speed:
        return None
    if len(plate.speed) == len(plate.hertz) > 1 and hertz in plate.hertz:
        return plate.speed[plate.hertz.index(hertz)]
    if hertz is not None and plate.hertz and hertz not in plate.hertz:
        return max(plate.speed) * hertz / plate.hertz[0]  # the field turns with the supply
    wanted = hertz or (plate.hertz[0] if plate.hertz else None)
    fitting = [one for one in plate.speed if _runs_at(one, wanted)]
    return max(fitting, default=None)


def _runs_at(speed: float, hertz: float | None) -> bool:
    if hertz is None:
        return True
    slip = slip_of(speed, hertz)
    return slip is not None and slip <= table("motors")["speed"]["largest_slip"]


def speeds_on(plate: MotorPlate, hertz: float | None) -> int:
    """How many speeds a motor has on one supply: two for a two-speed winding."""
    if len(plate.speed) == len(plate.hertz) > 1:
        return 1
    fitting = {poles_of(one, hertz or 60.0) for one in plate.speed if _runs_at(one, hertz)}
    return len(fitting) or 1


def connection(plate: MotorPlate, supply: float, hertz: float | None = None) -> Range | None:
    """Rating of the connection that is nearest to a supply.

    A winding for another frequency stands other volts: its flux is volts over hertz.

    Parameters
    ----------
    plate : MotorPlate
        As read.
    supply : float
        Measured. [V]
    hertz : float or None
        Of the supply. [Hz]

    Returns
    -------
    tuple of float or None
        Lower and upper end; None if the plate gives no volts. [V]
    """
    other = hertz is not None and plate.hertz and hertz not in plate.hertz
    share = hertz / plate.hertz[0] if hertz is not None and other else 1.0
    ratings = [(low * share, high * share) for low, high in plate.volts]
    return min(ratings, key=lambda ends: abs(deviation(ends, supply)), default=None)


def deviation(ends: Range, supply: float) -> float:
    """Share by which a supply lies above or below a rating; 0 inside a range.

    Parameters
    ----------
    ends : tuple of float
        Lower and upper end of the rating. [V]
    supply : float
        Measured. [V]

    Returns
    -------
    float
        Above zero where the supply is too high. [-]
    """
    low, high = ends
    if low <= supply <= high:
        return 0.0
    near = low if supply < low else high
    return supply / near - 1.0


def shaft_torque(plate: MotorPlate, hertz: float | None) -> float | None:
    """Torque at full load. [N·m]"""
    speed = running_speed(plate, hertz)
    return None if plate.power is None or speed is None else float(electric.torque(plate.power, speed))


def power_words(power: float) -> str:
    """A power in both systems, such as 3 hp (2.24 kW)."""
    return f"{units.number(power, 'power', 'us'):.3g} hp ({units.show(power, 'power', 'metric')})"


def small_words(length: float) -> str:
    """A small length in both systems."""
    return f"{round(units.number(length, 'small_length', 'us'), 3):g} in ({units.show(length, 'small_length', 'metric', 1)})"
