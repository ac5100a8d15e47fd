"""What a turn of the crank works on: records of cylinders, reeds and chambers, and the columns of their states."""

from typing import Any, NamedTuple

import numpy as np

# Columns of a cylinder's state; the first six act, the others are sums over the turn.
MASS, ENERGY, INTAKE_LIFT, INTAKE_SPEED, DISCHARGE_LIFT, DISCHARGE_SPEED = range(6)
(
    WORK,
    HEAT,
    ENTHALPY,
    DRAWN,
    BLOWN_BACK,
    DELIVERED,
    FALLEN_BACK,
    RING,
    HOT,
    INTAKE_LEAK,
    DISCHARGE_LEAK,
    GASKET,
) = range(6, 18)
SUMS = 6  # the first column of sums
COLUMNS = 18
CHAMBER_COLUMNS = 4  # mass, energy; sums: air come in by the way upstream, heat taken from the wall
# Rows of chambers.
INTAKE, DISCHARGE, COOLER, SECOND_INTAKE, SECOND_DISCHARGE = range(5)
CHAMBER_SUMS = 2

REED = np.dtype(
    [
        ("port_area", "f8"),  # [m²]
        ("coefficient", "f8"),  # of discharge [-]
        ("stop_lift", "f8"),  # [m]
        ("stiffness", "f8"),  # [N/m]
        ("moving_mass", "f8"),  # [kg]
        ("preload", "f8"),  # [N]
        ("damping", "f8"),  # [N·s/m]
        ("fixed_lift", "f8"),  # where a broken or stuck reed stays, below zero for one that moves [m]
        ("leak_area", "f8"),  # flow area of what it never covers [m²]
    ],
    align=True,
)
CYLINDER = np.dtype(
    [
        ("bore", "f8"),  # [m]
        ("crank_radius", "f8"),  # [m]
        ("rod_ratio", "f8"),  # [-]
        ("clearance_volume", "f8"),  # [m³]
        ("lead", "f8"),  # angle by which it is ahead of the crank's zero [rad]
        ("intake_chamber", "i8"),
        ("discharge_chamber", "i8"),
        ("ring_area", "f8"),  # flow area [m²]
        ("gasket_area", "f8"),  # flow area from discharge to intake chamber [m²]
        ("wall_temperature", "f8"),  # [K]
        ("wall_share", "f8"),  # of the usual heat to the wall; 0 is an adiabatic cylinder [-]
    ],
    align=True,
)
CHAMBER = np.dtype(
    [
        ("volume", "f8"),  # [m³]
        ("heat_passage", "f8"),  # to its wall [W/K]
        ("wall_temperature", "f8"),  # [K]
        ("leak_area", "f8"),  # flow area to the room [m²]
    ],
    align=True,
)

Array = np.ndarray[Any, Any]


class Outside(NamedTuple):
    """What does not change through the turn."""

    stages: int
    speed: float  # of the crank [rad/s]
    room_pressure: float  # [Pa]
    room_temperature: float  # [K]
    crankcase_pressure: float  # [Pa]
    drop_coefficient: float  # of the filter [Pa·s²/kg²]
    line_pressure: float  # beyond the last discharge chamber [Pa]
    line_area: float  # flow area of the way into the line, one way [m²]
    tube_area: float  # flow area of the tubes before and behind the intercooler [m²]
    cooled_temperature: float  # of air that has passed the intercooler [K]
