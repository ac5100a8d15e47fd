"""Check valve at the receiver's inlet."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator import flow
from simulator.compiled import law
from simulator.components.spec import check_positive, measured


@dataclass(frozen=True)
class CheckValveSpec:
    """Disc on a light spring."""

    forward_diameter: float = measured("forward_diameter_mm", "mm", "m")
    crack_pressure: float = measured("crack_psi", "psi", "Pa")

    def __post_init__(self) -> None:
        check_positive(forward_diameter=self.forward_diameter, crack_pressure=self.crack_pressure)


class CheckValveParameters(NamedTuple):
    """The check valve, faults included."""

    forward_area: float  # flow area fully open [m²]
    crack_pressure: float  # [Pa]
    leak_area: float  # flow area of the shut valve, backwards [m²]
    back_area: (
        float  # flow area that opens backwards: of a valve fitted the wrong way round or left empty [m²]
    )


@law
def lifted(pressure_drop: float, crack_pressure: float) -> float:
    """Share of its lift that a light disc or reed has taken.

    Parameters
    ----------
    pressure_drop : float
        Across the valve, in its forward sense. [Pa]
    crack_pressure : float
        Round which it lifts. [Pa]

    Returns
    -------
    float
        From 0 to 1, smooth. [-]

    References
    ----------
    Lift in proportion to pressure above crack, common practice, no source.
    """
    share = min(max((pressure_drop / crack_pressure - 0.6) / 1.2, 0.0), 1.0)
    return share * share * (3.0 - 2.0 * share)


@law
def mass_flow(
    check: CheckValveParameters,
    head_pressure: float,
    head_temperature: float,
    receiver_pressure: float,
    receiver_temperature: float,
    bore_area: float,
) -> float:
    """Flow from the head line into the receiver; negative when the valve leaks back.

    The disc lifts over a band round the crack pressure, smoothly.

    Parameters
    ----------
    check : CheckValveParameters
        The valve, faults included.
    head_pressure : float
        In the head line, absolute. [Pa]
    head_temperature : float
        In the head line. [K]
    receiver_pressure : float
        Absolute. [Pa]
    receiver_temperature : float
        [K]
    bore_area : float
        Flow area of the head line before the valve. [m²]

    Returns
    -------
    float
        [kg/s]

    References
    ----------
    Nozzle law of `simulator.flow`, line and valve one behind the other.
    """
    difference = head_pressure - receiver_pressure
    if difference <= 0.0:
        back = check.leak_area + check.back_area * lifted(-difference, check.crack_pressure)
        return -flow.orifice_mass_flow(
            flow.series_area(back, bore_area), receiver_pressure, receiver_temperature, head_pressure
        )
    area = check.leak_area + check.forward_area * lifted(difference, check.crack_pressure)
    return flow.orifice_mass_flow(
        flow.series_area(area, bore_area), head_pressure, head_temperature, receiver_pressure
    )
