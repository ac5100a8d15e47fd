"""Motor or engine, its supply and its switch."""

import math

from simulator import air
from simulator.assembly.reader import NEVER, Reader, psi
from simulator.components import motor as motors
from simulator.components.motor import MotorParameters, MotorSpec
from simulator.components.petrol_engine import EngineSpec
from simulator.components.pressure_switch import SENSING_TIME, PressureSwitchParameters
from simulator.components.supply import SupplyParameters
from simulator.rig import Rig

# Bearing friction of a sound motor over its full-load torque (common practice, no source).
_BEARING_FRICTION = 0.015
# Current of turns that are shorted, over full-load current for each per cent of them (common practice, no source).
_SHORTED_CURRENT = 0.06
# Above its protector's trip a winding lives for a while; here its insulation burns [K] (common practice, no source).
_BURNING = 273.15 + 250.0
# Loop resistance of a starter's poles, sound and worn (common practice, no source). [ohm]
_STARTER_OHM, _WORN_OHM = 0.002, 0.5
# Insulation below which the breaker does not hold (common practice, no source). [megohm]
_BREAKER_MEGOHM = 0.1


def supply(rig: Rig, v: Reader) -> SupplyParameters:
    """Figures of the supply up to the motor.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    SupplyParameters
        SI, faults included.
    """
    # A switch in the motor's line breaks both legs of a single phase, one after the other; of three phases each
    # line has its own pole. A starter's poles are as good as new unless they are worn.
    poles = 2 if rig.motor.kind == "single-phase" else 1
    ohm = v("switch.contact_ohm") if rig.control == "breaks-motor" else _STARTER_OHM
    if v.state("starter.state") == "contacts_worn":
        ohm = _WORN_OHM
    held = v("motor.insulation_Mohm") > _BREAKER_MEGOHM
    return SupplyParameters(
        rig.supply.voltage * v("supply.volts_factor") * held,
        rig.supply.resistance + v("supply.upstream_ohm"),
        v("supply.extra_ohm"),
        v("supply.joint_ohm"),
        poles * ohm,
        v("supply.unbalance_pct") / 100 if rig.motor.kind == "three-phase" else 0.0,
        v.flag("supply.phase_open"),
    )


def switch(rig: Rig, v: Reader) -> PressureSwitchParameters:
    """Figures of the pressure switch, and of a starter it works.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    PressureSwitchParameters
        SI, faults included.
    """
    pilot = rig.control == "pilot-valve"
    free = v("switch.sense_area_factor")
    dead = (
        v.state("switch.state") == "open"
        or v.state("starter.state") == "coil_open"
        or v("motor.insulation_Mohm") <= _BREAKER_MEGOHM
    )
    return PressureSwitchParameters(
        NEVER if pilot else rig.switch.cut_in + psi(v("switch.cut_in_offset_psi")),
        2 * NEVER if pilot else rig.switch.cut_out + psi(v("switch.cut_out_offset_psi")),
        v.leak("switch.body_leak_d_mm"),
        v.flag("switch.state", "welded") * (1.0 - dead),
        float(dead),
        free * free / SENSING_TIME,
    )


_CONNECTIONS = {"matched": 0.0, "low_on_high": -1.0, "high_on_low": 1.0}


# What a motor has not: fields of one kind of prime mover that another leaves empty.
_NO_MOTOR = MotorParameters(**dict.fromkeys(MotorParameters._fields, 0.0))


def motor(rig: Rig, v: Reader) -> MotorParameters:
    """Figures of motor or engine.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    MotorParameters
        SI, faults included.
    """
    if isinstance(rig.motor, EngineSpec):
        return _engine(rig.motor, v)
    return _electric_motor(rig.motor, v)


