"""Pressure switch: contacts with a differential."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator.components.spec import check_positive, measured


@dataclass(frozen=True)
class PressureSwitchSpec:
    """Settings and contacts."""

    cut_in: float = measured("cut_in_psig", "psi", "Pa")  # gauge
    cut_out: float = measured("cut_out_psig", "psi", "Pa")  # gauge
    contact_resistance: float = measured("contact_resistance_ohm", "ohm", "ohm")

    def __post_init__(self) -> None:
        check_positive(cut_in=self.cut_in, contact_resistance=self.contact_resistance)
        if not self.cut_in < self.cut_out:
            raise ValueError(
                f"cut-in ({self.cut_in / 6894.757:.0f} psig) must be below cut-out ({self.cut_out / 6894.757:.0f} psig)"
            )


class PressureSwitchParameters(NamedTuple):
    """The switch, faults included."""

    cut_in: float  # gauge [Pa]
    cut_out: float  # gauge [Pa]
    body_leak_area: float  # receiver to the switch cover [m²]
    welded: float  # 1 when the contacts stay closed whatever the lever does [-]
    dead: float  # 1 when the contacts, or the starter they work, never close [-]
    sensing_rate: float  # how fast the pressure felt follows the receiver's [1/s]


# The small space behind the switch's diaphragm fills through a nipple: time constant with the nipple free.
# Common practice, no source.
SENSING_TIME = 0.02
