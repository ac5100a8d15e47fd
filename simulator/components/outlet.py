"""Outlet valve, regulator, shop line and what the shop draws."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator import flow
from simulator.compiled import law
from simulator.components.spec import check_positive, measured


@dataclass(frozen=True)
class OutletSpec:
    """Regulator and shop line."""

    regulator_set: float = measured("regulator_set_psig", "psi", "Pa")  # gauge
    regulator_droop: float = measured("regulator_droop_psi", "psi", "Pa")
    regulator_diameter: float = measured("regulator_diameter_mm", "mm", "m")
    shop_line_volume: float = measured("shop_line_volume_L", "L", "m³")

    def __post_init__(self) -> None:
        check_positive(regulator_set=self.regulator_set, shop_line_volume=self.shop_line_volume)


class OutletParameters(NamedTuple):
    """The outlet side, faults included."""

    regulator_set: float  # gauge [Pa]
    regulator_droop: float  # fall of line pressure from no flow to full opening [Pa]
    regulator_area: float  # flow area fully open [m²]
    line_volume: float  # [m³]
    demand_area: float  # flow area of the tools in use, averaged [m²]
    leak_area: float  # of hoses and couplers [m²]


@law
def regulator_flow(
    outlet: OutletParameters,
    receiver_pressure: float,
    receiver_temperature: float,
    line_pressure: float,
    ambient_pressure: float,
) -> float:
    """Air passed by the regulator into the shop line, outlet valve open.

    Parameters
    ----------
    outlet : OutletParameters
        The outlet side.
    receiver_pressure : float
        Absolute. [Pa]
    receiver_temperature : float
        [K]
    line_pressure : float
        In the shop line, absolute. [Pa]
    ambient_pressure : float
        [Pa]

    Returns
    -------
    float
        [kg/s]

    References
    ----------
    Diaphragm regulator opening in proportion to the fall below its setting; common practice.
    """
    wanted = ambient_pressure + outlet.regulator_set
    opening = min(max((wanted - line_pressure) / outlet.regulator_droop, 0.0), 1.0)
    return flow.orifice_mass_flow(
        outlet.regulator_area * opening, receiver_pressure, receiver_temperature, line_pressure
    )
