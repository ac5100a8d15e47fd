"""A rig of the fixtures, with its faults, as a machine whose crank can be turned."""

import math
from dataclasses import replace

from simulator import air
from simulator.adjustable import Values, healthy_values
from simulator.components.pump import CylinderParameters, CylinderSpec
from simulator.cylinder.build import Bore, Machine, Reeds, Surroundings, Throats, assemble
from simulator.cylinder.fit import Duty, Plate, fitted
from simulator.dynamics import fan_share
from simulator.machine import Parameters, from_values
from simulator.rig import Rig
from simulator.steady import INTERCOOLER_APPROACH, steady

RUBBING_SHARE = 0.5  # of the friction that warms cylinders and heads, not the oil; common practice, no source
# Single-stage cylinders work at all ratios up to the one at cut-out; the plate is met at this share of it, so that
# the largest differences to either side are alike. Stages of two work at one ratio most of the time, and meet it there.
SINGLE_SHARE = 0.6
# How far each cylinder is ahead of the first, by cylinders of the first and second stage: in line at half turns,
# V at 90°, V-4 on two throws, W at 60°. Common practice.
LEADS = {
    (1, 0): (0.0,),
    (2, 0): (0.0, 180.0),
    (1, 1): (0.0, 90.0),
    (2, 1): (0.0, 120.0, 60.0),
    (2, 2): (0.0, 180.0, 90.0, 270.0),
}


def plate_of(rig: Rig) -> Plate:
    """Figures of a rig's pump that a card is held to."""
    pump = rig.pump
    return Plate(pump.delivery_factor, pump.expansion_exponent, pump.indicated_efficiency)


def duty_of(rig: Rig, stage: int) -> Duty:
    """Where the sound cylinders of a stage meet the plate.

    Parameters
    ----------
    rig : Rig
        The rig.
    stage : int
        1 or 2.

    Returns
    -------
    Duty
        At rated speed, in free air.
    """
    speed = rig.pump.speed_rpm * math.pi / 30.0
    room, warm = air.STANDARD_PRESSURE, air.FREE_AIR_TEMPERATURE
    top = rig.switch.cut_out + room
    between = steady(rig, top).interstage_pressure
    if rig.stages == 1:
        return Duty(speed, room, warm, SINGLE_SHARE * top / room, warm)
    if stage == 1:
        return Duty(speed, room, warm, between / room, warm)
    return Duty(speed, between, warm + INTERCOOLER_APPROACH, top / between, warm)


def sound_bore(rig: Rig, spec: CylinderSpec) -> Bore:
    """One sound cylinder of a rig, fitted to its plate.

    Parameters
    ----------
    rig : Rig
        The rig.
    spec : CylinderSpec
        One of its cylinders.

    Returns
    -------
    Bore
        Its lead is that on the crank.
    """
    values = healthy_values(rig)
    bore = _bore(rig, spec, from_values(rig, values), values, Throats())
    alone = replace(bore, slug="", lead=0.0)  # twins are fitted once
    return replace(bore, throats=fitted(alone, plate_of(rig), duty_of(rig, spec.stage)))


def machine_of(rig: Rig, values: Values, line_pressure: float) -> Machine:
    """Set up a rig with its faults against a pressure in the line.

    Parameters
    ----------
    rig : Rig
        The rig.
    values : dict
        See `simulator.adjustable.fault_values`.
    line_pressure : float
        Behind the head line, absolute. [Pa]

    Returns
    -------
    Machine
        Ready to be turned.
    """
    p = from_values(rig, values)
    bores = [_bore(rig, spec, p, values, sound_bore(rig, spec).throats) for spec in rig.pump.cylinders]
    return assemble(bores, surroundings(rig, p, values, line_pressure))


def surroundings(rig: Rig, p: Parameters, values: Values, line_pressure: float) -> Surroundings:
    """Room, chambers and line of a rig.

    Parameters
    ----------
    rig : Rig
        The rig.
    p : Parameters
        Of the machine, faults included.
    values : dict
        They were made of.
    line_pressure : float
        Absolute. [Pa]

    Returns
    -------
    Surroundings
        Of all its cylinders.
    """
    first = p.pump.first_1.gasket_outer_area + p.pump.first_2.gasket_outer_area
    second = p.pump.second_1.gasket_outer_area + p.pump.second_2.gasket_outer_area
    return Surroundings(
        speed=p.pump.rated_speed * float(values["drive.ratio_factor"]),
        line_pressure=line_pressure,
        room_pressure=p.intake.ambient_pressure,
        room_temperature=p.intake.ambient_temperature,
        drop_coefficient=p.intake.drop_coefficient,
        approach=p.pump.interstage_temperature - p.intake.ambient_temperature if rig.stages == 2 else 0.0,
        head_volume=p.head_line.volume,
        cooler_volume=p.pump.interstage_volume if rig.stages == 2 else 0.0,
        cooler_leak_area=p.pump.interstage_leak_area,
        first_head_leak_area=first if rig.stages == 2 else 0.0,
        head_leak_area=second if rig.stages == 2 else first,
    )


def _bore(rig: Rig, spec: CylinderSpec, p: Parameters, values: Values, throats: Throats) -> Bore:
    pump = rig.pump
    firsts, seconds = len(rig.first_stage), len(rig.second_stage)
    stage_place = pump.of_stage(spec.stage).index(spec)
    lead = LEADS[firsts, seconds][stage_place + (firsts if spec.stage == 2 else 0)]
    own: CylinderParameters = (
        (p.pump.first_1, p.pump.first_2) if spec.stage == 1 else (p.pump.second_1, p.pump.second_2)
    )[stage_place]
    duty = duty_of(rig, spec.stage)
    shed = p.pump.head_heat_loss if spec.stage == 1 else p.pump.second_head_heat_loss
    rubbing = RUBBING_SHARE * p.pump.friction_torque * p.pump.rated_speed / len(pump.cylinders)
    return Bore(
        slug=spec.slug,
        stage=spec.stage,
        bore=spec.bore,
        stroke=spec.stroke,
        clearance_ratio=spec.clearance_ratio,
        lead=math.radians(lead),
        full_flow=air.density(duty.inlet_pressure, duty.inlet_temperature)
        * spec.swept_volume
        * duty.speed
        / (2.0 * math.pi),
        shed=shed * fan_share(p, p.pump.rated_speed),
        rubbing_heat=rubbing,
        throats=throats,
        reeds=Reeds(
            own.ring_area,
            own.intake_leak_area,
            own.discharge_leak_area,
            own.gasket_inner_area,
            str(values[f"pump.intake_valve_state@{spec.slug}"]),
            str(values[f"pump.discharge_valve_state@{spec.slug}"]),
            float(values["pump.valve_area_factor"]),
        ),
    )
