"""A rig with its faults put in: every physical parameter the engine needs, as one tuple of tuples."""

import math
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from simulator import air
from simulator.adjustable import Values, fault_values
from simulator.components import motor as motors
from simulator.components import pump as pumps
from simulator.components import unloader as unloaders
from simulator.components.check_valve import CheckValveParameters
from simulator.components.cycle import cycle_averages
from simulator.components.drive import HEALTHY_SLIP, DriveParameters
from simulator.components.head_line import HeadLineParameters
from simulator.components.intake import IntakeParameters
from simulator.components.motor import EngineSpec, MotorParameters, MotorSpec
from simulator.components.outlet import OutletParameters
from simulator.components.pressure_switch import SENSING_TIME, PressureSwitchParameters
from simulator.components.pump import CylinderParameters, CylinderSpec, PumpParameters
from simulator.components.receiver import WATER_DENSITY, ReceiverParameters
from simulator.components.relief_valve import ReliefValveParameters, ReliefValveSpec
from simulator.components.supply import SupplyParameters
from simulator.components.unloader import UnloaderParameters
from simulator.faults import Fault, Injected
from simulator.flow import LEAK_COEFFICIENT, disc_area, orifice_mass_flow, series_area
from simulator.rig import Rig
from simulator.steady import steady
from simulator.units import convert

# Flow coefficient of a valve's throat (check valve, regulator); sharp openings use LEAK_COEFFICIENT.
# Common practice, no source.
_THROAT_COEFFICIENT = 0.65
# A head gasket lifts, and lets air out, at this many times the receiver's MAWP (common practice, no source).
_JOINT_MARGIN = 1.8
_JOINT_AREA = LEAK_COEFFICIENT * 2.0e-5  # [m²]
# What is left of a shut valve that cannot leak. [m²]
_CLOSED = 1e-12
# A pressure no machine reaches: for valves that never open and switches that never act. [Pa]
_NEVER = 1e12
# Valves of a cylinder: throat area over bore area (common practice, no source).
_VALVE_SHARE = 0.1
# Pressure lost in discharge and intake valves at rated speed, over the pressure, when they are clean; the plate's
# efficiency holds it already, so only what choked valves add is counted. Common practice, no source.
_DISCHARGE_CHOKE, _INTAKE_CHOKE = 0.03, 0.015
# Friction that no motor here can overcome, over full-load torque at the crank.
_SEIZED = 50.0
# Bearing friction of a sound motor over its full-load torque (common practice, no source).
_BEARING_FRICTION = 0.015
# Current of turns that are shorted, over full-load current for each per cent of them (common practice, no source).
_SHORTED_CURRENT = 0.06
# Above its protector's trip a winding lives for a while; here its insulation burns [K] (common practice, no source).
_BURNING = 273.15 + 250.0
# Loop resistance of a starter's poles, sound and worn (common practice, no source). [ohm]
_STARTER_OHM, _WORN_OHM = 0.002, 0.5
# A receiver counts as over-pressed above this many times its relief's set pressure.
_OVER_PRESSURE = 1.1
# A tool held open draws about the machine's own free air (common practice, no source).
_TOOL_SHARE = 1.0
# Vent of a relieving regulator's bonnet [m²] (common practice, no source).
_BONNET_AREA = LEAK_COEFFICIENT * 3.0e-6


class Parameters(NamedTuple):
    """Everything the engine needs to know of one machine, faults included."""

    pump: PumpParameters
    drive: DriveParameters
    motor: MotorParameters
    supply: SupplyParameters
    switch: PressureSwitchParameters
    unloader: UnloaderParameters
    head_line: HeadLineParameters
    check_valve: CheckValveParameters
    receiver: ReceiverParameters
    relief: ReliefValveParameters
    interstage_relief: ReliefValveParameters
    head_relief: ReliefValveParameters
    outlet: OutletParameters
    intake: IntakeParameters


def parameters(rig: Rig, catalogue: Mapping[str, Fault], injected: Iterable[Injected] = ()) -> Parameters:
    """Every physical parameter of a rig with faults put in.

    Parameters
    ----------
    rig : Rig
        The rig.
    catalogue : mapping
        Faults by slug.
    injected : iterable of Injected
        Faults to put in; none for a healthy machine.

    Returns
    -------
    NamedTuple
        Every physical parameter, SI.

    Raises
    ------
    BadFault, BadParameter
        See `fault_values`.
    """
    return from_values(rig, fault_values(rig, catalogue, injected))


