"""Electrical supply up to the motor's terminals."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator.components.spec import check_positive, measured


@dataclass(frozen=True)
class SupplySpec:
    """Branch circuit."""

    voltage: float = measured("voltage_V", "V", "V")
    resistance: float = measured("resistance_ohm", "ohm", "ohm")

    def __post_init__(self) -> None:
        check_positive(voltage=self.voltage, resistance=self.resistance)


class SupplyParameters(NamedTuple):
    """The supply, faults included."""

    voltage: float  # without load [V]
    wall_resistance: float  # of the branch, up to the outlet [ohm]
    cord_resistance: float  # between outlet and machine [ohm]
    contact_resistance: float  # of the switch, both poles [ohm]
