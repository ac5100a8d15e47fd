"""Air end: cylinders, reeds, rings, friction, breather. What it does to air stands in `compressing`."""

import math
from dataclasses import dataclass
from typing import NamedTuple

from simulator.components.cycle import CycleAverages
from simulator.components.spec import check_between, check_positive, measured

STAGE_CYLINDERS = 2  # at most, in each stage
# What keeps a cylinder from pumping.
WORKS, BREATHES, SILENT, SHUT_IN = (float(i) for i in range(4))


@dataclass(frozen=True)
class CylinderSpec:
    """One cylinder of the pump."""

    title: str
    clearance_ratio: float
    stage: int = 1
    slug: str = measured("id", "", "", "")
    bore: float = measured("bore_mm", "mm", "m", 0.0)
    stroke: float = measured("stroke_mm", "mm", "m", 0.0)

    def __post_init__(self) -> None:
        check_positive(bore=self.bore, stroke=self.stroke)
        check_between(0.005, 0.3, clearance_ratio=self.clearance_ratio)
        if self.stage not in (1, 2):
            raise ValueError(f"stage {self.stage} is not 1 or 2")
        if not (0.02 <= self.bore <= 0.4 and 0.01 <= self.stroke <= 0.4):
            raise ValueError(
                f"bore {self.bore * 1000:g} mm and stroke {self.stroke * 1000:g} mm are not those of a shop"
                " compressor (bore 20-400 mm, stroke 10-400 mm); is the figure in inches?"
            )

    @property
    def swept_volume(self) -> float:
        """Volume swept in one stroke. [m³]"""
        return math.pi / 4 * self.bore**2 * self.stroke


@dataclass(frozen=True)
class PumpSpec:
    """The air end as its maker gives it."""

    speed_rpm: float
    delivery_factor: float
    expansion_exponent: float
    indicated_efficiency: float
    mechanical_efficiency_at_cut_out: float
    peak_to_mean_torque: float
    layout: str
    lubrication: str  # none, splash or pressure
    oil_check: str  # what shows the oil's level
    breather: str
    valves: str
    filters: int  # intake filters, one for each first-stage cylinder or one for all
    cylinders: tuple[CylinderSpec, ...] = measured("cylinder", "", "")
    flywheel_inertia: float = measured("flywheel_inertia_kgm2", "kg*m**2", "kg*m**2")
    breather_diameter: float = measured("breather_diameter_mm", "mm", "m")
    head_heat_loss: float = measured("head_heat_loss_W_K", "W/K", "W/K")
    head_heat_capacity: float = measured("head_heat_capacity_J_K", "J/K", "J/K")
    head_to_head: float = measured("head_to_head_W_K", "W/K", "W/K", 0.0)
    second_head_heat_loss: float = measured("second_head_heat_loss_W_K", "W/K", "W/K", 0.0)
    intercooler_volume: float = measured("intercooler_volume_L", "L", "m³", 0.0)
    oil_pressure: float = measured("oil_pressure_psig", "psi", "Pa", 0.0)  # hot, at rated speed; gauge
    oil_charge: float = measured("oil_charge_L", "L", "m³", 0.0)

    def __post_init__(self) -> None:
        check_positive(speed_rpm=self.speed_rpm, flywheel_inertia=self.flywheel_inertia)
        check_between(
            0.5, 1.0, delivery_factor=self.delivery_factor, indicated_efficiency=self.indicated_efficiency
        )
        check_between(0.5, 0.99, mechanical_efficiency=self.mechanical_efficiency_at_cut_out)
        check_between(1.05, 1.4, expansion_exponent=self.expansion_exponent)
        if self.lubrication not in ("none", "splash", "pressure"):
            raise ValueError(f"lubrication '{self.lubrication}' is not none, splash or pressure")
        self._check_cylinders()

    def _check_cylinders(self) -> None:
        counts = [len(self.of_stage(stage)) for stage in (1, 2)]
        if not 1 <= counts[0] <= STAGE_CYLINDERS or counts[1] > STAGE_CYLINDERS:
            raise ValueError(
                f"{counts[0]} first-stage and {counts[1]} second-stage cylinders; a pump has one or two of the"
                " first stage and up to two of the second"
            )
        if counts[1] and not (self.intercooler_volume > 0 and self.second_head_heat_loss > 0):
            raise ValueError("a two-stage pump needs intercooler_volume_L and second_head_heat_loss_W_K")
        swept = [sum(c.swept_volume for c in self.of_stage(stage)) for stage in (1, 2)]
        if not swept[1] < swept[0]:
            raise ValueError("the second stage must sweep less than the first; are the bores swapped?")

    def of_stage(self, stage: int) -> tuple[CylinderSpec, ...]:
        """Cylinders of one stage, in order."""
        return tuple(cylinder for cylinder in self.cylinders if cylinder.stage == stage)

    def head_of(self, slug: str) -> int:
        """Which head sits on a cylinder: 1 and 2 on the first stage, 3 and 4 on the second."""
        for stage in (1, 2):
            for i, cylinder in enumerate(self.of_stage(stage)):
                if cylinder.slug == slug:
                    return STAGE_CYLINDERS * (stage - 1) + i + 1
        raise KeyError(slug)


class CylinderParameters(NamedTuple):
    """One cylinder, faults included."""

    swept_volume: float  # [m³]
    clearance_ratio: float
    ring_area: float  # flow area, discharge coefficient included [m²]
    intake_leak_area: float  # [m²]
    discharge_leak_area: float  # [m²]
    gasket_inner_area: float  # from its discharge to its intake chamber [m²]
    gasket_outer_area: float  # from its discharge chamber to the room [m²]
    dead: float  # WORKS, BREATHES (intake reed gone), SILENT or SHUT_IN (delivers nothing, still compresses)
    averages: CycleAverages


class PumpParameters(NamedTuple):
    """The air end, faults included."""

    first_1: CylinderParameters
    first_2: CylinderParameters  # sweeps nothing where there is one cylinder
    second_1: CylinderParameters  # sweeps nothing on a single-stage pump
    second_2: CylinderParameters
    first_alike: float  # 1 when the cylinders of the stage are in the same condition [-]
    second_alike: float
    delivery_factor: float
    expansion_exponent: float
    indicated_efficiency: float
    friction_torque: float  # at the crank [N·m]
    peak_to_mean_torque: float
    rated_speed: float  # [rad/s]
    inertia: float  # flywheel and crank [kg·m²]
    breather_area: float  # flow area [m²]
    head_heat_loss: float  # [W/K]
    head_heat_capacity: float  # [J/K]
    head_to_head: float  # between the two first-stage heads [W/K]
    second_head_heat_loss: float  # [W/K]
    fan_factor: float  # of the flywheel's cooling air [-]
    discharge_choke: float  # pressure lost in choked discharge valves at rated speed, over the pressure [-]
    intake_choke: float
    interstage_volume: (
        float  # intercooler and chambers [m³]; 1 on a single-stage pump, where nothing enters it
    )
    interstage_temperature: float  # of the air behind the intercooler [K]
    interstage_leak_area: float  # [m²]
    first_forward_area: float  # first-stage valves one behind the other [m²]
    forward_area: float  # second-stage valves one behind the other [m²]
    oil_pressure: float  # hot, at rated speed, in the present sense of turning; gauge [Pa]
