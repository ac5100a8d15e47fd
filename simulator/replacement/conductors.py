"""Copper conductors: what they may carry, what they resist, and the volts lost along them."""

from __future__ import annotations

import math

from simulator import electric, units
from simulator.replacement.tables import table

METRE_PER_KFT = 304.8


class NotListed(ValueError):
    """The tables have no row or column for it; the message says what they do have."""


def ampacity(awg: int, insulation: int = 75, ambient: float = 303.15) -> float:
    """Current a copper conductor may carry.

    Parameters
    ----------
    awg : int
        Gauge.
    insulation : int
        60, 75 or 90: the lowest of insulation and terminals. [°C]
    ambient : float
        Of the room round the wire. [K]

    Returns
    -------
    float
        [A]

    Raises
    ------
    NotListed
        For a gauge that is not held, or a room hotter than the factors go.

    References
    ----------
    NFPA 70 Table 310.16; correction factors of the 75 °C column (kept for 60 °C too, which is not safe
    above 30 °C and is therefore refused there).

    Examples
    --------
    >>> ampacity(10), ampacity(10, 60)
    (35.0, 30.0)
    """
    column = {60: 1, 75: 2, 90: 3}[insulation]
    rows = {int(row[0]): row for row in table("circuit")["ampacity"]["rows"]}
    if awg not in rows:
        raise NotListed(f"no {awg} AWG in the table; held are {', '.join(map(str, rows))} AWG")
    return float(rows[awg][column]) * _ambient_factor(ambient, insulation)


def smallest_conductor(current: float, insulation: int = 75, ambient: float = 303.15) -> int:
    """Thinnest copper conductor that carries a current.

    Parameters
    ----------
    current : float
        [A]
    insulation : int
        60 or 75. [°C]
    ambient : float
        Of the room round the wire. [K]

    Returns
    -------
    int
        Gauge. [AWG]

    Raises
    ------
    NotListed
        If the table ends below that current.

    Examples
    --------
    >>> smallest_conductor(35.0), smallest_conductor(35.0, 60)
    (10, 8)
    """
    for row in table("circuit")["ampacity"]["rows"]:
        if ampacity(int(row[0]), insulation, ambient) >= current * (1 - 1e-9):
            return int(row[0])
    raise NotListed(f"{current:.1f} A needs more than the table holds (2 AWG)")


def resistance(awg: int, length: float) -> float:
    """Resistance of one stranded copper conductor at 75 °C.

    Parameters
    ----------
    awg : int
        Gauge.
    length : float
        One way. [m]

    Returns
    -------
    float
        [Ω]

    References
    ----------
    NFPA 70 chapter 9, Table 8.

    Examples
    --------
    >>> round(resistance(10, 30.48), 4)
    0.124
    """
    rows = {int(row[0]): row for row in table("circuit")["resistance"]["rows"]}
    if awg not in rows:
        raise NotListed(f"no {awg} AWG in the table; held are {', '.join(map(str, rows))} AWG")
    return float(rows[awg][3]) * length / METRE_PER_KFT


def voltage_drop(current: float, awg: int, length: float, phases: int) -> float:
    """Volts lost on the way to the motor.

    Parameters
    ----------
    current : float
        [A]
    awg : int
        Gauge.
    length : float
        One way. [m]
    phases : int
        1 or 3.

    Returns
    -------
    float
        [V]

    References
    ----------
    Ohm's law; there and back for one phase, between lines for three (reactance left aside).

    Examples
    --------
    >>> round(voltage_drop(28.0, 10, 30.48, 1), 3)
    6.944
    """
    one_way = resistance(awg, length)
    if phases == 1:
        return float(electric.voltage_drop_single_phase(current, one_way))
    return math.sqrt(3.0) * current * one_way


def _ambient_factor(ambient: float, insulation: int) -> float:
    celsius = units.convert(ambient, "K", "°C")
    bands = table("circuit")["ampacity"]["ambient_factor_75C"]
    if celsius <= bands[0][0]:
        return 1.0
    if insulation != 75:
        raise NotListed(
            f"no factor is held for {insulation} °C wire in a room of {celsius:.0f} °C; count it at 75 °C"
        )
    for end, factor in bands:
        if celsius <= end:
            return float(factor)
    raise NotListed(f"a room of {celsius:.0f} °C is hotter than the factors go ({bands[-1][0]} °C)")
