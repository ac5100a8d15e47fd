"""Single-phase capacitor motor: torque and current against speed, heat, thermal protector."""

import math
from dataclasses import dataclass
from typing import NamedTuple

from simulator import electric
from simulator.compiled import law
from simulator.components.spec import check_between, check_positive, measured

# Standstill torque of the run connection alone (run capacitor, no start capacitor) over full-load torque.
# Common practice, no source: too little to break a pump away.
RUN_STANDSTILL_TORQUE = 0.12
# Cooling of the standing motor over that of the running one (common practice, no source).
STANDING_COOLING_SHARE = 1.0 / 3.0
# Magnetising current rises steeply when the iron is driven past its rated flux (common practice, no source).
SATURATION = 5.0


@dataclass(frozen=True)
class MotorSpec:
    """The motor's plate and what a rewinder would know of it."""

    synchronous_speed_rpm: float
    rated_speed_rpm: float
    no_load_current_fraction: float
    locked_rotor_torque_fraction: float
    breakdown_torque_fraction: float
    start_switch_speed_fraction: float
    rated_power: float = measured("rated_power_kW", "kW", "W")
    rated_voltage: float = measured("rated_voltage_V", "V", "V")
    full_load_current: float = measured("full_load_current_A", "A", "A")
    locked_rotor_current: float = measured("locked_rotor_current_A", "A", "A")
    main_winding_resistance: float = measured("main_winding_ohm", "ohm", "ohm")
    constant_loss: float = measured("constant_loss_W", "W", "W")
    inertia: float = measured("inertia_kgm2", "kg*m**2", "kg*m**2")
    run_capacitance: float = measured("run_capacitor_uF", "uF", "F")
    winding_rise: float = measured("winding_rise_K", "K", "K")
    winding_time_constant: float = measured("winding_time_constant_s", "s", "s")
    protector_trip: float = measured("protector_trip_C", "degC", "K")
    protector_rise: float = measured("protector_rise_K", "K", "K")
    protector_time_constant: float = measured("protector_time_constant_s", "s", "s")
    start_capacitor: tuple[float, float] = measured("start_capacitor_uF", "", "")  # marked range [µF]

    def __post_init__(self) -> None:
        check_positive(rated_power=self.rated_power, rated_voltage=self.rated_voltage, inertia=self.inertia)
        check_between(0.1, 0.9, no_load_current_fraction=self.no_load_current_fraction)
        if not self.rated_speed_rpm < self.synchronous_speed_rpm:
            raise ValueError("rated speed must be below synchronous speed")
        if not self.full_load_current < self.locked_rotor_current:
            raise ValueError(
                "locked-rotor current must be above full-load current; are the two figures swapped?"
            )
        apparent = self.rated_voltage * self.full_load_current
        if not 0.3 * apparent <= self.rated_power <= apparent:
            raise ValueError(
                f"{self.rated_power:g} W does not go with {self.full_load_current:g} A at {self.rated_voltage:g} V"
                " (efficiency times power factor would lie outside 0.3 to 1)"
            )

    @property
    def full_load_torque(self) -> float:
        """Torque at rated power and speed. [N·m]"""
        return float(electric.torque(self.rated_power, self.rated_speed_rpm))

    @property
    def rated_slip(self) -> float:
        """Slip at rated speed. [-]"""
        return float(electric.slip(self.synchronous_speed_rpm, self.rated_speed_rpm))


class MotorParameters(NamedTuple):
    """The motor as it is connected, faults included."""

    synchronous_speed: float  # [rad/s]
    full_load_torque: float  # [N·m]
    torque_scale: float  # of the slip curve, over full-load torque [-]
    breakdown_slip: float  # [-]
    backward_share: float  # of the backward field [-]
    start_torque: float  # added at standstill by start capacitor and winding, over full-load torque [-]
    connection_voltage: float  # for which the present straps are made [V]
    base_current: float  # full-load current on the present straps [A]
    no_load_fraction: float
    load_current_limit: float  # load part of the current at infinite slip, over base current [-]
    load_current_slip: float  # slip at which the load part bends over [-]
    winding_resistance: float  # on the present straps [ohm]
    constant_loss: float  # [W]
    start_switch_speed: float  # [rad/s]
    inertia: float  # [kg·m²]
    winding_rise: float  # at full load, steady [K]
    winding_time_constant: float  # [s]
    cooling_factor: float
    protector_trip: float  # [K]
    protector_rise: float  # of the disc above the winding at full load [K]
    protector_time_constant: float  # [s]


def _kloss(slip: float, breakdown_slip: float) -> float:
    return 2.0 / (slip / breakdown_slip + breakdown_slip / slip)