def from_values(rig: Rig, values: Values) -> Parameters:
    """Every physical parameter of a rig from its adjustable values.

    Parameters
    ----------
    rig : Rig
        The rig.
    values : dict
        See `healthy_values`.

    Returns
    -------
    NamedTuple
        Every physical parameter, SI.
    """
    v = _Reader(values)
    return Parameters(
        pump=_pump(rig, v),
        drive=_drive(rig, v),
        motor=_motor(rig, v),
        supply=_supply(rig, v),
        switch=_switch(rig, v),
        unloader=_unloader(rig, v),
        head_line=_head_line(rig, v),
        check_valve=_check_valve(rig, v),
        receiver=_receiver(rig, v),
        relief=_tank_relief(rig, v),
        interstage_relief=_relief(rig.interstage_relief, v.leak("relief.interstage.leak_d_mm")),
        head_relief=_relief(rig.head_relief, 0.0),
        outlet=_outlet(rig, v),
        intake=_intake(rig, v),
    )


class _Reader:
    """Values by name, as floats in the unit of the name or as leak areas."""

    def __init__(self, values: Values) -> None:
        self.values = values

    def __call__(self, name: str) -> float:
        return float(self.values[name])

    def state(self, name: str) -> str:
        return str(self.values[name])

    def flag(self, name: str, state: str = "yes") -> float:
        """1 when the parameter stands at a state, else 0."""
        return float(self.values[name] == state)

    def leak(self, name: str) -> float:
        """Flow area of a leak given by the diameter of an equal sharp hole."""
        return float(LEAK_COEFFICIENT * disc_area(self(name) / 1000))


def _psi(value: float) -> float:
    return convert(value, "psi", "Pa")


def _pump(rig: Rig, v: _Reader) -> PumpParameters:
    spec = rig.pump
    first, second = (_stage(rig, v, cylinders) for cylinders in (rig.first_stage, rig.second_stage))
    speed = spec.speed_rpm * math.pi / 30
    choked = 1.0 / v("pump.valve_area_factor") ** 2 - 1.0
    friction = v("pump.friction_factor") * _friction_power(rig) / speed
    if v.flag("pump.locked"):
        friction = _SEIZED * rig.motor.full_load_torque * rig.drive.ratio
    forward = 1.0 - v.flag("motor.rotation", "reverse")
    return PumpParameters(
        *first,
        *second,
        float(_alike(*first)),
        float(_alike(*second)),
        spec.delivery_factor,
        spec.expansion_exponent,
        spec.indicated_efficiency,
        friction,
        spec.peak_to_mean_torque,
        speed,
        spec.flywheel_inertia,
        max(LEAK_COEFFICIENT * disc_area(spec.breather_diameter) * v("crankcase.breather_area_factor"), 1e-8),
        spec.head_heat_loss * v("cooling.surface_factor"),
        spec.head_heat_capacity,
        spec.head_to_head,
        spec.second_head_heat_loss * v("cooling.surface_factor"),
        v("cooling.fan_factor"),
        _DISCHARGE_CHOKE * choked,
        _INTAKE_CHOKE * choked,
        spec.intercooler_volume or 1.0,
        273.15 + v("cooling.ambient_c") + v("intercooler.approach_c") / _fan_share(v("cooling.fan_factor")),
        v.leak("intercooler.leak_d_mm"),
        _forward_area(rig),
        spec.oil_pressure * v("lube.pressure_factor") * forward,
    )


def _fan_share(fan_factor: float) -> float:
    """Share of its cooling an intercooler keeps when its fan gives less air.

    Forced convection across tubes goes with about the 0.6th power of the air's speed: Incropera and DeWitt,
    Fundamentals of Heat and Mass Transfer, banks of tubes (from memory).
    """
    return float(max(fan_factor, 0.05) ** 0.6)


def _forward_area(rig: Rig) -> float:
    """Flow area through intake and discharge valve of the second stage, one behind the other. [m²]"""
    throats = sum(_THROAT_COEFFICIENT * _VALVE_SHARE * disc_area(c.bore) for c in rig.second_stage)
    return float(series_area(throats, throats))


_DEAD = {
    ("broken_open", "ok"): pumps.BREATHES,
    ("stuck_shut", "ok"): pumps.SILENT,
    ("ok", "broken_open"): pumps.SILENT,
    ("ok", "stuck_shut"): pumps.SHUT_IN,
    ("ok", "ok"): pumps.WORKS,
}
_NO_CYLINDER = CylinderParameters(
    0.0, 0.06, 0.0, 0.0, 0.0, 0.0, 0.0, pumps.WORKS, cycle_averages(0.06, 1.25)
)


