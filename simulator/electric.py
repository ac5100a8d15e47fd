"""What the supply, the conductors and the motor plate say; the motor itself is a component."""

from math import pi, sqrt

from numba import njit

COPPER_OHM_CMIL_PER_FOOT = 10.371  # annealed copper at 20 °C
COPPER_PER_KELVIN = 0.00393  # rise of copper's resistance per kelvin above 20 °C [1/K]
COPPER_TEMPERATURE = 293.15  # at which the resistivity is given [K]
METRE_PER_FOOT = 0.3048
RPM = pi / 30.0  # one turn a minute [rad/s]


@njit(cache=True)
def synchronous_speed_rpm(frequency: float, poles: int) -> float:
    """Speed of the field of an a.c. motor.

    Parameters
    ----------
    frequency : float
        Of the supply. [Hz]
    poles : int
        2, 4, 6 ..

    Returns
    -------
    float
        [rpm]

    References
    ----------
    Definition: ``120·f/poles``.

    Examples
    --------
    >>> synchronous_speed_rpm(60.0, 4)
    1800.0
    """
    return 120.0 * frequency / poles


@njit(cache=True)
def slip(synchronous_speed_rpm: float, speed_rpm: float) -> float:
    """Share by which a motor turns slower than its field.

    Parameters
    ----------
    synchronous_speed_rpm : float
        Speed of the field. [rpm]
    speed_rpm : float
        Speed of the shaft. [rpm]

    Returns
    -------
    float
        0 at the field's speed, 1 at standstill. [-]

    References
    ----------
    Definition: ``(n_s - n)/n_s``.

    Examples
    --------
    >>> round(slip(1800.0, 1725.0), 4)
    0.0417
    """
    return (synchronous_speed_rpm - speed_rpm) / synchronous_speed_rpm


@njit(cache=True)
def torque(power: float, speed_rpm: float) -> float:
    """Torque of a shaft that hands on a power at a speed.

    Parameters
    ----------
    power : float
        [W]
    speed_rpm : float
        Not zero. [rpm]

    Returns
    -------
    float
        [N·m]

    References
    ----------
    Definition: ``T = P/ω``; the constant of the trade, 5252 lbf·ft·rpm per
    horsepower, is 33 000/(2·π).

    Examples
    --------
    >>> round(torque(2237.0, 3450.0), 3)
    6.192
    """
    return power / (speed_rpm * RPM)


@njit(cache=True)
def single_phase_power(voltage: float, current: float, power_factor: float) -> float:
    """Real power drawn from a single-phase supply.

    Parameters
    ----------
    voltage : float
        Across the load. [V]
    current : float
        [A]
    power_factor : float
        From 0 to 1. [-]

    Returns
    -------
    float
        [W]

    References
    ----------
    Definition: ``V·I·pf``.

    Examples
    --------
    >>> round(single_phase_power(230.0, 15.0, 0.9))
    3105
    """
    return voltage * current * power_factor


@njit(cache=True)
def three_phase_power(voltage: float, current: float, power_factor: float) -> float:
    """Real power drawn from a balanced three-phase supply.

    Parameters
    ----------
    voltage : float
        Between two lines. [V]
    current : float
        In each line. [A]
    power_factor : float
        From 0 to 1. [-]

    Returns
    -------
    float
        [W]

    References
    ----------
    Definition: ``sqrt(3)·V·I·pf``.

    Examples
    --------
    >>> round(three_phase_power(230.0, 15.2, 0.80))
    4844
    """
    return sqrt(3.0) * voltage * current * power_factor


@njit(cache=True)
def conductor_resistance(area_cmil: float, length: float, temperature: float) -> float:
    """Resistance of a solid copper conductor, one way.

    Parameters
    ----------
    area_cmil : float
        Square of the diameter in thousandths of an inch. [cmil]
    length : float
        [m]
    temperature : float
        Of the copper. [K]

    Returns
    -------
    float
        [Ω]

    References
    ----------
    10.371 Ω·cmil/ft at 20 °C and 0.00393 per kelvin, annealed copper; NFPA 70
    chapter 9, table 8 prints the same at 75 °C within half a per cent. A
    stranded conductor has about 2 per cent more.

    Examples
    --------
    >>> round(conductor_resistance(10_380.0, 304.8, 348.15), 3)
    1.215
    """
    warmth = 1.0 + COPPER_PER_KELVIN * (temperature - COPPER_TEMPERATURE)
    return COPPER_OHM_CMIL_PER_FOOT * warmth * length / (METRE_PER_FOOT * area_cmil)


@njit(cache=True)
def voltage_drop_single_phase(current: float, resistance: float) -> float:
    """Voltage lost in the two conductors of a single-phase run.

    Parameters
    ----------
    current : float
        [A]
    resistance : float
        Of one conductor, one way. [Ω]

    Returns
    -------
    float
        [V]

    References
    ----------
    Ohm's law, there and back: ``2·I·R``.

    Examples
    --------
    >>> round(voltage_drop_single_phase(28.0, 0.124), 3)
    6.944
    """
    return 2.0 * current * resistance


@njit(cache=True)
def locked_rotor_current(horsepower: float, kva_per_hp: float, voltage: float, phases: int) -> float:
    """Draw of a motor held still at full voltage, from its code letter.

    Parameters
    ----------
    horsepower : float
        As on the plate. [hp]
    kva_per_hp : float
        The figure behind the code letter. [kVA/hp]
    voltage : float
        [V]
    phases : int
        1 or 3.

    Returns
    -------
    float
        In each line. [A]

    Raises
    ------
    ValueError
        If there are neither one nor three phases.

    References
    ----------
    NEMA MG 1 10.37.2 (NFPA 70 table 430.7(B)): ``1000·hp·kVA/(V·sqrt(3))``,
    without the root for one phase.

    Examples
    --------
    >>> round(locked_rotor_current(5.0, 7.1, 230.0, 3), 1)
    89.1
    """
    if phases not in {1, 3}:
        raise ValueError("a motor has one phase or three")
    return 1000.0 * horsepower * kva_per_hp / (voltage * sqrt(phases))


@njit(cache=True)
def sheave_speed_rpm(driver_speed_rpm: float, driver_diameter: float, driven_diameter: float) -> float:
    """Speed of a sheave driven by a belt that does not slip.

    Parameters
    ----------
    driver_speed_rpm : float
        Of the sheave that drives. [rpm]
    driver_diameter : float
        Pitch diameter, not outside diameter. [m]
    driven_diameter : float
        Pitch diameter. [m]

    Returns
    -------
    float
        [rpm]

    References
    ----------
    Equal belt speed on both pitch circles; common practice.

    Examples
    --------
    >>> round(sheave_speed_rpm(1725.0, 0.08636, 0.3302), 2)
    451.15
    """
    return driver_speed_rpm * driver_diameter / driven_diameter
