"""Everything that holds air: unloader, head line, check valve, receiver, reliefs, outlet, intake."""

import math

from simulator import air
from simulator.assembly.reader import NEVER, THROAT_COEFFICIENT, Reader, psi
from simulator.components import unloader as unloaders
from simulator.components.check_valve import CheckValveParameters
from simulator.components.head_line import HeadLineParameters
from simulator.components.intake import IntakeParameters
from simulator.components.outlet import OutletParameters
from simulator.components.receiver import WATER_DENSITY, ReceiverParameters
from simulator.components.relief_valve import ReliefValveParameters, ReliefValveSpec
from simulator.components.unloader import UnloaderParameters
from simulator.flow import LEAK_COEFFICIENT, disc_area, orifice_mass_flow
from simulator.rig import Rig
from simulator.steady import steady
from simulator.units import convert

# A head gasket lifts, and lets air out, at this many times the receiver's MAWP (common practice, no source).
_JOINT_MARGIN = 1.8
_JOINT_AREA = LEAK_COEFFICIENT * 2.0e-5  # [m²]
# What is left of a shut valve that cannot leak. [m²]
_CLOSED = 1e-12
# A receiver counts as over-pressed above this many times its relief's set pressure.
_OVER_PRESSURE = 1.1
# A tool held open draws about the machine's own free air (common practice, no source).
_TOOL_SHARE = 1.0
# Vent of a relieving regulator's bonnet [m²] (common practice, no source).
_BONNET_AREA = LEAK_COEFFICIENT * 3.0e-6


def unloader(rig: Rig, v: Reader) -> UnloaderParameters:
    """Figures of the unloader.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    UnloaderParameters
        SI, faults included.
    """
    spec = rig.unloader
    kind = float(unloaders.KINDS.index(spec.kind))
    vent = LEAK_COEFFICIENT * disc_area(spec.vent_diameter)
    left = v("unloader.open_fraction") * v("unloader.tube_area_factor")
    shuts, opens = _unloader_settings(rig, v)
    return UnloaderParameters(
        kind,
        vent * left,
        v.leak("unloader.running_leak_d_mm"),
        v.leak("unloader.tube_leak_d_mm"),
        vent * v("unloader.open_fraction") * spec.interstage_share,
        v.flag("unloader.tube_side", "tank"),
        v.flag("unloader.always_open"),
        float(spec.kind != "hydraulic"),
        shuts,
        opens,
    )


def _unloader_settings(rig: Rig, v: Reader) -> tuple[float, float]:
    """Where the unloader shuts and opens: oil pressure, crank speed or receiver pressure, by its kind."""
    spec = rig.unloader
    match spec.kind:
        case "hydraulic":
            return psi(spec.shuts_at), psi(spec.opens_at)
        case "centrifugal":
            return spec.shuts_at * math.pi / 30, spec.opens_at * math.pi / 30
        case "pilot":
            state = v.state("pilot.state")
            reload = rig.switch.cut_in + psi(v("pilot.reload_offset_psi"))
            unload = rig.switch.cut_out + psi(v("pilot.unload_offset_psi"))
            return (
                -NEVER if state == "never_reloads" else reload,
                NEVER if state == "never_unloads" else unload,
            )
    return 0.0, 0.0


def head_line(rig: Rig, v: Reader) -> HeadLineParameters:
    """Figures of the head line.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    HeadLineParameters
        SI, faults included.
    """
    spec = rig.head_line
    bore = THROAT_COEFFICIENT * disc_area(spec.bore) * v("headline.area_factor")
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


def check_valve(rig: Rig, v: Reader) -> CheckValveParameters:
    """Figures of the check valve.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    CheckValveParameters
        SI, faults included.
    """
    spec = rig.check_valve
    forward = THROAT_COEFFICIENT * disc_area(spec.forward_diameter)
    leak = LEAK_COEFFICIENT * disc_area(spec.forward_diameter) * v("check.reverse_ratio")
    match v.state("check.state"):
        case "stuck_shut":
            return CheckValveParameters(0.0, spec.crack_pressure, _CLOSED, 0.0)
        case "reversed":
            return CheckValveParameters(0.0, spec.crack_pressure, leak, forward)
        case "missing":
            return CheckValveParameters(forward, spec.crack_pressure, forward, forward)
    return CheckValveParameters(forward, spec.crack_pressure, leak, 0.0)