def _electric_motor(spec: MotorSpec, v: Reader) -> MotorParameters:
    single = spec.kind == "single-phase"
    factor = spec.other_voltage_factor ** _CONNECTIONS[v.state("motor.connection")]
    scale, breakdown_slip, backward, start = motors.slip_curve(spec)
    limit, bend = motors.load_current_curve(spec)
    # A winding for other poles gives the same power at another speed.
    speed = spec.other_poles_speed if v.state("motor.poles") == "swapped" else 1.0
    size = v("motor.size_factor")
    sound = 1.0 - v("motor.shorted_turns_pct") / 100
    synchronous = speed * spec.synchronous_speed_rpm * math.pi / 30
    torque = size / speed * spec.full_load_torque
    capacitor = min(v("motor.start_cap_factor"), 1.0)
    stuck = {"ok": 0.0, "stuck_closed": 1.0, "stuck_open": -1.0}[v.state("motor.start_switch")]
    return MotorParameters(
        kind=motors.SINGLE_PHASE if single else motors.THREE_PHASE,
        phase_root=math.sqrt(spec.phases),
        synchronous_speed=synchronous,
        full_load_torque=torque * sound * sound,
        torque_scale=scale,
        breakdown_slip=breakdown_slip,
        backward_share=backward,
        run_winding=min(v("motor.run_cap_factor"), 1.0) if spec.run_capacitance > 0 else 1.0,
        # Current and phase shift of the start winding both go with the capacitance; deep bars have none.
        start_torque=start * capacitor**2 if single else start,
        start_current=_start_current(spec) * capacitor * size / factor if single else 0.0,
        friction_torque=_BEARING_FRICTION * torque * (v("motor.friction_factor") - 1.0),
        connection_voltage=spec.rated_voltage * factor,
        base_current=spec.full_load_current * size / factor,
        no_load_fraction=spec.no_load_current_fraction,
        load_current_limit=limit,
        load_current_slip=bend,
        shorted_current=_SHORTED_CURRENT * v("motor.shorted_turns_pct"),
        winding_resistance=(1.0 if single else 1.5) * spec.main_winding_resistance * factor**2 * sound / size,
        constant_loss=spec.constant_loss * size,
        start_switch_speed=spec.start_switch_speed_fraction * synchronous if single else 2.0 * synchronous,
        start_switch_stuck=stuck if single else 0.0,
        inertia=spec.inertia,
        winding_rise=spec.winding_rise,
        winding_time_constant=spec.winding_time_constant,
        winding_limit=_BURNING,
        cooling_factor=v("motor.cooling_factor"),
        protector_trip=NEVER
        if v.state("switch.wiring") == "overload_bypassed"
        else _trip_temperature(spec, v("motor.trip_factor")),
        protector_rise=spec.protector_rise * _relay_scale(spec, size / factor),
        protector_time_constant=spec.protector_time_constant,
        protector_on_winding=float(spec.protector == "on-winding"),
        protector_resets=float(spec.protector_reset == "automatic"),
        idle_speed=1.0,
        firing_speed=1.0,
        starter_speed=1.0,
        torque_reserve=1.0,
        governor_droop=1.0,
    )


def _relay_scale(spec: MotorSpec, current: float) -> float:
    """A relay stays set for the plate's current whatever motor hangs on it; a protector comes with its motor."""
    return current**2 if spec.protector == "relay" else 1.0


def _trip_temperature(spec: MotorSpec, trip_factor: float) -> float:
    """Temperature at which the protector opens: of a relay the rise goes with the square of its set current."""
    if spec.protector == "on-winding":
        return 273.15 + (spec.protector_trip - 273.15) * trip_factor
    room = air.FREE_AIR_TEMPERATURE
    return room + (spec.protector_trip - room) * trip_factor**2


def _start_current(spec: MotorSpec) -> float:
    """Current of start winding and capacitor at the plate's voltage, from their impedance. [A]

    The winding's own reactance is taken as its resistance (common practice, no source).
    """
    farad = sum(spec.start_capacitor) / 2 * 1e-6
    reactance = 1.0 / (2 * math.pi * spec.frequency * farad) - spec.start_winding_resistance
    return spec.rated_voltage / math.hypot(spec.start_winding_resistance, reactance)


def _engine(spec: EngineSpec, v: Reader) -> MotorParameters:
    rated, room = spec.rated_speed_rpm * math.pi / 30, 273.15 + v("cooling.ambient_c")
    # An engine breathes the air there is.
    thin = air.density(air.standard_pressure(v("cooling.altitude_m")), room) / air.FREE_AIR_DENSITY
    return _NO_MOTOR._replace(
        kind=motors.ENGINE,
        phase_root=1.0,
        synchronous_speed=rated,
        full_load_torque=spec.full_load_torque,
        friction_torque=_BEARING_FRICTION * spec.full_load_torque * (v("motor.friction_factor") - 1.0),
        start_torque=spec.starter_torque,
        connection_voltage=1.0,
        base_current=1.0,
        start_switch_speed=2.0 * rated,
        inertia=spec.inertia,
        winding_time_constant=1.0,
        cooling_factor=1.0,
        winding_limit=NEVER,
        # A hand holds the key for so long and no longer: the starter's current "heats" it to its limit.
        protector_trip=room + 1.0 - math.exp(-1.0),
        protector_rise=1.0,
        protector_time_constant=spec.starter_time,
        idle_speed=spec.idle_speed_rpm * math.pi / 30,
        firing_speed=spec.firing_speed_rpm * math.pi / 30,
        starter_speed=spec.starter_speed_rpm * math.pi / 30,
        torque_reserve=spec.torque_reserve * thin,
        governor_droop=spec.governor_droop,
    )
