"""Induction motor on its supply: torque, current and power against speed, its heat and its protector."""

import math
from typing import NamedTuple

from simulator.compiled import law
from simulator.components.motor import MotorParameters

# Cooling of the standing motor over that of the running one (common practice, no source).
STANDING_COOLING_SHARE = 1.0 / 3.0
# Magnetising current rises steeply when the iron is driven past its rated flux (common practice, no source).
SATURATION = 5.0
# More current a capacitor-run motor draws once its running capacitor is open (common practice, no source).
RUN_WINDING_EXCESS = 0.15


class Connected(NamedTuple):
    """What the motor does on its supply at one instant."""

    torque: float  # at the shaft [N·m]
    voltage: float  # at the terminals [V]
    current: float  # [A]
    power: float  # taken at the terminals [W]


@law
def torque_curve(motor: MotorParameters, slip: float, start_switch_closed: float) -> float:
    """Torque at the voltage of the connection, over full-load torque.

    Parameters
    ----------
    motor : MotorParameters
        The motor as connected.
    slip : float
        [-]
    start_switch_closed : float
        1 while start winding and capacitor are in. [-]

    Returns
    -------
    float
        [-]

    References
    ----------
    Kloss's formula, see `slip_curve`.
    """
    b = motor.breakdown_slip
    back = 2.0 - slip
    forward = 2.0 * slip * b / (slip * slip + b * b)
    backward = 2.0 * back * b / (back * back + b * b)
    # Without its running capacitor the field is lopsided at speed too, though the rotor evens half of it out.
    lopsided = 1.0 - (0.5 + 0.5 * motor.run_winding) * (1.0 - slip)
    run = motor.torque_scale * (forward - motor.backward_share * lopsided * backward)
    return run + motor.start_torque * min(slip, 1.0) * start_switch_closed


@law
def connected(
    motor: MotorParameters,
    speed: float,
    source_voltage: float,
    source_resistance: float,
    start_switch_closed: float,
) -> Connected:
    """Torque, terminal voltage, current and power behind the resistance of supply, cord and contacts.

    Torque goes with the square of the voltage, current and the square root of power with the voltage itself, so
    the motor is one admittance as long as its iron is not driven past its rated flux; then one pass is exact.

    Parameters
    ----------
    motor : MotorParameters
        The motor as connected.
    speed : float
        Of the shaft. [rad/s]
    source_voltage : float
        Before the resistance. [V]
    source_resistance : float
        Loop resistance up to the terminals. [ohm]
    start_switch_closed : float
        1 while start winding and capacitor are in. [-]

    Returns
    -------
    Connected
        SI.

    References
    ----------
    Equivalent circuit of the induction motor: magnetising and load part at right angles, the load part through
    the rotor's resistance and reactance; air-gap power is torque times synchronous speed; voltage divider of a
    resistance and a complex admittance. Saturation: common practice, no source.
    """
    slip = max(1.0 - speed / motor.synchronous_speed, 0.0)
    curve = torque_curve(motor, slip, start_switch_closed)
    load_squared = _load_current_squared(motor, slip)
    gap = curve * motor.full_load_torque * motor.synchronous_speed + motor.constant_loss
    per_volt = 1.0 / motor.connection_voltage
    lopsided = 1.0 + RUN_WINDING_EXCESS * (1.0 - motor.run_winding)
    # A start winding that stays in draws its current beside the main winding's; at standstill the locked-rotor
    # current of the plate holds both.
    start = motor.start_current / motor.base_current * start_switch_closed * min(1.0 - slip, 1.0)
    beside = start * start

    volts = source_voltage
    amperes = power = 0.0
    passes = 2 if source_voltage * per_volt <= 1.0 else 5
    for i in range(passes):
        per_unit = volts * per_volt
        over = max(per_unit - 1.0, 0.0)
        idle = motor.no_load_fraction * (1.0 + SATURATION * over * over)
        shorted = motor.shorted_current * per_unit
        drawn = lopsided * math.sqrt(idle * idle + load_squared + beside)
        amperes = motor.base_current * (per_unit * drawn + shorted)
        power = (
            gap * per_unit * per_unit
            + motor.winding_resistance * amperes * amperes
            + motor.phase_root * volts * motor.base_current * shorted
        )
        if i == passes - 1:
            break
        admittance = motor.phase_root * amperes / volts
        conductance = min(power / (volts * volts), admittance)
        susceptance_squared = admittance * admittance - conductance * conductance
        in_phase = 1.0 + source_resistance * conductance
        across_squared = source_resistance * source_resistance * susceptance_squared
        volts = source_voltage / math.sqrt(in_phase * in_phase + across_squared)
    at_volts = volts * per_volt
    return Connected(motor.full_load_torque * at_volts * at_volts * curve, volts, amperes, power)


@law
def _load_current_squared(motor: MotorParameters, slip: float) -> float:
    """Square of the load part of the current, over base current."""
    limit, bend = motor.load_current_limit, motor.load_current_slip
    return limit * limit * slip * slip / (slip * slip + bend * bend)


