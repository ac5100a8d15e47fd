"""Head chamber and head line: the small volume between reeds and check valve."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator.compiled import law
from simulator.components.spec import check_positive, measured

# Share of the head line's excess temperature left at its tank end, as a contact thermometer finds it
# (common practice, no source).
TANK_END_SHARE = 0.7


@dataclass(frozen=True)
class HeadLineSpec:
    """Tube and chamber."""

    tube_volume: float = measured("tube_volume_L", "L", "m³")
    head_chamber_volume: float = measured("head_chamber_volume_L", "L", "m³")
    heat_loss: float = measured("heat_loss_W_K", "W/K", "W/K")
    heat_capacity: float = measured("heat_capacity_J_K", "J/K", "J/K")

    def __post_init__(self) -> None:
        check_positive(
            tube_volume=self.tube_volume, heat_loss=self.heat_loss, heat_capacity=self.heat_capacity
        )


class HeadLineParameters(NamedTuple):
    """The head line, faults included."""

    volume: float  # chamber and tube [m³]
    heat_loss: float  # to the room [W/K]
    heat_capacity: float  # of the tube [J/K]
    leak_area: float  # flow area to the room [m²]


@law
def tank_end_temperature(head_line_temperature: float, ambient_temperature: float) -> float:
    """Temperature of the air as it enters the receiver.

    Parameters
    ----------
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
    return ambient_temperature + TANK_END_SHARE * (head_line_temperature - ambient_temperature)
