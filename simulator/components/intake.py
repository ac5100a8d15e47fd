"""Intake filter and the air outside it."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator.components.spec import check_between, check_positive, measured


@dataclass(frozen=True)
class IntakeSpec:
    """Filter element and room air."""

    relative_humidity: float
    element_drop_clean: float = measured("element_drop_clean_kPa", "kPa", "Pa")  # at full flow

    def __post_init__(self) -> None:
        check_positive(element_drop=self.element_drop_clean)
        check_between(0.0, 1.0, relative_humidity=self.relative_humidity)


class IntakeParameters(NamedTuple):
    """The intake, faults included."""

    drop_coefficient: float  # pressure drop over mass flow squared [Pa·s²/kg²]
    ambient_pressure: float  # [Pa]
    ambient_temperature: float  # [K]
    humidity_ratio: float  # water over dry air [-]
