"""A rig with its faults put in: every physical parameter the engine needs, as one tuple of tuples."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from simulator import air
from simulator.components import motor as motors
from simulator.components.check_valve import CheckValveParameters
from simulator.components.drive import HEALTHY_SLIP, DriveParameters
from simulator.components.head_line import HeadLineParameters
from simulator.components.intake import IntakeParameters
from simulator.components.motor import MotorParameters
from simulator.components.outlet import OutletParameters
from simulator.components.pressure_switch import PressureSwitchParameters
from simulator.components.pump import CylinderParameters, PumpParameters, cycle_averages
from simulator.components.receiver import ReceiverParameters
from simulator.components.relief_valve import ReliefValveParameters
from simulator.components.spec import nearest
from simulator.components.supply import SupplyParameters
from simulator.components.unloader import UnloaderParameters
from simulator.faults import Fault, Injected, Value, check_injected
from simulator.flow import LEAK_COEFFICIENT, disc_area, orifice_mass_flow
from simulator.rig import Rig
from simulator.units import convert

# Flow coefficient of a valve's throat (check valve, regulator); sharp openings use LEAK_COEFFICIENT.
# Common practice, no source.
_THROAT_COEFFICIENT = 0.65


class BadParameter(ValueError):
    """A parameter that is not known, or a value it cannot have."""


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
    outlet: OutletParameters
    intake: IntakeParameters


@dataclass(frozen=True)
class Adjustable:
    """A parameter that faults and instructors may change: healthy value and limits, in the unit of its name."""

    healthy: Value
    low: float = 0.0
    high: float = math.inf
    combine: str = "replace"  # how several faults add up: areas | factor | offset | replace
    per_cylinder: bool = False
    states: tuple[str, ...] = ()


ADJUSTABLE: dict[str, Adjustable] = {
    "pump.ring_leak_d_mm": Adjustable(0.25, per_cylinder=True, high=25.0, combine="areas"),
    "pump.intake_valve_leak_d_mm": Adjustable(0.1, per_cylinder=True, high=25.0, combine="areas"),
    "pump.discharge_valve_leak_d_mm": Adjustable(0.1, per_cylinder=True, high=25.0, combine="areas"),
    "pump.friction_factor": Adjustable(1.0, low=0.2, high=10.0, combine="factor"),
    "intake.area_factor": Adjustable(1.0, low=0.01, high=1.5, combine="factor"),
    "cooling.ambient_c": Adjustable(20.0, low=-30.0, high=60.0),
    "cooling.altitude_m": Adjustable(0.0, low=-400.0, high=4500.0),
    "cooling.surface_factor": Adjustable(1.0, low=0.05, high=1.5, combine="factor"),
    "headline.leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    # A sound soft-seated valve holds a head charged by a dead unloader at nearly nothing by the morning, as the
    # trade reports; that asks for a tighter seat than the leak which a careful hand can just find.
    "check.reverse_ratio": Adjustable(2e-6, high=1.0, combine="offset"),
    "unloader.open_fraction": Adjustable(1.0, high=1.0, combine="factor"),
    "unloader.running_leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    "unloader.tube_area_factor": Adjustable(1.0, high=1.0, combine="factor"),
    "switch.cut_in_offset_psi": Adjustable(0.0, low=-60.0, high=60.0, combine="offset"),
    "switch.cut_out_offset_psi": Adjustable(0.0, low=-60.0, high=60.0, combine="offset"),
    "switch.contact_ohm": Adjustable(0.005, high=10.0, combine="offset"),
    "switch.body_leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    "receiver.leak_d_mm": Adjustable(0.04, high=25.0, combine="areas"),
    "receiver.drain_leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    "relief.tank.leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    "relief.tank.set_offset_psi": Adjustable(0.0, low=-100.0, high=200.0, combine="offset"),
    "outlet.downstream_leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    "outlet.demand_fad_fraction": Adjustable(0.3, high=5.0),
    "supply.volts_factor": Adjustable(1.0, low=0.3, high=1.3, combine="factor"),
    "supply.extra_ohm": Adjustable(0.0, high=20.0, combine="offset"),
    "motor.start_cap_factor": Adjustable(1.0, high=2.0, combine="factor"),
    "motor.cooling_factor": Adjustable(1.0, low=0.05, high=2.0, combine="factor"),
    "motor.trip_factor": Adjustable(1.0, low=0.3, high=10.0, combine="factor"),
    "motor.connection": Adjustable("matched", states=("matched", "low_on_high", "high_on_low")),
    "drive.slip_pct": Adjustable(1.0, high=95.0),
}
Values = dict[str, Value]


def _check_value(name: str, value: Value) -> Value:
    known = ADJUSTABLE[name]
    if known.states:
        if value not in known.states:
            raise BadParameter(f"{name} cannot be '{value}'. It is one of: {', '.join(known.states)}.")
        return value
    if isinstance(value, bool | str) or not known.low <= value <= known.high:
        raise BadParameter(f"{name} = {value} is outside {known.low:g} to {known.high:g}.")
    return float(value)


def healthy_values(rig: Rig) -> Values:
    """Every adjustable parameter of a healthy machine; per-cylinder ones once for each cylinder.

    Parameters
    ----------
    rig : Rig
        The rig.

    Returns
    -------
    dict
        Value by name; "name@cyl1" for a cylinder's own.
    """
    values: Values = {}
    for name, known in ADJUSTABLE.items():
        if known.per_cylinder:
            values.update({f"{name}@{cylinder.slug}": known.healthy for cylinder in rig.pump.cylinders})
        else:
            values[name] = known.healthy
    return values


def _combined(name: str, old: Value, new: Value) -> Value:
    """Put a fault's value on top of what is there: leaks on one path add their areas."""
    known = ADJUSTABLE[name]
    if isinstance(old, str) or isinstance(new, str) or old == known.healthy:
        return new
    match known.combine:
        case "areas":
            return math.hypot(float(old), float(new))
        case "factor":
            return float(old) * float(new)
        case "offset":
            return float(old) + float(new) - float(known.healthy)
    return new


