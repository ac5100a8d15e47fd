"""Does the motor stand its room: insulation, warmth, height above the sea."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator import units
from simulator.replacement.motor_work import ask_for
from simulator.replacement.rules import Rule
from simulator.replacement.tables import table
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from simulator.replacement.plates import MotorPlate
    from simulator.replacement.swap import Swap
    from simulator.replacement.verdict import Reason

_ROOM = table("motors")["room"]
PLATE_AMBIENT = units.convert(float(_ROOM["plate_ambient_C"]), "°C", "K")
PLATE_ALTITUDE = float(_ROOM["altitude_m"])
LOSS_PER_METRE = float(_ROOM["ambient_loss_per_1000_m_K"]) / 1000.0
ALTITUDE_WITH_SERVICE_FACTOR = float(_ROOM["altitude_limit_sf_1_15_m"])
VENTILATE_UP_TO = float(_ROOM["ventilate_up_to_K"])
LARGE_SERVICE_FACTOR = 1.15
GOOD_ANYWHERE = ("F", "H")

INSULATION = Rule(
    "insulation",
    "insulation",
    "The insulation class of the old motor or a higher one: each 10 °C above the limit about halves its life.",
    "NEMA MG 1 insulation classes",
)
ROOM = Rule(
    "room",
    "ambient",
    "The room is no hotter than the plate allows: 40 °C up to 1000 m, less above.",
    str(_ROOM["source"]),
    Standing(_ROOM["standing"]),
)


def standing_in_room(swap: Swap) -> Iterator[Reason]:
    """Give the reasons about insulation and room.

    Parameters
    ----------
    swap : Swap
        Old motor, new motor, place.

    Yields
    ------
    Reason
        One for each line.
    """
    yield _insulation(swap)
    yield _room(swap)


def insulation_limit(letter: str) -> float:
    """Limit temperature of an insulation class.

    Parameters
    ----------
    letter : str
        A, B, F or H.

    Returns
    -------
    float
        [K]

    References
    ----------
    NEMA MG 1 insulation classes.

    Examples
    --------
    >>> round(insulation_limit("F") - 273.15)
    155
    """
    rows = {row[0]: row for row in table("motors")["insulation"]["rows"]}
    return units.convert(float(rows[letter][1]), "°C", "K")


def _insulation(swap: Swap) -> Reason:
    old, new = swap.old.insulation, swap.new.insulation
    if new is None:
        return ask_for(INSULATION, "insulation", "new")
    if old is None and new not in GOOD_ANYWHERE:
        return ask_for(INSULATION, "insulation", "old")
    figures: tuple[Figure, ...] = (Figure(f"limit of class {new}", insulation_limit(new), "temperature"),)
    if old is None:
        return INSULATION.fits(
            f"Its insulation is class {new}, above the class B that the 40 °C plate asks for.", *figures
        )
    figures = (*figures, Figure(f"limit of class {old}", insulation_limit(old), "temperature"))
    if insulation_limit(new) < insulation_limit(old):
        return INSULATION.refuses(f"Its insulation is class {new}, the old motor's class {old}.", *figures)
    return INSULATION.fits(f"Its insulation is class {new}, the old motor's class {old}.", *figures)


def allowed_ambient(plate: MotorPlate, altitude: float | None) -> float:
    """Warmest room a motor may work in at its plate power.

    Parameters
    ----------
    plate : MotorPlate
        As read; without an ambient it counts for 40 °C.
    altitude : float or None
        Above the sea; unknown counts as low. [m]

    Returns
    -------
    float
        [K]

    References
    ----------
    NEMA MG 1 14.4 and IEC 60034-1 clause 6, from memory: 10 K less for each 1000 m above 1000 m; a service
    factor of 1.15 that is not used makes up for it to 2740 m (9000 ft).
    """
    ambient = plate.ambient if plate.ambient is not None else PLATE_AMBIENT
    height = max(0.0, (altitude or 0.0) - PLATE_ALTITUDE)
    spare = plate.service_factor is not None and plate.service_factor >= LARGE_SERVICE_FACTOR
    if spare and (altitude or 0.0) <= ALTITUDE_WITH_SERVICE_FACTOR:
        return ambient
    return ambient - LOSS_PER_METRE * height


def _room(swap: Swap) -> Reason:
    place = swap.place
    allowed = allowed_ambient(swap.new, place.altitude)
    figure = Figure("warmest room allowed", allowed, "temperature")
    if place.room_temperature is None:
        return _against_old(swap, allowed, figure)
    excess = place.room_temperature - allowed
    figures = (Figure("warmest room", place.room_temperature, "temperature"), figure)
    said = f"The room reaches {_warm(place.room_temperature)}; there it may work at its plate power up to {_warm(allowed)}."
    if excess <= 1e-9:
        return ROOM.fits(said, *figures)
    if excess <= VENTILATE_UP_TO:
        change = f"Bring fresh air to the motor until it has {_warm(allowed)} at most, or ask for a plate that names the room's warmth."
        return ROOM.changes(said, change, *figures)
    return ROOM.refuses(f"{said} Its winding would pass its limit.", *figures)


def _against_old(swap: Swap, allowed: float, figure: Figure) -> Reason:
    """Nobody measured the room: the new motor must stand what the old one was made for."""
    before = allowed_ambient(swap.old, swap.place.altitude)
    high = swap.place.altitude is not None and swap.place.altitude > PLATE_ALTITUDE
    if high and allowed < PLATE_AMBIENT:
        return ROOM.asks(
            f"So high it may work at its plate power only up to {_warm(allowed)}.",
            "How warm does the room get? Hang a thermometer beside the motor on a hot afternoon.",
            figure,
        )
    if allowed >= before - 1e-9:
        return ROOM.fits(f"It may work in a room of {_warm(allowed)}, as the old motor or better.", figure)
    return ROOM.refuses(f"It may work up to {_warm(allowed)}, the old motor up to {_warm(before)}.", figure)


def _warm(temperature: float) -> str:
    return f"{units.show(temperature, 'temperature', 'us', 0)} ({units.show(temperature, 'temperature', 'metric', 0)})"
