"""A rig with its faults put in: every physical parameter the engine needs, as one tuple of tuples."""

import math
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from simulator import air, heat
from simulator.adjustable import Values, fault_values
from simulator.components import motor as motors
from simulator.components.check_valve import CheckValveParameters
from simulator.components.cycle import cycle_averages
from simulator.components.drive import HEALTHY_SLIP, DriveParameters
from simulator.components.head_line import HeadLineParameters
from simulator.components.intake import IntakeParameters
from simulator.components.motor import MotorParameters
from simulator.components.outlet import OutletParameters
from simulator.components.pressure_switch import PressureSwitchParameters
from simulator.components.pump import CylinderParameters, PumpParameters
from simulator.components.receiver import WATER_DENSITY, ReceiverParameters
from simulator.components.relief_valve import ReliefValveParameters
from simulator.components.supply import SupplyParameters
from simulator.components.unloader import UnloaderParameters
from simulator.faults import Fault, Injected
from simulator.flow import LEAK_COEFFICIENT, disc_area, orifice_mass_flow
from simulator.rig import Rig
from simulator.units import convert

# Flow coefficient of a valve's throat (check valve, regulator); sharp openings use LEAK_COEFFICIENT.
# Common practice, no source.
_THROAT_COEFFICIENT = 0.65


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
    return air.FREE_AIR_DENSITY * _drawn(rig, air.STANDARD_PRESSURE)


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
    spec, room = rig.pump, air.STANDARD_PRESSURE
    top = rig.switch.cut_out + room
    indicated = heat.adiabatic_power(room, _drawn(rig, top), top, 1) / spec.indicated_efficiency
    return float(indicated * (1 / spec.mechanical_efficiency_at_cut_out - 1))


def _drawn(rig: Rig, head_pressure: float) -> float:
    """Free air a healthy pump draws at rated speed against a pressure. [m³/s]"""
    spec = rig.pump
    ratio = head_pressure / air.STANDARD_PRESSURE
    filled = sum(
        cylinder.swept_volume
        * heat.volumetric_efficiency(cylinder.clearance_ratio, ratio, spec.expansion_exponent)
        for cylinder in spec.cylinders
    )
    return float(filled * spec.delivery_factor * spec.speed_rpm / 60)


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
        WATER_DENSITY * spec.volume * v("receiver.water_fraction"),
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
    free_air = _drawn(rig, at_90 + air.STANDARD_PRESSURE)
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
