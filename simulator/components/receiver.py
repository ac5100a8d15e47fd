"""Receiver: air, heat and water in the vessel."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator import air
from simulator.compiled import law
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
    wall_new: float = measured("wall_new_mm", "mm", "m")
    # Teaching figure; the legal minimum comes from the vessel's data and an authorised inspector.
    wall_retire: float = measured("wall_retire_mm", "mm", "m")

    def __post_init__(self) -> None:
        check_positive(volume=self.volume, maximum_pressure=self.maximum_pressure, drain=self.drain_diameter)
        if not 0.0 < self.wall_retire < self.wall_new:
            raise ValueError(
                f"the wall to retire at ({self.wall_retire * 1000:g} mm) must be thinner than the new wall"
                f" ({self.wall_new * 1000:g} mm)"
            )


class ReceiverParameters(NamedTuple):
    """The receiver, faults included."""

    volume: float  # [m³]
    heat_loss: float  # of the air to wall and room at rest [W/K]
    mixing_heat_loss: float  # added by the entering jet, per mass flow [J/(kg·K)]
    leak_area: float  # shell and ports [m²]
    drain_leak_area: float  # [m²]
    drain_open_area: float  # [m²]
    standing_water: float  # at the bottom when work begins [kg]
    over_pressure: float  # above which it stands higher than a sound relief lets it, gauge [Pa]


@law
def vapour_ratio(volume: float, air_mass: float, temperature: float) -> float:
    """Water vapour that air of a receiver can hold, over the mass of dry air.

    Parameters
    ----------
    volume : float
        Of the receiver. [m³]
    air_mass : float
        [kg]
    temperature : float
        [K]

    Returns
    -------
    float
        [-]

    References
    ----------
    Humidity ratio of saturated air, ASHRAE Handbook Fundamentals, psychrometrics, written with the partial
    pressure of the air, so that it stands for any temperature.
    """
    air_pressure = air_mass * air.GAS_CONSTANT * temperature / volume
    return 0.62198 * air.saturation_pressure(temperature) / air_pressure


@law
def liquid_water(volume: float, water_mass: float, air_mass: float, temperature: float) -> float:
    """Water that stands at the bottom: all of it less what the air holds as vapour.

    Parameters
    ----------
    volume : float
        Of the receiver. [m³]
    water_mass : float
        Vapour and liquid. [kg]
    air_mass : float
        [kg]
    temperature : float
        [K]

    Returns
    -------
    float
        [kg]

    References
    ----------
    See `vapour_ratio`; liquid and vapour are taken as in balance.
    """
    return max(water_mass - air_mass * vapour_ratio(volume, air_mass, temperature), 0.0)