def slip_curve(spec: MotorSpec) -> tuple[float, float, float]:
    """Fit the run torque curve to the plate: scale, breakdown slip, share of the backward field.

    The run capacitor makes the field nearly round at full speed and leaves it lopsided at standstill, so the
    backward field counts in proportion to slip.

    Parameters
    ----------
    spec : MotorSpec
        The motor.

    Returns
    -------
    tuple of float
        Scale over full-load torque, breakdown slip, backward share. [-]

    References
    ----------
    Kloss's formula for forward and backward field of a single-phase machine (double revolving field theory),
    as in any textbook of electrical machines.
    """
    low, high = spec.rated_slip, 0.2  # beyond a fifth the backward field would brake the start
    for _ in range(60):
        breakdown = (low + high) / 2
        if _peak(spec.rated_slip, breakdown) > spec.breakdown_torque_fraction:
            high = breakdown
        else:
            low = breakdown
    scale, backward = _scaled(spec.rated_slip, low)
    return scale, low, backward


def _peak(rated_slip: float, breakdown: float) -> float:
    """Highest torque of the run curve over full-load torque."""
    scale, backward = _scaled(rated_slip, breakdown)
    slips = [breakdown * (0.8 + 0.02 * i) for i in range(12)]
    return max(scale * (_kloss(s, breakdown) - backward * s * _kloss(2 - s, breakdown)) for s in slips)


def _scaled(rated_slip: float, breakdown: float) -> tuple[float, float]:
    """Scale and backward share that give full-load torque at rated slip and the standstill torque."""
    rated, still = _kloss(rated_slip, breakdown), _kloss(1.0, breakdown)
    rated_back = rated_slip * _kloss(2 - rated_slip, breakdown)
    backward = (still - RUN_STANDSTILL_TORQUE * rated) / (still - RUN_STANDSTILL_TORQUE * rated_back)
    return 1.0 / (rated - backward * rated_back), backward


def load_current_curve(spec: MotorSpec) -> tuple[float, float]:
    """Limit and bend of the load part of the current, from full-load and locked-rotor current.

    Parameters
    ----------
    spec : MotorSpec
        The motor.

    Returns
    -------
    tuple of float
        Limit over full-load current, slip of the bend. [-]

    References
    ----------
    Rotor branch of the induction motor's equivalent circuit: current over slip through a resistance and a
    reactance in series.
    """
    idle = spec.no_load_current_fraction
    load_full = math.sqrt(1 - idle**2)
    load_locked = math.sqrt((spec.locked_rotor_current / spec.full_load_current) ** 2 - idle**2)
    q = (load_locked / load_full) ** 2 * spec.rated_slip**2
    bend_squared = (q - spec.rated_slip**2) / (1 - q)
    return load_locked * math.sqrt(1 + bend_squared), math.sqrt(bend_squared)


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
    run = motor.torque_scale * (forward - motor.backward_share * slip * backward)
    return run + motor.start_torque * slip * start_switch_closed


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
    bend = motor.load_current_slip
    load_squared = (
        motor.load_current_limit * motor.load_current_limit * slip * slip / (slip * slip + bend * bend)
    )
    gap = curve * motor.full_load_torque * motor.synchronous_speed + motor.constant_loss
    per_volt = 1.0 / motor.connection_voltage

    volts = source_voltage
    amperes = power = 0.0
    passes = 2 if source_voltage * per_volt <= 1.0 else 5
    for i in range(passes):
        per_unit = volts * per_volt
        over = max(per_unit - 1.0, 0.0)
        idle = motor.no_load_fraction * (1.0 + SATURATION * over * over)
        amperes = motor.base_current * per_unit * math.sqrt(idle * idle + load_squared)
        power = gap * per_unit * per_unit + motor.winding_resistance * amperes * amperes
        if i == passes - 1:
            break
        admittance = amperes / volts
        conductance = min(power / (volts * volts), admittance)
        susceptance_squared = admittance * admittance - conductance * conductance
        in_phase = 1.0 + source_resistance * conductance
        across_squared = source_resistance * source_resistance * susceptance_squared
        volts = source_voltage / math.sqrt(in_phase * in_phase + across_squared)
    at_volts = volts * per_volt
    return Connected(motor.full_load_torque * at_volts * at_volts * curve, volts, amperes, power)


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
    fan = STANDING_COOLING_SHARE + (1.0 - STANDING_COOLING_SHARE) * min(speed / motor.synchronous_speed, 1.0)
    shed = (winding_temperature - ambient_temperature) * fan * motor.cooling_factor
    return (motor.winding_rise * load * load - shed) / motor.winding_time_constant


@law
def protector_heating(
    motor: MotorParameters, protector_temperature: float, winding_temperature: float, amperes: float
) -> float:
    """Rate of rise of the thermal protector's disc, which feels both winding and current.

    Parameters
    ----------
    motor : MotorParameters
        The motor as connected.
    protector_temperature : float
        [K]
    winding_temperature : float
        [K]
    amperes : float
        Line current through the disc. [A]

    Returns
    -------
    float
        [K/s]

    References
    ----------
    Common practice, no source: trips in 5 to 15 s at locked-rotor current.
    """
    load = amperes / motor.base_current
    return (
        winding_temperature + motor.protector_rise * load * load - protector_temperature
    ) / motor.protector_time_constant