def fault_values(rig: Rig, catalogue: Mapping[str, Fault], injected: Iterable[Injected]) -> Values:
    """Adjustable parameters with faults put in.

    Parameters
    ----------
    rig : Rig
        The rig.
    catalogue : mapping
        Faults by slug.
    injected : iterable of Injected
        Faults to put in.

    Returns
    -------
    dict
        Value by name, see `healthy_values`.

    Raises
    ------
    BadFault
        For a fault this rig cannot have.
    BadParameter
        For an effect on a parameter that is not known or out of its range.
    """
    injected = tuple(injected)
    check_injected(catalogue, rig.slug, injected)
    values = healthy_values(rig)
    for one in injected:
        for effect in catalogue[one.fault].effects:
            set_value(rig, values, effect.parameter, effect.at(one.severity), one.location)
    return values


def set_value(rig: Rig, values: Values, name: str, value: Value, location: str | None = None) -> None:
    """Put one value on top of what is there.

    Parameters
    ----------
    rig : Rig
        The rig.
    values : dict
        Changed in place.
    name : str
        Of the parameter; "name@cyl1" for one cylinder.
    value : float or str
        In the unit the name says.
    location : str, optional
        A cylinder; all cylinders if left out.

    Raises
    ------
    BadParameter
        For an unknown name or a value out of range.
    """
    plain, _, at = name.partition("@")
    if plain not in ADJUSTABLE:
        raise BadParameter(f"No parameter is called '{plain}'.{nearest(plain, set(ADJUSTABLE))}")
    value = _check_value(plain, value)
    location = at or location
    if not ADJUSTABLE[plain].per_cylinder:
        values[plain] = _combined(plain, values[plain], value)
        return
    cylinders = [cylinder.slug for cylinder in rig.pump.cylinders if location in (None, cylinder.slug)]
    if not cylinders:
        raise BadParameter(f"'{location}' is no cylinder of {rig.slug}.")
    for slug in cylinders:
        values[f"{plain}@{slug}"] = _combined(plain, values[f"{plain}@{slug}"], value)


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

    Parameters
    ----------
        For the engine, SI.

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

    Parameters
    ----------
        For the engine, SI.
    """
    v = _Reader(values)
    return Parameters(
        pump=_pump(rig, v),
        drive=_drive(rig, v),
        motor=_motor(rig, v),
        supply=SupplyParameters(
            rig.supply.voltage * v("supply.volts_factor"),
            rig.supply.resistance,
            v("supply.extra_ohm"),
            2 * v("switch.contact_ohm"),
        ),
        switch=PressureSwitchParameters(
            rig.switch.cut_in + _psi(v("switch.cut_in_offset_psi")),
            rig.switch.cut_out + _psi(v("switch.cut_out_offset_psi")),
            v.leak("switch.body_leak_d_mm"),
        ),
        unloader=UnloaderParameters(
            LEAK_COEFFICIENT
            * disc_area(rig.unloader.vent_diameter)
            * v("unloader.open_fraction")
            * v("unloader.tube_area_factor"),
            v.leak("unloader.running_leak_d_mm"),
        ),
        head_line=HeadLineParameters(
            rig.head_line.tube_volume + rig.head_line.head_chamber_volume,
            rig.head_line.heat_loss,
            rig.head_line.heat_capacity,
            v.leak("headline.leak_d_mm"),
        ),
        check_valve=CheckValveParameters(
            _THROAT_COEFFICIENT * disc_area(rig.check_valve.forward_diameter),
            rig.check_valve.crack_pressure,
            LEAK_COEFFICIENT * disc_area(rig.check_valve.forward_diameter) * v("check.reverse_ratio"),
        ),
        receiver=_receiver(rig, v),
        relief=_relief(rig, v),
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

    def leak(self, name: str) -> float:
        """Flow area of a leak given by the diameter of an equal sharp hole."""
        return float(LEAK_COEFFICIENT * disc_area(self(name) / 1000))


def _psi(value: float) -> float:
    return convert(value, "psi", "Pa")


def _healthy_mass_flow(rig: Rig) -> float:
    """Mass flow through the filter of a healthy pump against no pressure, which its clean drop is given for."""
    return air.FREE_AIR_DENSITY * rig.swept_volume * rig.pump.speed_rpm / 60 * rig.pump.delivery_factor


def _pump(rig: Rig, v: _Reader) -> PumpParameters:
    spec = rig.pump
    cylinders = [
        CylinderParameters(
            cylinder.swept_volume,
            cylinder.clearance_ratio,
            v.leak(f"pump.ring_leak_d_mm@{cylinder.slug}"),
            v.leak(f"pump.intake_valve_leak_d_mm@{cylinder.slug}"),
            v.leak(f"pump.discharge_valve_leak_d_mm@{cylinder.slug}"),
            cycle_averages(cylinder.clearance_ratio, spec.expansion_exponent),
        )
        for cylinder in spec.cylinders
    ]
    speed = spec.speed_rpm * math.pi / 30
    return PumpParameters(
        cylinders[0],
        cylinders[1],
        spec.delivery_factor,
        spec.expansion_exponent,
        spec.indicated_efficiency,
        v("pump.friction_factor") * _friction_power(rig) / speed,
        spec.peak_to_mean_torque,
        speed,
        spec.flywheel_inertia,
        LEAK_COEFFICIENT * disc_area(spec.breather_diameter),
        spec.head_heat_loss * v("cooling.surface_factor"),
        spec.head_heat_capacity,
        spec.head_to_head,
    )


def _friction_power(rig: Rig) -> float:
    """Friction that makes the mechanical efficiency hold at cut-out. [W]"""
    spec = rig.pump
    ratio = (rig.switch.cut_out + air.STANDARD_PRESSURE) / air.STANDARD_PRESSURE
    indicated = 0.0
    for cylinder in spec.cylinders:
        efficiency = 1 - cylinder.clearance_ratio * (ratio ** (1 / spec.expansion_exponent) - 1)
        drawn = cylinder.swept_volume * spec.speed_rpm / 60 * spec.delivery_factor * efficiency
        indicated += (
            3.5 * air.STANDARD_PRESSURE * drawn * (ratio ** (1 / 3.5) - 1) / spec.indicated_efficiency
        )
    return indicated * (1 / spec.mechanical_efficiency_at_cut_out - 1)


def _drive(rig: Rig, v: _Reader) -> DriveParameters:
    slip = v("drive.slip_pct") / 100
    ratio = rig.drive.ratio * (1 - HEALTHY_SLIP) / (1 - slip)
    return DriveParameters(ratio, rig.drive.ratio * rig.drive.efficiency, slip)


_CONNECTIONS = {"matched": 1.0, "low_on_high": 0.5, "high_on_low": 2.0}


def _motor(rig: Rig, v: _Reader) -> MotorParameters:
    spec = rig.motor
    factor = _CONNECTIONS[v.state("motor.connection")]
    scale, breakdown_slip, backward = motors.slip_curve(spec)
    limit, bend = motors.load_current_curve(spec)
    start = spec.locked_rotor_torque_fraction - motors.RUN_STANDSTILL_TORQUE
    synchronous = spec.synchronous_speed_rpm * math.pi / 30
    return MotorParameters(
        synchronous,
        spec.full_load_torque,
        scale,
        breakdown_slip,
        backward,
        start
        * min(v("motor.start_cap_factor"), 1.0) ** 2,  # current and phase shift both go with the capacitance
        spec.rated_voltage * factor,
        spec.full_load_current / factor,
        spec.no_load_current_fraction,
        limit,
        bend,
        spec.main_winding_resistance * factor**2,
        spec.constant_loss,
        spec.start_switch_speed_fraction * synchronous,
        spec.inertia,
        spec.winding_rise,
        spec.winding_time_constant,
        v("motor.cooling_factor"),
        273.15 + (spec.protector_trip - 273.15) * v("motor.trip_factor"),
        spec.protector_rise,
        spec.protector_time_constant,
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
    )


def _relief(rig: Rig, v: _Reader) -> ReliefValveParameters:
    spec = rig.relief
    offset = _psi(v("relief.tank.set_offset_psi"))
    full_lift = 1.1 * spec.set_pressure + air.STANDARD_PRESSURE
    per_area = orifice_mass_flow(1.0, full_lift, air.FREE_AIR_TEMPERATURE, air.STANDARD_PRESSURE)
    return ReliefValveParameters(
        spec.set_pressure + offset,
        spec.reseat_pressure + offset,
        spec.capacity * air.FREE_AIR_DENSITY / per_area,
        v.leak("relief.tank.leak_d_mm"),
    )


def _outlet(rig: Rig, v: _Reader) -> OutletParameters:
    spec = rig.outlet
    at_90 = convert(90.0, "psi", "Pa")
    ratio = (at_90 + air.STANDARD_PRESSURE) / air.STANDARD_PRESSURE
    clearance = rig.pump.cylinders[0].clearance_ratio
    efficiency = rig.pump.delivery_factor * (1 - clearance * (ratio ** (1 / rig.pump.expansion_exponent) - 1))
    free_air = rig.swept_volume * rig.pump.speed_rpm / 60 * efficiency
    per_area = orifice_mass_flow(
        1.0, at_90 + air.STANDARD_PRESSURE, air.FREE_AIR_TEMPERATURE, air.STANDARD_PRESSURE
    )
    return OutletParameters(
        spec.regulator_set,
        spec.regulator_droop,
        _THROAT_COEFFICIENT * disc_area(spec.regulator_diameter),
        spec.shop_line_volume,
        v("outlet.demand_fad_fraction") * free_air * air.FREE_AIR_DENSITY / per_area,
        v.leak("outlet.downstream_leak_d_mm"),
    )


def _intake(rig: Rig, v: _Reader) -> IntakeParameters:
    temperature = 273.15 + v("cooling.ambient_c")
    pressure = air.standard_pressure(v("cooling.altitude_m"))
    vapour = rig.intake.relative_humidity * air.saturation_pressure(temperature)
    return IntakeParameters(
        rig.intake.element_drop_clean / _healthy_mass_flow(rig) ** 2 / v("intake.area_factor") ** 2,
        pressure,
        temperature,
        air.humidity_ratio(vapour, pressure),
    )
