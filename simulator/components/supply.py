"""Electrical supply up to the motor's terminals."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator.components.spec import check_positive, measured


@dataclass(frozen=True)
class SupplySpec:
    """Branch circuit; a machine with an engine has none."""

    feed: str  # cord, hard-wired or none
    voltage: float = measured("voltage_V", "V", "V", 0.0)  # between lines
    resistance: float = measured(
        "resistance_ohm", "ohm", "ohm", 0.0
    )  # of one line, or of the loop of a single phase

    def __post_init__(self) -> None:
        if self.feed not in ("cord", "hard-wired", "none"):
            raise ValueError(f"feed '{self.feed}' is not cord, hard-wired or none")
        if self.feed != "none":
            check_positive(voltage=self.voltage, resistance=self.resistance)


class SupplyParameters(NamedTuple):
    """The supply, faults included."""

    voltage: float  # without load [V]
    wall_resistance: float  # of the branch, up to the outlet [ohm]
    cord_resistance: float  # between outlet and machine [ohm]
    joint_resistance: float  # of loose joints at the machine [ohm]
    contact_resistance: float  # of the contacts that break the motor [ohm]
    unbalance: float  # worst deviation of a line-to-line voltage from the mean, over the mean [-]
    phase_open: float  # 1 when one line of three is lost [-]
