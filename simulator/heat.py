"""What compression does to air: how hot it gets, how much work it takes, how much of the stroke is used."""

import math

from numba import njit

from simulator.air import CP, GAMMA


@njit(cache=True)
def discharge_temperature(inlet_temperature: float, pressure_ratio: float, exponent: float) -> float:
    """Temperature of air after compression along a polytropic path.

    Parameters
    ----------
    inlet_temperature : float
        [K]
    pressure_ratio : float
        Absolute discharge pressure over absolute inlet pressure. [-]
    exponent : float
        1.4 for an adiabatic path, less where heat is lost on the way. [-]

    Returns
    -------
    float
        [K]

    References
    ----------
    Machinery's Handbook, 31st ed., air compression:
    ``T2 = T1·(p2/p1)**((n - 1)/n)``.

    Examples
    --------
    >>> round(discharge_temperature(294.26, 7.8027, 1.4), 1)
    529.2
    """
    return inlet_temperature * math.pow(pressure_ratio, (exponent - 1.0) / exponent)


@njit(cache=True)
def compression_work(inlet_temperature: float, pressure_ratio: float) -> float:
    """Isentropic work to compress and deliver a kilogram of air in one stage.

    Parameters
    ----------
    inlet_temperature : float
        [K]
    pressure_ratio : float
        Absolute discharge pressure over absolute inlet pressure. [-]

    Returns
    -------
    float
        Work per mass. [J/kg]

    References
    ----------
    Machinery's Handbook, 31st ed., air compression, per mass:
    ``cp·T1·((p2/p1)**((k - 1)/k) - 1)``.

    Examples
    --------
    >>> round(compression_work(293.15, 8.0) / 1000.0, 1)
    239.0
    """
    return CP * inlet_temperature * (math.pow(pressure_ratio, (GAMMA - 1.0) / GAMMA) - 1.0)


@njit(cache=True)
def volumetric_efficiency(clearance_ratio: float, pressure_ratio: float, expansion_exponent: float) -> float:
    """Share of the swept volume that takes in fresh air.

    The air left in the clearance expands first and fills the rest. At a high
    enough ratio it fills the whole stroke and nothing is taken in.

    Parameters
    ----------
    clearance_ratio : float
        Clearance volume over swept volume. [-]
    pressure_ratio : float
        Absolute discharge pressure over absolute inlet pressure. [-]
    expansion_exponent : float
        Of the clearance air as it expands. [-]

    Returns
    -------
    float
        From 0 to 1. [-]

    References
    ----------
    Eastop and McConkey, Applied Thermodynamics, reciprocating compressors:
    ``1 + c - c·(p2/p1)**(1/n)``.

    Examples
    --------
    >>> round(volumetric_efficiency(0.05, 7.0 / 1.013, 1.3), 3)
    0.829
    """
    share = 1.0 + clearance_ratio - clearance_ratio * math.pow(pressure_ratio, 1.0 / expansion_exponent)
    return min(1.0, max(0.0, share))


@njit(cache=True)
def polytropic_power(
    inlet_pressure: float, volume_flow: float, discharge_pressure: float, stages: int, exponent: float
) -> float:
    """Power, as indicated, to compress free air with perfect cooling between stages.

    Parameters
    ----------
    inlet_pressure : float
        Absolute. [Pa]
    volume_flow : float
        Taken in, at the conditions of the inlet. [m³/s]
    discharge_pressure : float
        Absolute. [Pa]
    stages : int
        1 or more, of equal pressure ratio.
    exponent : float
        Of the compression; 1 is the isothermal path. [-]

    Returns
    -------
    float
        [W]

    References
    ----------
    Machinery's Handbook, 31st ed., air compression:
    ``N·p1·V·n/(n - 1)·((p2/p1)**((n - 1)/(N·n)) - 1)``.

    Examples
    --------
    >>> round(polytropic_power(101_300.0, 1.0 / 60.0, 700_000.0, 1, 1.35))
    4237
    """
    ratio = discharge_pressure / inlet_pressure
    if exponent == 1.0:
        return inlet_pressure * volume_flow * math.log(ratio)
    lift = math.pow(ratio, (exponent - 1.0) / (stages * exponent)) - 1.0
    return stages * inlet_pressure * volume_flow * exponent / (exponent - 1.0) * lift


@njit(cache=True)
def adiabatic_power(
    inlet_pressure: float, volume_flow: float, discharge_pressure: float, stages: int
) -> float:
    """Theoretical power to compress free air without loss of heat in the cylinder.

    Parameters
    ----------
    inlet_pressure : float
        Absolute. [Pa]
    volume_flow : float
        Taken in, at the conditions of the inlet. [m³/s]
    discharge_pressure : float
        Absolute. [Pa]
    stages : int
        1 or more, of equal pressure ratio, cooled to the inlet's temperature in between.

    Returns
    -------
    float
        [W]

    References
    ----------
    Machinery's Handbook, 31st ed., tables 36 and 37.

    Examples
    --------
    100 cubic feet a minute to 100 psi by the gauge:

    >>> round(adiabatic_power(101_353.0, 0.0471947, 790_829.0, 1) / 745.6999, 2)
    17.93
    """
    power: float = polytropic_power(inlet_pressure, volume_flow, discharge_pressure, stages, GAMMA)
    return power


@njit(cache=True)
def interstage_pressure(inlet_pressure: float, discharge_pressure: float) -> float:
    """Pressure between two stages that shares the work evenly.

    Parameters
    ----------
    inlet_pressure : float
        Absolute. [Pa]
    discharge_pressure : float
        Absolute. [Pa]

    Returns
    -------
    float
        Absolute. [Pa]

    References
    ----------
    Machinery's Handbook, 31st ed., table 37: ``sqrt(p1·p2)``.

    Examples
    --------
    >>> round(interstage_pressure(101_325.0, 1_307_900.0))
    364037
    """
    return math.sqrt(inlet_pressure * discharge_pressure)
