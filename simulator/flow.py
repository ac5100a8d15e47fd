"""How much air passes an opening, and how much water a drain."""

import math

from simulator.air import GAMMA, GAS_CONSTANT
from simulator.compiled import law

LEAK_COEFFICIENT = 0.8  # between a sharp edge (0.61) and a well-rounded hole (0.97); common practice [-]
CRITICAL_RATIO = math.pow(2.0 / (GAMMA + 1.0), GAMMA / (GAMMA - 1.0))  # below it the flow is choked [-]
LAMINAR_RATIO = 0.999  # above it the square-root law gives way to one of finite slope [-]
LAMINAR_DROP = 100.0  # the same for a liquid: ten millimetres of water [Pa]

_SPEED_EXPONENT = (GAMMA - 1.0) / GAMMA
_CHOKED = math.sqrt(GAMMA / GAS_CONSTANT) * math.pow(
    2.0 / (GAMMA + 1.0), (GAMMA + 1.0) / (2.0 * (GAMMA - 1.0))
)
_SUBSONIC = math.sqrt(2.0 * GAMMA / ((GAMMA - 1.0) * GAS_CONSTANT))
_JOINT_TEMPERATURE_RATIO = math.pow(LAMINAR_RATIO, _SPEED_EXPONENT)
_JOINT = _SUBSONIC * math.sqrt(_JOINT_TEMPERATURE_RATIO**5 * (1.0 - _JOINT_TEMPERATURE_RATIO))
# Logarithmic slope of the nozzle law at the joint over 1 - ratio; the parabola takes it over unbroken.
_JOINT_SLOPE = (
    -(1.0 - LAMINAR_RATIO)
    / LAMINAR_RATIO
    * 0.5
    * _SPEED_EXPONENT
    * (5.0 - 6.0 * _JOINT_TEMPERATURE_RATIO)
    / (1.0 - _JOINT_TEMPERATURE_RATIO)
)


@law
def disc_area(diameter: float) -> float:
    """Area of a round opening.

    Parameters
    ----------
    diameter : float
        [m]

    Returns
    -------
    float
        [m²]

    References
    ----------
    Geometry: ``π·d²/4``.

    Examples
    --------
    >>> round(disc_area(0.002) * 1e6, 4)
    3.1416
    """
    return math.pi * diameter * diameter / 4.0


@law
def orifice_mass_flow(
    flow_area: float, upstream_pressure: float, upstream_temperature: float, downstream_pressure: float
) -> float:
    """Mass flow of air forward through an opening, choked or not.

    The isentropic nozzle law, with one power for the whole of it because 2/k
    and (k + 1)/k are five and six times (k - 1)/k at k = 1.4. Its slope grows
    without bound as the pressures meet; above a ratio of 0.999 a parabola
    through the origin takes over with the same value and slope, so that a
    solver sees a smooth law with a finite slope.

    Parameters
    ----------
    flow_area : float
        Area times discharge coefficient. [m²]
    upstream_pressure : float
        Absolute. [Pa]
    upstream_temperature : float
        [K]
    downstream_pressure : float
        Absolute. [Pa]

    Returns
    -------
    float
        Never negative; zero where the downstream pressure is the higher. [kg/s]

    References
    ----------
    Isentropic nozzle law of any gas-dynamics text; for choked flow
    ``m = C·A·p1·sqrt(k/(R·T1))·(2/(k + 1))**((k + 1)/(2·(k - 1)))``. The linear
    neighbourhood of equal pressures is the habit of simulation after ISO 6358.

    Examples
    --------
    >>> round(orifice_mass_flow(1e-6, 800_000.0, 293.15, 101_325.0) * 1e3, 4)
    1.8884
    """
    if downstream_pressure >= upstream_pressure or flow_area <= 0.0:
        return 0.0
    driven = flow_area * upstream_pressure / math.sqrt(upstream_temperature)
    ratio = downstream_pressure / upstream_pressure
    if ratio <= CRITICAL_RATIO:
        return driven * _CHOKED
    if ratio >= LAMINAR_RATIO:
        nearness = (1.0 - ratio) / (1.0 - LAMINAR_RATIO)
        return driven * _JOINT * nearness * (2.0 - _JOINT_SLOPE - (1.0 - _JOINT_SLOPE) * nearness)
    temperature_ratio = math.pow(ratio, _SPEED_EXPONENT)
    fourth = temperature_ratio * temperature_ratio
    fourth *= fourth
    return driven * _SUBSONIC * math.sqrt(fourth * temperature_ratio * (1.0 - temperature_ratio))


@law
def two_way_mass_flow(
    flow_area: float, pressure_a: float, temperature_a: float, pressure_b: float, temperature_b: float
) -> float:
    """Mass flow of air between two spaces, counted from a to b.

    Parameters
    ----------
    flow_area : float
        Area times discharge coefficient, alike both ways. [m²]
    pressure_a : float
        Absolute. [Pa]
    temperature_a : float
        [K]
    pressure_b : float
        Absolute. [Pa]
    temperature_b : float
        [K]

    Returns
    -------
    float
        Negative when the air goes from b to a. [kg/s]

    References
    ----------
    As `orifice_mass_flow`, from the side of the higher pressure.

    Examples
    --------
    >>> round(two_way_mass_flow(1e-6, 101_325.0, 293.15, 800_000.0, 293.15) * 1e3, 4)
    -1.8884
    """
    flow: float
    if pressure_a >= pressure_b:
        flow = orifice_mass_flow(flow_area, pressure_a, temperature_a, pressure_b)
        return flow
    flow = orifice_mass_flow(flow_area, pressure_b, temperature_b, pressure_a)
    return -flow


@law
def series_area(area_1: float, area_2: float) -> float:
    """Flow area of two openings one behind the other.

    Exact for small pressure drops, where the drops of the two add with the
    square of the flow; a few per cent off where the first of them is choked.

    Parameters
    ----------
    area_1 : float
        Flow area. [m²]
    area_2 : float
        Flow area. [m²]

    Returns
    -------
    float
        Flow area that passes as much as both together. [m²]

    References
    ----------
    Common practice: ``1/A² = 1/A1² + 1/A2²``.

    Examples
    --------
    >>> round(series_area(3e-6, 4e-6) * 1e6, 3)
    2.4
    """
    if area_1 <= 0.0 or area_2 <= 0.0:
        return 0.0
    return area_1 * area_2 / math.sqrt(area_1 * area_1 + area_2 * area_2)


@law
def liquid_mass_flow(flow_area: float, pressure_drop: float, density: float) -> float:
    """Mass flow of a liquid forward through an opening.

    Below a hundred pascals a parabola of the same value and slope takes over,
    so that the slope stays finite where the pressures meet.

    Parameters
    ----------
    flow_area : float
        Area times discharge coefficient. [m²]
    pressure_drop : float
        Upstream less downstream pressure. [Pa]
    density : float
        Of the liquid. [kg/m³]

    Returns
    -------
    float
        Never negative; zero where the drop is not positive. [kg/s]

    References
    ----------
    Bernoulli's law, ``m = C·A·sqrt(2·rho·dp)``.

    Examples
    --------
    >>> round(liquid_mass_flow(1e-6, 800_000.0, 998.0), 5)
    0.03996
    """
    if pressure_drop <= 0.0 or flow_area <= 0.0:
        return 0.0
    if pressure_drop >= LAMINAR_DROP:
        return flow_area * math.sqrt(2.0 * density * pressure_drop)
    nearness = pressure_drop / LAMINAR_DROP
    return flow_area * math.sqrt(2.0 * density * LAMINAR_DROP) * nearness * (1.5 - 0.5 * nearness)
