"""What drives the pump: torque and current of an induction motor against speed, its heat and protector; an engine."""

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
# More current a capacitor-run motor draws once its running capacitor is open (common practice, no source).
RUN_WINDING_EXCESS = 0.28
# Torque that turns an engine with its throttle shut, over rated torque (common practice, no source).
ENGINE_DRAG = 0.12


@dataclass(frozen=True)
class MotorSpec:
    """The motor's plate and what a rewinder would know of it; a petrol engine is an `EngineSpec`."""

    kind: str  # single-phase or three-phase
    synchronous_speed_rpm: float
    rated_speed_rpm: float
    no_load_current_fraction: float
    locked_rotor_torque_fraction: float
    breakdown_torque_fraction: float
    frequency: float = measured("frequency_Hz", "Hz", "Hz")
    rated_power: float = measured("rated_power_kW", "kW", "W")
    rated_voltage: float = measured("rated_voltage_V", "V", "V")
    full_load_current: float = measured("full_load_current_A", "A", "A")
    locked_rotor_current: float = measured("locked_rotor_current_A", "A", "A")
    main_winding_resistance: float = measured("main_winding_ohm", "ohm", "ohm")  # between two lines
    constant_loss: float = measured("constant_loss_W", "W", "W")
    inertia: float = measured("inertia_kgm2", "kg*m**2", "kg*m**2")
    winding_rise: float = measured("winding_rise_K", "K", "K")
    winding_time_constant: float = measured("winding_time_constant_s", "s", "s")
    protector_trip: float = measured("protector_trip_C", "degC", "K")
    protector_rise: float = measured("protector_rise_K", "K", "K")
    protector_time_constant: float = measured("protector_time_constant_s", "s", "s")
    protector: str = "on-winding"  # on-winding, or relay: feels the current alone
    protector_reset: str = "manual"  # or automatic
    service_factor: float = 1.0
    code: str = ""
    frame: str = ""
    shaft_diameter: float = measured("shaft_mm", "mm", "m", 0.0)
    other_voltage_factor: float = 2.0  # between the two voltages of a dual-voltage winding [-]
    dual_voltage: bool = False
    start_switch_speed_fraction: float = 0.0  # of synchronous speed; none on a three-phase motor
    start_winding_resistance: float = measured("start_winding_ohm", "ohm", "ohm", 0.0)
    run_capacitance: float = measured("run_capacitor_uF", "uF", "F", 0.0)  # none on an induction-run motor
    start_capacitor: tuple[float, float] = measured("start_capacitor_uF", "", "", (0.0, 0.0))  # marked range [µF]

    def __post_init__(self) -> None:
        check_positive(rated_power=self.rated_power, rated_voltage=self.rated_voltage, inertia=self.inertia)
        check_between(0.1, 0.9, no_load_current_fraction=self.no_load_current_fraction)
        check_between(1.0, 1.5, service_factor=self.service_factor)
        self._check_kind()
        if not self.rated_speed_rpm < self.synchronous_speed_rpm:
            raise ValueError("rated speed must be below synchronous speed")
        if not self.full_load_current < self.locked_rotor_current:
            raise ValueError(
                "locked-rotor current must be above full-load current; are the two figures swapped?"
            )
        apparent = math.sqrt(self.phases) * self.rated_voltage * self.full_load_current
        if not 0.3 * apparent <= self.rated_power <= apparent:
            raise ValueError(
                f"{self.rated_power:g} W does not go with {self.full_load_current:g} A at {self.rated_voltage:g} V"
                " (efficiency times power factor would lie outside 0.3 to 1)"
            )

    def _check_kind(self) -> None:
        if self.kind not in ("single-phase", "three-phase"):
            raise ValueError(f"motor kind '{self.kind}' is not single-phase or three-phase")
        if self.protector not in ("on-winding", "relay") or self.protector_reset not in ("manual", "automatic"):
            raise ValueError("a protector is on-winding or relay, and its reset manual or automatic")
        if self.kind == "single-phase":
            check_positive(
                start_switch=self.start_switch_speed_fraction,
                start_winding=self.start_winding_resistance,
                start_capacitor=self.start_capacitor[0],
            )

    @property
    def phases(self) -> int:
        """1 or 3."""
        return 1 if self.kind == "single-phase" else 3

    @property
    def poles(self) -> int:
        """Of the winding: 2, 4 ..."""
        return round(120.0 * self.frequency / self.synchronous_speed_rpm)

    @property
    def full_load_torque(self) -> float:
        """Torque at rated power and speed. [N·m]"""
        return float(electric.torque(self.rated_power, self.rated_speed_rpm))

    @property
    def rated_slip(self) -> float:
        """Slip at rated speed. [-]"""
        return float(electric.slip(self.synchronous_speed_rpm, self.rated_speed_rpm))


