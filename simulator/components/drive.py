"""Drive between motor and pump: belts on sheaves, or one shaft."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator.components.spec import check_between, check_positive, measured

HEALTHY_SLIP = 0.01


@dataclass(frozen=True)
class DriveSpec:
    """Sheaves and belts; a direct drive has neither."""

    kind: str
    ratio: float = 1.0  # motor speed over pump speed with a sound belt [-]
    efficiency: float = 1.0
    belts: str = ""
    motor_sheave: float = measured("motor_sheave_mm", "mm", "m", 0.0)  # pitch diameter
    flywheel: float = measured("flywheel_mm", "mm", "m", 0.0)  # pitch diameter
    centre_distance: float = measured("centre_distance_mm", "mm", "m", 0.0)
    belt_length: float = measured("belt_length_mm", "mm", "m", 0.0)  # pitch length
    deflection: float = measured("deflection_mm", "mm", "m", 0.0)  # at mid-span, right tension

    def __post_init__(self) -> None:
        if self.kind not in ("belt", "direct"):
            raise ValueError(f"drive kind '{self.kind}' is not belt or direct")
        if self.kind == "belt":
            check_positive(
                motor_sheave=self.motor_sheave, flywheel=self.flywheel, centre_distance=self.centre_distance
            )
            if not abs(self.flywheel / self.motor_sheave / self.ratio - 1.0) < 0.02:
                raise ValueError(
                    f"ratio {self.ratio:g} does not go with sheaves of {self.motor_sheave * 1000:g} and"
                    f" {self.flywheel * 1000:g} mm; it would be {self.flywheel / self.motor_sheave:.3f}"
                )
        check_between(0.5, 12.0, sheave_ratio=self.ratio)
        check_between(0.7, 1.0, drive_efficiency=self.efficiency)


class DriveParameters(NamedTuple):
    """The drive, faults included."""

    speed_ratio: float  # motor speed over pump speed, slip included [-]
    torque_ratio: float  # pump torque over motor torque, losses included [-]
    slip: float  # of the belt [-]