@law
def _phase_impedance(motor: MotorParameters, slip: float) -> tuple[float, float]:
    """Resistance and reactance of one phase at its rated voltage, from current and power. [ohm]"""
    drawn = math.sqrt(motor.no_load_fraction * motor.no_load_fraction + _load_current_squared(motor, slip))
    amperes = motor.base_current * drawn
    volts = motor.connection_voltage / motor.phase_root
    gap = torque_curve(motor, slip, 1.0) * motor.full_load_torque * motor.synchronous_speed
    power = gap + motor.constant_loss + motor.winding_resistance * amperes * amperes
    factor = min(power / (3.0 * volts * amperes), 1.0)
    impedance = volts / amperes
    return impedance * factor, impedance * math.sqrt(1.0 - factor * factor)


@law
def single_phasing(
    motor: MotorParameters, speed: float, source_voltage: float, source_resistance: float
) -> Connected:
    """Torque, voltage, current and power of a three-phase motor that has lost one line.

    The two lines left feed the motor's forward and backward field in series: at standstill they cancel, at speed
    the forward field takes nearly all the voltage.

    Parameters
    ----------
    motor : MotorParameters
        The motor as connected.
    speed : float
        Of the shaft. [rad/s]
    source_voltage : float
        Between the two lines left. [V]
    source_resistance : float
        Of one line up to the terminals. [ohm]

    Returns
    -------
    Connected
        Current in the two lines left; voltage between them. [SI]

    References
    ----------
    Symmetrical components of an induction motor with one line open, as in any textbook of electrical machines.
    """
    slip = min(max(1.0 - speed / motor.synchronous_speed, 0.0), 1.0)
    r1, x1 = _phase_impedance(motor, slip)
    r2, x2 = _phase_impedance(motor, 2.0 - slip)
    resistance, reactance = r1 + r2, x1 + x2
    in_line = resistance + 2.0 * source_resistance
    amperes = source_voltage / math.sqrt(in_line * in_line + reactance * reactance)
    volts = amperes * math.sqrt(resistance * resistance + reactance * reactance)
    # Voltage over a sequence network, over the rated voltage of a phase.
    share = amperes / motor.connection_voltage
    forward = share * share * (r1 * r1 + x1 * x1)
    backward = share * share * (r2 * r2 + x2 * x2)
    twist = forward * torque_curve(motor, slip, 1.0) - backward * torque_curve(motor, 2.0 - slip, 1.0)
    return Connected(motor.full_load_torque * twist, volts, amperes, amperes * amperes * resistance)


@law
def negative_sequence_current(motor: MotorParameters, voltage: float, unbalance: float) -> float:
    """Current that unequal voltages add to one line and take from the others.

    Parameters
    ----------
    motor : MotorParameters
        The motor as connected.
    voltage : float
        Mean between lines at the terminals. [V]
    unbalance : float
        Worst deviation from the mean, over the mean. [-]

    Returns
    -------
    float
        [A]

    References
    ----------
    The backward field meets the motor at a slip near two, where it draws what it draws locked: the reason why
    current unbalance is 6 to 10 times voltage unbalance (NEMA MG 1, part 14, from memory).
    """
    return unbalance * voltage / motor.connection_voltage * motor.base_current * motor.load_current_limit


@law
def winding_heating(
    motor: MotorParameters,
    winding_temperature: float,
    amperes: float,
    speed: float,
    ambient_temperature: float,
) -> float:
    """Rate of rise of the winding's temperature.

    Parameters
    ----------
    motor : MotorParameters
        The motor as connected.
    winding_temperature : float
        [K]
    amperes : float
        Line current. [A]
    speed : float
        Of the shaft and so of its fan. [rad/s]
    ambient_temperature : float
        [K]

    Returns
    -------
    float
        [K/s]

    References
    ----------
    First order heating with losses as current squared; common practice.
    """
    load = amperes / motor.base_current
    warming = motor.winding_rise * load * load / motor.winding_time_constant
    return warming - (winding_temperature - ambient_temperature) * winding_cooling(motor, speed)


@law
def winding_cooling(motor: MotorParameters, speed: float) -> float:
    """How fast the winding sheds its heat.

    Parameters
    ----------
    motor : MotorParameters
        The motor as connected.
    speed : float
        Of the shaft and so of its fan. [rad/s]

    Returns
    -------
    float
        [1/s]

    References
    ----------
    Common practice, no source: a standing motor cools three times slower.
    """
    fan = STANDING_COOLING_SHARE + (1.0 - STANDING_COOLING_SHARE) * min(speed / motor.synchronous_speed, 1.0)
    return fan * motor.cooling_factor / motor.winding_time_constant


@law
def protector_heating(
    motor: MotorParameters,
    protector_temperature: float,
    winding_temperature: float,
    amperes: float,
    ambient_temperature: float,
) -> float:
    """Rate of rise of the protector's bimetal: on the winding it feels both winding and current, as a relay current.

    Parameters
    ----------
    motor : MotorParameters
        The motor as connected.
    protector_temperature : float
        [K]
    winding_temperature : float
        [K]
    amperes : float
        Line current through it. [A]
    ambient_temperature : float
        [K]

    Returns
    -------
    float
        [K/s]

    References
    ----------
    Common practice, no source: trips in 5 to 15 s at locked-rotor current.
    """
    load = amperes / motor.base_current
    around = ambient_temperature + motor.protector_on_winding * (winding_temperature - ambient_temperature)
    return (
        around + motor.protector_rise * load * load - protector_temperature
    ) / motor.protector_time_constant
