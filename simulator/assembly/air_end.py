"""Air end and drive."""

import math

from simulator import air
from simulator.assembly.reader import THROAT_COEFFICIENT, Reader
from simulator.components import pump as pumps
from simulator.components.cycle import cycle_averages
from simulator.components.drive import HEALTHY_SLIP, DriveParameters
from simulator.components.pump import CylinderParameters, CylinderSpec, PumpParameters
from simulator.flow import LEAK_COEFFICIENT, disc_area, series_area
from simulator.rig import Rig
from simulator.steady import steady

# Valves of a cylinder: throat area over bore area (common practice, no source).
_VALVE_SHARE = 0.1
# Pressure lost in discharge and intake valves at rated speed, over the pressure, when they are clean; the plate's
# efficiency holds it already, so only what choked valves add is counted. Common practice, no source.
_DISCHARGE_CHOKE, _INTAKE_CHOKE = 0.03, 0.015
# Friction that no motor here can overcome, over full-load torque at the crank.
_SEIZED = 50.0
# Oil level, over the mark, below which a gear pump draws air (common practice, no source).
_SUCTION_LEVEL = 0.4


def pump(rig: Rig, v: Reader) -> PumpParameters:
    """Figures of the air end.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    PumpParameters
        SI, faults included.
    """
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
        float(first[0] == first[1]),
        float(second[0] == second[1]),
        spec.delivery_factor,
        spec.expansion_exponent,
        spec.indicated_efficiency,
        friction,
        spec.peak_to_mean_torque,
        speed,
        spec.flywheel_inertia,
        LEAK_COEFFICIENT * disc_area(spec.breather_diameter) * v("crankcase.breather_area_factor"),
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
        _forward_area(rig.first_stage),
        _forward_area(rig.second_stage),
        spec.oil_pressure * v("lube.pressure_factor") * forward * _suction_share(v("lube.level_fraction")),
    )


def _suction_share(level_fraction: float) -> float:
    """Share of its pressure a gear pump keeps when the oil stands below its suction (common practice, no source)."""
    return min(level_fraction / _SUCTION_LEVEL, 1.0)


def _fan_share(fan_factor: float) -> float:
    """Share of its cooling an intercooler keeps when its fan gives less air.

    Forced convection across tubes goes with about the 0.6th power of the air's speed: Incropera and DeWitt,
    Fundamentals of Heat and Mass Transfer, banks of tubes (from memory).
    """
    return float(max(fan_factor, 0.05) ** 0.6)


def _forward_area(cylinders: tuple[CylinderSpec, ...]) -> float:
    """Flow area through intake and discharge valves of a stage, one behind the other. [m²]"""
    throats = sum(THROAT_COEFFICIENT * _VALVE_SHARE * disc_area(c.bore) for c in cylinders)
    return float(series_area(throats, throats))


_DEAD = {
    ("broken_open", "ok"): pumps.BREATHES,
    ("stuck_shut", "ok"): pumps.SILENT,
    ("ok", "broken_open"): pumps.SILENT,
    ("ok", "stuck_shut"): pumps.SHUT_IN,
    ("ok", "ok"): pumps.WORKS,
}


_NO_CYLINDER = CylinderParameters(0.0, 0.06, 0.0, 0.0, 0.0, 0.0, 0.0, pumps.WORKS, cycle_averages(0.06, 1))


def _stage(
    rig: Rig, v: Reader, cylinders: tuple[CylinderSpec, ...]
) -> tuple[CylinderParameters, CylinderParameters]:
    """Both cylinders of a stage; one that is not there sweeps nothing."""
    there = [_cylinder(rig, v, cylinder) for cylinder in cylinders]
    one, two = (*there, _NO_CYLINDER, _NO_CYLINDER)[:2]
    return one, two


def _cylinder(rig: Rig, v: Reader, spec: CylinderSpec) -> CylinderParameters:
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
        cycle_averages(spec.clearance_ratio, spec.stage),
    )


def _friction_power(rig: Rig) -> float:
    """Friction that makes the mechanical efficiency hold at cut-out. [W]"""
    indicated = steady(rig, rig.switch.cut_out + air.STANDARD_PRESSURE).indicated_power
    return indicated * (1 / rig.pump.mechanical_efficiency_at_cut_out - 1)


def drive(rig: Rig, v: Reader) -> DriveParameters:
    """Figures of the drive.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    DriveParameters
        SI, faults included.
    """
    slip = v("drive.slip_pct") / 100
    nominal = rig.drive.ratio / v("drive.ratio_factor")
    ratio = nominal * (1 - HEALTHY_SLIP) / (1 - slip)
    return DriveParameters(ratio, nominal * rig.drive.efficiency, slip)
