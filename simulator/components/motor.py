"""Electric motor: its plate, and its torque and current curves fitted to it. What it does stands in `induction`."""

import math
from dataclasses import dataclass
from typing import NamedTuple

from simulator import electric
from simulator.components.spec import check_between, check_positive, measured

# Standstill torque of the run connection alone (run capacitor, no start capacitor) over full-load torque.
# Common practice, no source: too little to break a pump away.
RUN_STANDSTILL_TORQUE = 0.12


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
    start_capacitor: tuple[float, float] = measured(
        "start_capacitor_uF", "", "", (0.0, 0.0)
    )  # marked range [µF]

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
        if self.protector not in ("on-winding", "relay") or self.protector_reset not in (
            "manual",
            "automatic",
        ):
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
    def other_poles_speed(self) -> float:
        """Speed, over this motor's, of the two- or four-pole motor that is fitted in its place by mistake. [-]"""
        return 0.5 if self.poles == 2 else 2.0

    @property
    def full_load_torque(self) -> float:
        """Torque at rated power and speed. [N·m]"""
        return float(electric.torque(self.rated_power, self.rated_speed_rpm))

    @property
    def rated_slip(self) -> float:
        """Slip at rated speed. [-]"""
        return float(electric.slip(self.synchronous_speed_rpm, self.rated_speed_rpm))


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
