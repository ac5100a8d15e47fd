"""Head chamber and head line: the small volume between reeds and check valve."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator.compiled import law
from simulator.components.spec import check_positive, measured


@dataclass(frozen=True)
class HeadLineSpec:
    """Tube and chamber."""

    tube_volume: float = measured("tube_volume_L", "L", "m³")
    head_chamber_volume: float = measured("head_chamber_volume_L", "L", "m³")
    bore: float = measured("bore_mm", "mm", "m")
    heat_loss: float = measured("heat_loss_W_K", "W/K", "W/K")
    heat_capacity: float = measured("heat_capacity_J_K", "J/K", "J/K")
    # Of the line's excess temperature, the share left at its tank end (common practice, no source).
    tank_end_share: float = 0.7

    def __post_init__(self) -> None:
        check_positive(
            tube_volume=self.tube_volume,
            bore=self.bore,
            heat_loss=self.heat_loss,
            heat_capacity=self.heat_capacity,
        )


class HeadLineParameters(NamedTuple):
    """The head line, faults included."""

    volume: float  # chamber and tube [m³]
    heat_loss: float  # to the room [W/K]
    heat_capacity: float  # of the tube [J/K]
    leak_area: float  # flow area to the room [m²]
    bore_area: float  # flow area left between pump and check valve [m²]
    joint_pressure: float  # at which the weakest joint begins to lift, gauge [Pa]
    joint_area: float  # flow area of the lifted joint [m²]
    tank_end_share: float  # of the line's excess temperature, left at its tank end [-]


# A joint that lifts is fully open this much above the pressure at which it begins (common practice, no source).
JOINT_BAND = 0.1


@law
def joint_leak_area(head_line: HeadLineParameters, gauge_pressure: float) -> float:
    """Flow area through the weakest joint, which the bolts no longer hold shut.

    Parameters
    ----------
    head_line : HeadLineParameters
        The line.
    gauge_pressure : float
        In the head line. [Pa]

    Returns
    -------
    float
        Nought below the joint's pressure. [m²]

    References
    ----------
    Bolted joint: no gap until the pressure force passes the bolts' preload, then in proportion; common practice.
    """
    over = gauge_pressure / head_line.joint_pressure - 1.0
    return head_line.joint_area * min(max(over / JOINT_BAND, 0.0), 1.0)


@law
def tank_end_temperature(
    head_line: HeadLineParameters, head_line_temperature: float, ambient_temperature: float
) -> float:
    """Temperature of the air as it enters the receiver.

    Parameters
    ----------
    head_line : HeadLineParameters
        The line.
    head_line_temperature : float
        Mean of the line. [K]
    ambient_temperature : float
        [K]

    Returns
    -------
    float
        [K]

    References
    ----------
    Common practice, no source.
    """
    return ambient_temperature + head_line.tank_end_share * (head_line_temperature - ambient_temperature)