@dataclass(frozen=True)
class EngineSpec:
    """A petrol engine with a governor, a throttle cylinder that drops it to idle, and an electric starter."""

    rated_speed_rpm: float
    idle_speed_rpm: float
    firing_speed_rpm: float  # above which it runs by itself
    torque_reserve: float  # highest torque over rated torque [-]
    governor_droop: float  # fall of speed from no load to full throttle, over the speed [-]
    rated_power: float = measured("rated_power_kW", "kW", "W")
    inertia: float = measured("inertia_kgm2", "kg*m**2", "kg*m**2")
    starter_torque: float = measured("starter_torque_Nm", "N*m", "N*m")  # at the engine's shaft, standing
    starter_speed_rpm: float = 700.0  # of the engine's shaft, without load
    starter_time: float = measured("starter_time_s", "s", "s", 8.0)  # after which a starter that stalls is let go
    shaft_diameter: float = measured("shaft_mm", "mm", "m", 25.4)
    kind: str = "engine"

    def __post_init__(self) -> None:
        check_positive(
            rated_power=self.rated_power, inertia=self.inertia, starter_torque=self.starter_torque
        )
        check_between(0.01, 0.2, governor_droop=self.governor_droop)
        check_between(1.0, 2.0, torque_reserve=self.torque_reserve)
        if not 0.0 < self.firing_speed_rpm < self.idle_speed_rpm < self.rated_speed_rpm:
            raise ValueError("firing speed, idle speed and rated speed must rise in this order")

    @property
    def full_load_torque(self) -> float:
        """Torque at rated power and speed. [N·m]"""
        return float(electric.torque(self.rated_power, self.rated_speed_rpm))


SINGLE_PHASE, THREE_PHASE, ENGINE = (float(i) for i in range(3))


class MotorParameters(NamedTuple):
    """Motor as it is connected, or engine, faults included."""

    kind: float  # SINGLE_PHASE, THREE_PHASE or ENGINE
    phase_root: float  # square root of the number of phases [-]
    synchronous_speed: float  # [rad/s]
    full_load_torque: float  # [N·m]
    torque_scale: float  # of the slip curve, over full-load torque [-]
    breakdown_slip: float  # [-]
    backward_share: float  # of the backward field [-]
    run_winding: float  # share of its current left to the running auxiliary winding [-]
    start_torque: float  # added at standstill by start winding or deep bars, over full-load torque [-]
    start_current: float  # of the start winding at standstill on the present straps [A]
    friction_torque: float  # of bearings beyond sound ones [N·m]
    connection_voltage: float  # for which the present straps are made [V]
    base_current: float  # full-load current on the present straps [A]
    no_load_fraction: float
    load_current_limit: float  # load part of the current at infinite slip, over base current [-]
    load_current_slip: float  # slip at which the load part bends over [-]
    shorted_current: float  # drawn by shorted turns at rated voltage, over base current [-]
    winding_resistance: float  # copper loss over current squared [ohm]
    constant_loss: float  # [W]
    start_switch_speed: float  # [rad/s]
    start_switch_stuck: float  # 1 stuck closed, -1 stuck open, 0 works [-]
    inertia: float  # [kg·m²]
    winding_rise: float  # at full load, steady [K]
    winding_time_constant: float  # [s]
    winding_limit: float  # at which the insulation burns [K]
    cooling_factor: float
    protector_trip: float  # [K]
    protector_rise: float  # above its surroundings at full load [K]
    protector_time_constant: float  # [s]
    protector_on_winding: float  # 1 when it sits on the winding, 0 for a relay in the starter [-]
    protector_resets: float  # 1 when it closes again by itself [-]
    idle_speed: float  # of an engine [rad/s]
    firing_speed: float  # [rad/s]
    starter_speed: float  # [rad/s]
    torque_reserve: float  # [-]
    governor_droop: float  # [-]


