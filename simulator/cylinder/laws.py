"""Laws of one cylinder through the turn: piston, reeds, heat to the wall."""

import math

from simulator import air
from simulator.compiled import law

PRANDTL = 0.71  # of air, nearly constant over the range used [-]
VISCOSITY_0 = 1.716e-5  # of air at 273.15 K [Pa·s]
VISCOSITY_EXPONENT = 0.7  # of air's viscosity over temperature, within 4 % from 250 K to 500 K [-]
WALL_COEFFICIENT = 0.7  # Annand's a [-]
WALL_EXPONENT = 0.7  # Annand's b [-]


@law
def piston_travel(angle: float, crank_radius: float, rod_ratio: float) -> tuple[float, float]:
    """How far the piston stands below top dead centre, and how fast that grows with the angle.

    Parameters
    ----------
    angle : float
        Of the crank from top dead centre. [rad]
    crank_radius : float
        Half the stroke. [m]
    rod_ratio : float
        Crank radius over the length of the rod. [-]

    Returns
    -------
    tuple of float
        Travel and travel per angle. [m and m/rad]

    References
    ----------
    Geometry of the slider crank, any text on mechanisms.

    Examples
    --------
    >>> round(piston_travel(3.141592653589793, 0.0254, 0.25)[0], 6)
    0.0508
    """
    sine, cosine = math.sin(angle), math.cos(angle)
    lean = rod_ratio * sine
    upright = math.sqrt(1.0 - lean * lean)
    travel = crank_radius * (1.0 - cosine + (1.0 - upright) / rod_ratio)
    return travel, crank_radius * sine * (1.0 + rod_ratio * cosine / upright)


@law
def reed_flow_area(lift: float, stop_lift: float, port_area: float, coefficient: float) -> float:
    """Flow area of a reed valve at a lift.

    Port and gap round the reed lie one behind the other; at the stop the gap is as large as the port.

    Parameters
    ----------
    lift : float
        Of the reed from its seat. [m]
    stop_lift : float
        Where the stop holds it. [m]
    port_area : float
        Of the port under the reed. [m²]
    coefficient : float
        Of discharge. [-]

    Returns
    -------
    float
        Discharge coefficient included. [m²]

    References
    ----------
    Openings in series, `simulator.flow.series_area`; a gap as large as the port at full lift is common
    practice, no source.

    Examples
    --------
    >>> round(reed_flow_area(0.002, 0.002, 1e-4, 1.0) * 1e6, 2)
    70.71
    """
    gap = lift / stop_lift
    return coefficient * port_area * gap / math.sqrt(1.0 + gap * gap)


@law
def wall_heat_coefficient(density: float, temperature: float, piston_speed: float, bore: float) -> float:
    """Heat that passes from gas to wall for each area and each kelvin.

    Parameters
    ----------
    density : float
        Of the gas. [kg/m³]
    temperature : float
        Of the gas. [K]
    piston_speed : float
        Mean over the turn. [m/s]
    bore : float
        [m]

    Returns
    -------
    float
        [W/(m²·K)]

    References
    ----------
    W. J. D. Annand, Heat transfer in the cylinders of reciprocating internal combustion engines, Proc. IMechE
    177 (1963), without its radiation term: ``h = a·k/B·Re**b`` with a = 0.35 to 0.8 and b = 0.7; also the usual
    law for small compressors. From memory. Viscosity of air by a power law, from memory.

    Examples
    --------
    >>> round(wall_heat_coefficient(1.2, 293.15, 1.8, 0.07))
    68
    """
    viscosity = VISCOSITY_0 * math.pow(temperature / 273.15, VISCOSITY_EXPONENT)
    conductivity = air.CP * viscosity / PRANDTL
    reynolds = density * piston_speed * bore / viscosity
    return WALL_COEFFICIENT * conductivity / bore * math.pow(reynolds, WALL_EXPONENT)


@law
def filter_mass_flow(drop_coefficient: float, pressure_drop: float) -> float:
    """Mass flow through the filter element, in the direction of the drop.

    Parameters
    ----------
    drop_coefficient : float
        Pressure drop over mass flow squared. [Pa·s²/kg²]
    pressure_drop : float
        Of either sign. [Pa]

    Returns
    -------
    float
        Of the drop's sign. [kg/s]

    References
    ----------
    Drop proportional to flow squared, common practice, no source; of finite slope below thirty pascals.

    Examples
    --------
    >>> round(filter_mass_flow(4e6, 400.0), 5)
    0.00994
    """
    return pressure_drop / math.sqrt(drop_coefficient * (abs(pressure_drop) + 30.0))