def _stage(
    rig: Rig, v: _Reader, cylinders: tuple[CylinderSpec, ...]
) -> tuple[CylinderParameters, CylinderParameters]:
    """Both cylinders of a stage; one that is not there sweeps nothing."""
    there = [_cylinder(rig, v, cylinder) for cylinder in cylinders]
    one, two = (*there, _NO_CYLINDER, _NO_CYLINDER)[:2]
    return one, two


def _cylinder(rig: Rig, v: _Reader, spec: CylinderSpec) -> CylinderParameters:
    at = f"@{spec.slug}"
    reeds = v.state("pump.intake_valve_state" + at), v.state("pump.discharge_valve_state" + at)
    return CylinderParameters(
        spec.swept_volume,
        spec.clearance_ratio,
        v.leak("pump.ring_leak_d_mm" + at),
        v.leak("pump.intake_valve_leak_d_mm" + at),
        v.leak("pump.discharge_valve_leak_d_mm" + at),
        v.leak("pump.head_gasket_inner_d_mm" + at),
        v.leak("pump.head_gasket_outer_d_mm" + at),
        _DEAD.get(reeds, pumps.SILENT),
        cycle_averages(spec.clearance_ratio, rig.pump.expansion_exponent),
    )


def _alike(one: CylinderParameters, two: CylinderParameters) -> bool:
    return one == two


def _friction_power(rig: Rig) -> float:
    """Friction that makes the mechanical efficiency hold at cut-out. [W]"""
    indicated = steady(rig, rig.switch.cut_out + air.STANDARD_PRESSURE).indicated_power
    return indicated * (1 / rig.pump.mechanical_efficiency_at_cut_out - 1)


def _drive(rig: Rig, v: _Reader) -> DriveParameters:
    slip = v("drive.slip_pct") / 100
    nominal = rig.drive.ratio / v("drive.ratio_factor")
    ratio = nominal * (1 - HEALTHY_SLIP) / (1 - slip)
    return DriveParameters(ratio, nominal * rig.drive.efficiency, slip)


def _supply(rig: Rig, v: _Reader) -> SupplyParameters:
    # A switch in the motor's line breaks both legs of a single phase, one after the other; of three phases each
    # line has its own pole. A starter's poles are as good as new unless they are worn.
    poles = 2 if rig.motor.kind == "single-phase" else 1
    ohm = v("switch.contact_ohm") if rig.control == "breaks-motor" else _STARTER_OHM
    if v.state("starter.state") == "contacts_worn":
        ohm = _WORN_OHM
    return SupplyParameters(
        rig.supply.voltage * v("supply.volts_factor"),
        rig.supply.resistance + v("supply.upstream_ohm"),
        v("supply.extra_ohm"),
        v("supply.joint_ohm"),
        poles * ohm,
        v("supply.unbalance_pct") / 100 if rig.motor.kind == "three-phase" else 0.0,
        v.flag("supply.phase_open"),
    )


def _switch(rig: Rig, v: _Reader) -> PressureSwitchParameters:
    pilot = rig.control == "pilot-valve"
    free = v("switch.sense_area_factor")
    dead = v.state("switch.state") == "open" or v.state("starter.state") == "coil_open"
    return PressureSwitchParameters(
        _NEVER if pilot else rig.switch.cut_in + _psi(v("switch.cut_in_offset_psi")),
        2 * _NEVER if pilot else rig.switch.cut_out + _psi(v("switch.cut_out_offset_psi")),
        v.leak("switch.body_leak_d_mm"),
        v.flag("switch.state", "welded"),
        float(dead),
        free * free / SENSING_TIME,
    )


def _unloader(rig: Rig, v: _Reader) -> UnloaderParameters:
    spec = rig.unloader
    kind = float(unloaders.KINDS.index(spec.kind))
    vent = LEAK_COEFFICIENT * disc_area(spec.vent_diameter)
    left = v("unloader.open_fraction") * v("unloader.tube_area_factor")
    shuts, opens = _unloader_settings(rig, v)
    return UnloaderParameters(
        kind,
        vent * left * (1.0 - spec.interstage_share),
        v.leak("unloader.running_leak_d_mm"),
        v.leak("unloader.tube_leak_d_mm"),
        vent * v("unloader.open_fraction") * spec.interstage_share,
        v.flag("unloader.tube_side", "tank"),
        v.flag("unloader.always_open"),
        float(spec.kind != "hydraulic"),
        shuts,
        opens,
    )


