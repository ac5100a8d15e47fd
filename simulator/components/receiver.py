"""Receiver: air, heat and water in the vessel."""

from dataclasses import dataclass
from typing import NamedTuple

from numba import njit

from simulator import air
from simulator.components.spec import check_positive, measured

WATER_DENSITY = 998.0


@dataclass(frozen=True)
class ReceiverSpec:
    """The vessel."""

    volume: float = measured("volume_L", "L", "m³")
    maximum_pressure: float = measured("mawp_psig", "psi", "Pa")  # gauge
    cooling_time_constant: float = measured("cooling_time_constant_s", "s", "s")
    mixing_heat_loss: float = measured("mixing_heat_loss_J_kgK", "J/(kg*K)", "J/(kg*K)")
    drain_diameter: float = measured("drain_diameter_mm", "mm", "m")

    def __post_init__(self) -> None:
        check_positive(volume=self.volume, maximum_pressure=self.maximum_pressure, drain=self.drain_diameter)


class ReceiverParameters(NamedTuple):
    """The receiver, faults included."""

    volume: float  # [m³]
    heat_loss: float  # of the air to wall and room at rest [W/K]
    mixing_heat_loss: float  # added by the entering jet, per mass flow [J/(kg·K)]
    leak_area: float  # shell and ports [m²]
    drain_leak_area: float  # [m²]
    drain_open_area: float  # [m²]


@njit(cache=True, forceinline=True, fastmath={"contract", "arcp", "reassoc", "nsz"})
def gas_volume(receiver: ReceiverParameters, water_mass: float) -> float:
    """Volume left to the air above the water.

    Parameters
    ----------
    receiver : ReceiverParameters
        The vessel.
    water_mass : float
        Standing at the bottom. [kg]

    Returns
    -------
    float
        [m³]

    References
    ----------
    Density of water, 998 kg/m³ at 20 °C (CRC Handbook, from memory).
    """
    return receiver.volume - water_mass / WATER_DENSITY


@njit(cache=True, forceinline=True, fastmath={"contract", "arcp", "reassoc", "nsz"})
def condensate_flow(
    air_flow: float, intake_humidity_ratio: float, receiver_temperature: float, receiver_pressure: float
) -> float:
    """Water that falls out of the air entering the receiver.

    Parameters
    ----------
    air_flow : float
        Dry air entering. [kg/s]
    intake_humidity_ratio : float
        Water over dry air at the intake. [-]
    receiver_temperature : float
        [K]
    receiver_pressure : float
        Absolute. [Pa]

    Returns
    -------
    float
        [kg/s]

    References
    ----------
    Humidity ratio 0.622 e/(p - e), ASHRAE Handbook Fundamentals, psychrometrics.
    """
    if air_flow <= 0.0:
        return 0.0
    kept = air.humidity_ratio(air.saturation_pressure(receiver_temperature), receiver_pressure)
    return air_flow * max(intake_humidity_ratio - kept, 0.0)