def receiver(rig: Rig, v: Reader) -> ReceiverParameters:
    """Figures of the receiver.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    ReceiverParameters
        SI, faults included.
    """
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


def tank_relief(rig: Rig, v: Reader) -> ReliefValveParameters:
    """Figures of the receiver's relief valve.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    ReliefValveParameters
        SI, faults included.
    """
    offset = psi(v("relief.tank.set_offset_psi"))
    valve = relief(rig.relief, v.leak("relief.tank.leak_d_mm"))
    match v.state("relief.tank.state"):
        case "seized":
            return valve._replace(set_pressure=NEVER, open_area=0.0)  # its ring does not move either
        case "plugged":
            return valve._replace(set_pressure=NEVER, open_area=0.0, leak_area=0.0)
    return valve._replace(
        set_pressure=valve.set_pressure + offset, reseat_pressure=valve.reseat_pressure + offset
    )


def relief(spec: ReliefValveSpec | None, leak_area: float) -> ReliefValveParameters:
    """Figures of a relief valve, or of one that never opens where there is none.

    Parameters
    ----------
    spec : ReliefValveSpec or None
        The valve.
    leak_area : float
        Flow area of its seat. [m²]

    Returns
    -------
    ReliefValveParameters
        SI.
    """
    if spec is None:
        return ReliefValveParameters(NEVER, 0.0, 0.0, 0.0)
    full_lift = 1.1 * spec.set_pressure + air.STANDARD_PRESSURE
    per_area = orifice_mass_flow(1.0, full_lift, air.FREE_AIR_TEMPERATURE, air.STANDARD_PRESSURE)
    return ReliefValveParameters(
        spec.set_pressure, spec.reseat_pressure, spec.capacity * air.FREE_AIR_DENSITY / per_area, leak_area
    )


def outlet(rig: Rig, v: Reader) -> OutletParameters:
    """Figures of the outlet side.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    OutletParameters
        SI, faults included.
    """
    spec = rig.outlet
    at_90 = convert(90.0, "psi", "Pa") + air.STANDARD_PRESSURE
    per_area = orifice_mass_flow(1.0, at_90, air.FREE_AIR_TEMPERATURE, air.STANDARD_PRESSURE)
    own = steady(rig, at_90).free_air * air.FREE_AIR_DENSITY / per_area
    # Creep is given as the rise of the line's pressure with no flow; the seat then leaks from cut-out.
    rise = psi(v("outlet.regulator_creep_psi_min")) / 60
    creep = rise * spec.shop_line_volume / (air.GAS_CONSTANT * air.FREE_AIR_TEMPERATURE)
    full = rig.switch.cut_out + air.STANDARD_PRESSURE
    seat = orifice_mass_flow(1.0, full, air.FREE_AIR_TEMPERATURE, at_90)
    return OutletParameters(
        spec.regulator_set,
        spec.regulator_droop,
        THROAT_COEFFICIENT * disc_area(spec.regulator_diameter),
        spec.shop_line_volume,
        v("outlet.demand_fad_fraction") * own,
        v.leak("outlet.downstream_leak_d_mm"),
        THROAT_COEFFICIENT * disc_area(spec.hose_bore) * v("outlet.area_factor"),
        _TOOL_SHARE * own,
        creep / seat,
        _BONNET_AREA if spec.regulator == "relieving" else 0.0,
    )


def intake(rig: Rig, v: Reader) -> IntakeParameters:
    """Figures of the intake and the room.

    Parameters
    ----------
    rig : Rig
        The rig.
    v : Reader
        Its parameters by name.

    Returns
    -------
    IntakeParameters
        SI, faults included.
    """
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