def _unloader_settings(rig: Rig, v: _Reader) -> tuple[float, float]:
    """Where the unloader shuts and opens: oil pressure, crank speed or receiver pressure, by its kind."""
    spec = rig.unloader
    match spec.kind:
        case "hydraulic":
            return _psi(spec.shuts_at), _psi(spec.opens_at)
        case "centrifugal":
            return spec.shuts_at * math.pi / 30, spec.opens_at * math.pi / 30
        case "pilot":
            state = v.state("pilot.state")
            reload = rig.switch.cut_in + _psi(v("pilot.reload_offset_psi"))
            unload = rig.switch.cut_out + _psi(v("pilot.unload_offset_psi"))
            return (
                -_NEVER if state == "never_reloads" else reload,
                _NEVER if state == "never_unloads" else unload,
            )
    return 0.0, 0.0


def _head_line(rig: Rig, v: _Reader) -> HeadLineParameters:
    spec = rig.head_line
    bore = _THROAT_COEFFICIENT * disc_area(spec.bore) * v("headline.area_factor")
    return HeadLineParameters(
        spec.tube_volume + spec.head_chamber_volume,
        spec.heat_loss,
        spec.heat_capacity,
        v.leak("headline.leak_d_mm"),
        _CLOSED if v.state("headline.stop_valve") == "closed" else bore,
        _JOINT_MARGIN * rig.receiver.maximum_pressure,
        _JOINT_AREA,
        spec.tank_end_share,
    )


def _check_valve(rig: Rig, v: _Reader) -> CheckValveParameters:
    spec = rig.check_valve
    forward = _THROAT_COEFFICIENT * disc_area(spec.forward_diameter)
    leak = LEAK_COEFFICIENT * disc_area(spec.forward_diameter) * v("check.reverse_ratio")
    match v.state("check.state"):
        case "stuck_shut":
            return CheckValveParameters(0.0, spec.crack_pressure, _CLOSED, 0.0)
        case "reversed":
            return CheckValveParameters(0.0, spec.crack_pressure, leak, forward)
        case "missing":
            return CheckValveParameters(forward, spec.crack_pressure, forward, forward)
    return CheckValveParameters(forward, spec.crack_pressure, leak, 0.0)


_CONNECTIONS = {"matched": 0.0, "low_on_high": -1.0, "high_on_low": 1.0}
# What a motor has not: fields of one kind of prime mover that another leaves empty.
_NO_MOTOR = MotorParameters(**dict.fromkeys(MotorParameters._fields, 0.0))


def _motor(rig: Rig, v: _Reader) -> MotorParameters:
    if isinstance(rig.motor, EngineSpec):
        return _engine(rig.motor, v)
    return _electric_motor(rig.motor, v)


def _electric_motor(spec: MotorSpec, v: _Reader) -> MotorParameters:
    single = spec.kind == "single-phase"
    factor = spec.other_voltage_factor ** _CONNECTIONS[v.state("motor.connection")]
    scale, breakdown_slip, backward, start = motors.slip_curve(spec)
    limit, bend = motors.load_current_curve(spec)
    # A winding for other poles gives the same power at another speed.
    speed = _other_poles(spec) if v.state("motor.poles") == "swapped" else 1.0
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
        protector_trip=_NEVER
        if v.state("switch.wiring") == "overload_bypassed"
        else _trip_temperature(spec, v("motor.trip_factor")),
        protector_rise=spec.protector_rise,
        protector_time_constant=spec.protector_time_constant,
        protector_on_winding=float(spec.protector == "on-winding"),
        protector_resets=float(spec.protector_reset == "automatic"),
        idle_speed=1.0,
        firing_speed=1.0,
        starter_speed=1.0,
        torque_reserve=1.0,
        governor_droop=1.0,
    )


def _trip_temperature(spec: MotorSpec, trip_factor: float) -> float:
    """Temperature at which the protector opens: of a relay the rise goes with the square of its set current."""
    if spec.protector == "on-winding":
        return 273.15 + (spec.protector_trip - 273.15) * trip_factor
    room = air.FREE_AIR_TEMPERATURE
    return room + (spec.protector_trip - room) * trip_factor**2


def _other_poles(spec: MotorSpec) -> float:
    """Speed of the four-pole motor over the two-pole one it is taken for, or the other way round."""
    return 0.5 if spec.poles == 2 else 2.0  # noqa: PLR2004  poles


def _start_current(spec: MotorSpec) -> float:
    """Current of start winding and capacitor at the plate's voltage, from their impedance. [A]

    The winding's own reactance is taken as its resistance (common practice, no source).
    """
    farad = sum(spec.start_capacitor) / 2 * 1e-6
    reactance = 1.0 / (2 * math.pi * spec.frequency * farad) - spec.start_winding_resistance
    return spec.rated_voltage / math.hypot(spec.start_winding_resistance, reactance)


