"""Belt drive between motor and pump."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator.components.spec import check_between, measured

HEALTHY_SLIP = 0.01


@dataclass(frozen=True)
class DriveSpec:
    """Sheaves and belt."""

    ratio: float  # motor speed over pump speed with a sound belt [-]
    efficiency: float
    centre_distance: float = measured("centre_distance_mm", "mm", "m")
    deflection: float = measured("deflection_mm", "mm", "m")  # at mid-span, right tension

    def __post_init__(self) -> None:
        check_between(0.5, 12.0, sheave_ratio=self.ratio)
        check_between(0.7, 1.0, drive_efficiency=self.efficiency)


class DriveParameters(NamedTuple):
    """The drive, faults included."""

    speed_ratio: float  # motor speed over pump speed, slip included [-]
    torque_ratio: float  # pump torque over motor torque, losses included [-]
    slip: float  # of the belt [-]
