"""What air is: an ideal gas that carries water, and the atmosphere it comes from."""

import math

from simulator.compiled import law

GAS_CONSTANT = 287.05287  # dry air [J/(kg·K)], ISO 2533:1975
GAMMA = 1.4  # ratio of the specific heats of dry air [-]
CP = GAMMA * GAS_CONSTANT / (GAMMA - 1.0)  # specific heat at constant pressure [J/(kg·K)]
CV = GAS_CONSTANT / (GAMMA - 1.0)  # specific heat at constant volume [J/(kg·K)]
STANDARD_PRESSURE = 101_325.0  # [Pa]
STANDARD_TEMPERATURE = 288.15  # of the standard atmosphere at sea level [K]
FREE_AIR_TEMPERATURE = 293.15  # of the air that free air delivered is counted in [K]
FREE_AIR_DENSITY = STANDARD_PRESSURE / (GAS_CONSTANT * FREE_AIR_TEMPERATURE)  # [kg/m³]

LAPSE_RATE = 0.0065  # cooling per geopotential metre below 11 km [K/m]
PRESSURE_EXPONENT = 5.255876  # g0/(R·lapse rate) [-]
EARTH_RADIUS = 6_356_766.0  # of the standard atmosphere's geopotential [m]
LOWEST_ALTITUDE = -1_000.0  # the shaft of a mine [m]
HIGHEST_ALTITUDE = 11_000.0  # the lapse rate ends here [m]
FREEZING_POINT = 273.15  # [K]
WATER_TO_DRY_AIR = 0.62198  # ratio of the molar masses [-]


@law
def density(absolute_pressure: float, temperature: float) -> float:
    """Density of dry air as an ideal gas.

    Parameters
    ----------
    absolute_pressure : float
        Pressure of the air, not of a gauge. [Pa]
    temperature : float
        [K]

    Returns
    -------
    float
        Mass per volume. [kg/m³]

    References
    ----------
    ISO 2533:1975, Standard Atmosphere (gas constant of dry air).

    Examples
    --------
    >>> round(density(101_325.0, 288.15), 4)
    1.225
    """
    return absolute_pressure / (GAS_CONSTANT * temperature)


@law
def standard_temperature(altitude: float) -> float:
    """Temperature of the standard atmosphere at a height above the sea.

    Parameters
    ----------
    altitude : float
        Geometric height, as a map gives it; from -1000 m to 11 000 m. [m]

    Returns
    -------
    float
        [K]

    Raises
    ------
    ValueError
        If the height lies outside the layer that this law describes.

    References
    ----------
    ISO 2533:1975 and US Standard Atmosphere, 1976: linear lapse over the
    geopotential height ``H = r·z/(r + z)``.

    Examples
    --------
    >>> round(standard_temperature(2000.0), 2)
    275.15
    """
    if not LOWEST_ALTITUDE <= altitude <= HIGHEST_ALTITUDE:
        raise ValueError("altitude is outside -1000 m to 11000 m")
    geopotential = EARTH_RADIUS * altitude / (EARTH_RADIUS + altitude)
    return STANDARD_TEMPERATURE - LAPSE_RATE * geopotential


@law
def standard_pressure(altitude: float) -> float:
    """Pressure of the standard atmosphere at a height above the sea.

    Parameters
    ----------
    altitude : float
        Geometric height, as a map gives it; from -1000 m to 11 000 m. [m]

    Returns
    -------
    float
        Absolute pressure. [Pa]

    Raises
    ------
    ValueError
        If the height lies outside the layer that this law describes.

    References
    ----------
    ISO 2533:1975 and US Standard Atmosphere, 1976:
    ``p = p0·(T/T0)**5.255876``.

    Examples
    --------
    >>> round(standard_pressure(1500.0))
    84560
    """
    ratio: float = standard_temperature(altitude) / STANDARD_TEMPERATURE
    return STANDARD_PRESSURE * math.pow(ratio, PRESSURE_EXPONENT)


@law
def saturation_pressure(temperature: float) -> float:
    """Vapour pressure of water over liquid, the most that air can hold.

    Parameters
    ----------
    temperature : float
        From 0 °C to 80 °C the law holds within a tenth of a per cent. [K]

    Returns
    -------
    float
        Partial pressure of the vapour. [Pa]

    References
    ----------
    Buck, A. L. (1981, revised 1996): ``e = 611.21·exp((18.678 - t/234.5)·t/(257.14 + t))``
    with t in °C.

    Examples
    --------
    >>> round(saturation_pressure(293.15))
    2338
    """
    celsius = temperature - FREEZING_POINT
    return 611.21 * math.exp((18.678 - celsius / 234.5) * celsius / (257.14 + celsius))


@law
def humidity_ratio(vapour_pressure: float, absolute_pressure: float) -> float:
    """Water carried by a kilogram of dry air.

    Parameters
    ----------
    vapour_pressure : float
        Partial pressure of the water vapour. [Pa]
    absolute_pressure : float
        Of the moist air, above the vapour pressure. [Pa]

    Returns
    -------
    float
        Mass of water per mass of dry air. [kg/kg]

    Raises
    ------
    ValueError
        If the vapour alone would need the whole pressure.

    References
    ----------
    ASHRAE Handbook Fundamentals, psychrometrics chapter:
    ``w = 0.62198·e/(p - e)``.

    Examples
    --------
    >>> round(humidity_ratio(2338.8, 101_325.0), 5)
    0.0147
    """
    if vapour_pressure >= absolute_pressure:
        raise ValueError("vapour pressure is not below the pressure of the air")
    return WATER_TO_DRY_AIR * vapour_pressure / (absolute_pressure - vapour_pressure)