def _kloss(slip: float, breakdown_slip: float) -> float:
    return 2.0 / (slip / breakdown_slip + breakdown_slip / slip)


def slip_curve(spec: MotorSpec) -> tuple[float, float, float, float]:
    """Fit the torque curve to the plate: scale, breakdown slip, share of the backward field, torque added at start.

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
    fitted = _single_phase_curve if spec.kind == "single-phase" else _three_phase_curve
    low, high = spec.rated_slip, 0.2  # beyond a fifth the backward field would brake the start
    for _ in range(60):
        breakdown = (low + high) / 2
        if _peak(*fitted(spec, breakdown)) > spec.breakdown_torque_fraction:
            high = breakdown
        else:
            low = breakdown
    return fitted(spec, low)


def _run_torque(slip: float, scale: float, breakdown: float, backward: float) -> float:
    return scale * (_kloss(slip, breakdown) - backward * slip * _kloss(2 - slip, breakdown))


def _peak(scale: float, breakdown: float, backward: float, start: float) -> float:
    """Highest torque of the curve round its breakdown, over full-load torque."""
    slips = [breakdown * (0.8 + 0.02 * i) for i in range(25)]
    bars = start if backward == 0.0 else 0.0  # a start winding is out by then, deep bars are not
    return max(_run_torque(s, scale, breakdown, backward) + bars * s for s in slips)


def _single_phase_curve(spec: MotorSpec, breakdown: float) -> tuple[float, float, float, float]:
    """Curve that gives full-load torque at rated slip and the run connection's torque at standstill."""
    slip = spec.rated_slip
    rated, still = _kloss(slip, breakdown), _kloss(1.0, breakdown)
    rated_back = slip * _kloss(2 - slip, breakdown)
    backward = (still - RUN_STANDSTILL_TORQUE * rated) / (still - RUN_STANDSTILL_TORQUE * rated_back)
    start = spec.locked_rotor_torque_fraction - RUN_STANDSTILL_TORQUE
    return 1.0 / (rated - backward * rated_back), breakdown, backward, start


def _three_phase_curve(spec: MotorSpec, breakdown: float) -> tuple[float, float, float, float]:
    """Curve of a cage with deep bars: full-load torque at rated slip, locked-rotor torque at standstill."""
    slip, locked = spec.rated_slip, spec.locked_rotor_torque_fraction
    rated, still = _kloss(slip, breakdown), _kloss(1.0, breakdown)
    scale = (1.0 - locked * slip) / (rated - still * slip)
    return scale, breakdown, 0.0, locked - scale * still


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
    # Without its running capacitor the field is as lopsided at speed as it is at standstill.
    lopsided = 1.0 - motor.run_winding * (1.0 - slip)
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
def engine_torque(motor: MotorParameters, speed: float, running: float, cranking: float, loaded: float) -> float:
    """Torque of a governed petrol engine, or of its starter before it fires.

    Parameters
    ----------
    motor : MotorParameters
        The engine.
    speed : float
        Of its shaft. [rad/s]
    running : float
        1 once it has fired. [-]
    cranking : float
        1 while the starter is held in. [-]
    loaded : float
        1 at full governed speed, 0 with the throttle cylinder holding it at idle. [-]

    Returns
    -------
    float
        At the shaft; drag of the closed throttle is negative. [N·m]

    References
    ----------
    Mechanical governor with droop: throttle in proportion to the fall of speed; series-wound starter with torque
    falling to nothing at its free speed. Common practice, no source.
    """
    if running > 0.5:
        target = motor.idle_speed + (motor.synchronous_speed - motor.idle_speed) * loaded
        throttle = (target * (1.0 + 0.5 * motor.governor_droop) - speed) / (target * motor.governor_droop)
        opened = min(max(throttle, 0.0), 1.0)
        return motor.full_load_torque * ((motor.torque_reserve + ENGINE_DRAG) * opened - ENGINE_DRAG)
    drag = ENGINE_DRAG * motor.full_load_torque * speed / (speed + 1.0)
    push = motor.start_torque * max(1.0 - speed / motor.starter_speed, 0.0) * cranking
    return push - drag


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
    return (around + motor.protector_rise * load * load - protector_temperature) / motor.protector_time_constant
