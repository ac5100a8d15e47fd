"""Relief valve on the receiver: pops at its set pressure, reseats lower."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator.compiled import law
from simulator.components.spec import check_positive, measured


@dataclass(frozen=True)
class ReliefValveSpec:
    """Set pressure, reseat pressure and stamped capacity."""

    set_pressure: float = measured("set_psig", "psi", "Pa")  # gauge
    reseat_pressure: float = measured("reseat_psig", "psi", "Pa")  # gauge
    capacity: float = measured("capacity_scfm", "cfm", "m³/s")  # free air, at 110 % of set

    def __post_init__(self) -> None:
        check_positive(reseat_pressure=self.reseat_pressure, capacity=self.capacity)
        if not self.reseat_pressure < self.set_pressure:
            raise ValueError("the relief's reseat pressure must be below its set pressure")


class ReliefValveParameters(NamedTuple):
    """The relief valve, faults included."""

    set_pressure: float  # gauge [Pa]
    reseat_pressure: float  # gauge [Pa]
    open_area: float  # flow area when popped [m²]
    leak_area: float  # flow area of the leaking seat [m²]


@law
def flow_area(relief: ReliefValveParameters, is_open: float) -> float:
    """Flow area to the room at this moment.

    Parameters
    ----------
    relief : ReliefValveParameters
        The valve, faults included.
    is_open : float
        1 after it has popped and before it reseats. [-]

    Returns
    -------
    float
        [m²]

    References
    ----------
    Pop action of a spring-loaded safety valve; common practice.
    """
    return relief.open_area if is_open > 0.5 else relief.leak_area
