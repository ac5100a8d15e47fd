"""Outlet valve, regulator, shop line and what the shop draws."""

import math
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
    hose_bore: float = measured("hose_bore_mm", "mm", "m")
    regulator: str = "relieving"

    def __post_init__(self) -> None:
        check_positive(
            regulator_set=self.regulator_set, shop_line_volume=self.shop_line_volume, hose_bore=self.hose_bore
        )
        if self.regulator not in ("relieving", "non-relieving"):
            raise ValueError(f"regulator '{self.regulator}' is not relieving or non-relieving")


class OutletParameters(NamedTuple):
    """The outlet side, faults included."""

    regulator_set: float  # gauge [Pa]
    regulator_droop: float  # fall of line pressure from no flow to full opening [Pa]
    regulator_area: float  # flow area fully open [m²]
    line_volume: float  # [m³]
    demand_area: float  # flow area of the tools in use, averaged [m²]
    leak_area: float  # of hoses and couplers [m²]
    hose_area: float  # flow area of filter, hose and couplers to the tool [m²]
    tool_area: float  # flow area of one tool held open [m²]
    creep_area: float  # flow area of a regulator seat that does not shut [m²]
    bonnet_area: float  # flow area of a relieving regulator's bonnet, fully lifted [m²]


# A relieving regulator vents from this share of its setting above it, fully after as much again.
# Common practice, no source.
RELIEVING_BAND = 0.08
_B, _B1 = 0.528, 0.472  # pressure ratio of choked flow of air, and what is left to one


@law
def tool_pressure_ratio(tool_area: float, hose_area: float) -> float:
    """Absolute pressure at a tool that flows choked, over the pressure before hose and couplers.

    Parameters
    ----------
    tool_area : float
        Flow area of the tool. [m²]
    hose_area : float
        Flow area of what lies between. [m²]

    Returns
    -------
    float
        [-]

    References
    ----------
    ISO 6358 ellipse for the hose, with a critical pressure ratio of 0.528, in balance with choked flow at the
    tool: a quadratic in the ratio.
    """
    if tool_area <= 0.0:
        return 1.0
    square = tool_area / hose_area
    square = square * square
    a = 1.0 + square * _B1 * _B1
    c = _B * _B - _B1 * _B1
    ratio = (_B + math.sqrt(max(_B * _B - a * c, 0.0))) / a
    return min(ratio, 1.0) if ratio > _B else hose_area / tool_area


@law
def bonnet_area(outlet: OutletParameters, line_gauge_pressure: float) -> float:
    """Flow area through which a relieving regulator lets its line down.

    Parameters
    ----------
    outlet : OutletParameters
        The outlet side.
    line_gauge_pressure : float
        In the shop line. [Pa]

    Returns
    -------
    float
        [m²]

    References
    ----------
    Diaphragm lifting off its vent above the setting; common practice, no source.
    """
    over = line_gauge_pressure / outlet.regulator_set - 1.0 - RELIEVING_BAND
    return outlet.bonnet_area * min(max(over / RELIEVING_BAND, 0.0), 1.0)


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
        outlet.regulator_area * opening + outlet.creep_area,
        receiver_pressure,
        receiver_temperature,
        line_pressure,
    )