def _engine(spec: EngineSpec, v: _Reader) -> MotorParameters:
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
        winding_limit=_NEVER,
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


def _receiver(rig: Rig, v: _Reader) -> ReceiverParameters:
    spec = rig.receiver
    # The cooling time constant is that of the air at cut-out settling to the room.
    charged = air.density(rig.switch.cut_out + air.STANDARD_PRESSURE, air.FREE_AIR_TEMPERATURE) * spec.volume
    return ReceiverParameters(
        spec.volume,
        charged * air.CV / spec.cooling_time_constant,
        spec.mixing_heat_loss,
        v.leak("receiver.leak_d_mm"),
        v.leak("receiver.drain_leak_d_mm"),
        LEAK_COEFFICIENT * disc_area(spec.drain_diameter),
        WATER_DENSITY * spec.volume * v("receiver.water_fraction"),
        _OVER_PRESSURE * rig.relief.set_pressure,
    )


def _tank_relief(rig: Rig, v: _Reader) -> ReliefValveParameters:
    offset = _psi(v("relief.tank.set_offset_psi"))
    relief = _relief(rig.relief, v.leak("relief.tank.leak_d_mm"))
    match v.state("relief.tank.state"):
        case "seized":
            return relief._replace(set_pressure=_NEVER, open_area=0.0)  # its ring does not move either
        case "plugged":
            return relief._replace(set_pressure=_NEVER, open_area=0.0, leak_area=0.0)
    return relief._replace(
        set_pressure=relief.set_pressure + offset, reseat_pressure=relief.reseat_pressure + offset
    )


def _relief(spec: ReliefValveSpec | None, leak_area: float) -> ReliefValveParameters:
    """A relief valve, or one that never opens where there is none."""
    if spec is None:
        return ReliefValveParameters(_NEVER, 0.0, 0.0, 0.0)
    full_lift = 1.1 * spec.set_pressure + air.STANDARD_PRESSURE
    per_area = orifice_mass_flow(1.0, full_lift, air.FREE_AIR_TEMPERATURE, air.STANDARD_PRESSURE)
    return ReliefValveParameters(
        spec.set_pressure, spec.reseat_pressure, spec.capacity * air.FREE_AIR_DENSITY / per_area, leak_area
    )


def _outlet(rig: Rig, v: _Reader) -> OutletParameters:
    spec = rig.outlet
    at_90 = convert(90.0, "psi", "Pa") + air.STANDARD_PRESSURE
    per_area = orifice_mass_flow(1.0, at_90, air.FREE_AIR_TEMPERATURE, air.STANDARD_PRESSURE)
    own = steady(rig, at_90).free_air * air.FREE_AIR_DENSITY / per_area
    # Creep is given as the rise of the line's pressure with no flow; the seat then leaks from cut-out.
    rise = _psi(v("outlet.regulator_creep_psi_min")) / 60
    creep = rise * spec.shop_line_volume / (air.GAS_CONSTANT * air.FREE_AIR_TEMPERATURE)
    full = rig.switch.cut_out + air.STANDARD_PRESSURE
    seat = orifice_mass_flow(1.0, full, air.FREE_AIR_TEMPERATURE, at_90)
    return OutletParameters(
        spec.regulator_set,
        spec.regulator_droop,
        _THROAT_COEFFICIENT * disc_area(spec.regulator_diameter),
        spec.shop_line_volume,
        v("outlet.demand_fad_fraction") * own,
        v.leak("outlet.downstream_leak_d_mm"),
        _THROAT_COEFFICIENT * disc_area(spec.hose_bore) * v("outlet.area_factor"),
        _TOOL_SHARE * own,
        creep / seat,
        _BONNET_AREA if spec.regulator == "relieving" else 0.0,
    )


def _intake(rig: Rig, v: _Reader) -> IntakeParameters:
    temperature = 273.15 + v("cooling.ambient_c")
    pressure = air.standard_pressure(v("cooling.altitude_m"))
    vapour = rig.intake.relative_humidity * air.saturation_pressure(temperature)
    # Mass flow through the filter of a healthy pump against no pressure, for which its clean drop is given.
    full = air.FREE_AIR_DENSITY * steady(rig, air.STANDARD_PRESSURE).free_air
    return IntakeParameters(
        rig.intake.element_drop_clean / full**2 / v("intake.area_factor") ** 2,
        pressure,
        temperature,
        air.humidity_ratio(vapour, pressure),
    )
