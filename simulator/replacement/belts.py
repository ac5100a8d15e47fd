"""Geometry of an open V-belt drive on pitch diameters: length, centre distance, wrap, speed."""

from __future__ import annotations

import math

from simulator import electric

_STEPS = 60


def belt_length(driver: float, driven: float, centre: float) -> float:
    """Pitch length of an open belt round two sheaves.

    Parameters
    ----------
    driver : float
        Pitch diameter. [m]
    driven : float
        Pitch diameter. [m]
    centre : float
        Between the shafts. [m]

    Returns
    -------
    float
        [m]

    References
    ----------
    Geometry of two circles and their outer tangents; exact.

    Examples
    --------
    >>> round(belt_length(0.0991, 0.3251, 0.4445) * 1000)
    1584
    """
    lean = math.asin((driven - driver) / (2 * centre))
    straight = 2 * centre * math.cos(lean)
    return straight + driven * (math.pi / 2 + lean) + driver * (math.pi / 2 - lean)


def centre_distance(driver: float, driven: float, length: float) -> float | None:
    """Distance of the shafts at which a belt is taut.

    Parameters
    ----------
    driver : float
        Pitch diameter. [m]
    driven : float
        Pitch diameter. [m]
    length : float
        Pitch length of the belt. [m]

    Returns
    -------
    float or None
        None if the belt is too short to go round both. [m]

    Examples
    --------
    >>> round(centre_distance(0.0991, 0.3251, 1.584) * 1000)
    444
    """
    low, high = (driver + driven) / 2, length / 2
    if high <= low or belt_length(driver, driven, low) > length:
        return None
    for _ in range(_STEPS):
        middle = (low + high) / 2
        if belt_length(driver, driven, middle) < length:
            low = middle
        else:
            high = middle
    return low


def wrap_angle(driver: float, driven: float, centre: float) -> float:
    """Angle over which the belt holds the smaller sheave.

    Parameters
    ----------
    driver : float
        Pitch diameter. [m]
    driven : float
        Pitch diameter. [m]
    centre : float
        Between the shafts. [m]

    Returns
    -------
    float
        [rad]

    Examples
    --------
    >>> round(math.degrees(wrap_angle(0.0991, 0.3251, 0.4445)))
    151
    """
    return math.pi - 2 * math.asin(abs(driven - driver) / (2 * centre))


def belt_speed(pitch_diameter: float, speed_rpm: float) -> float:
    """Speed of a belt.

    Parameters
    ----------
    pitch_diameter : float
        Of either sheave. [m]
    speed_rpm : float
        Of that sheave. [rpm]

    Returns
    -------
    float
        [m/s]

    References
    ----------
    Definition: pi times diameter times turns.

    Examples
    --------
    >>> round(belt_speed(0.08636, 1725.0) * 60 / 0.3048, 2)
    1535.45
    """
    return electric.RPM * speed_rpm * pitch_diameter / 2
