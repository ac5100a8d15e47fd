"""What instruments could show at one instant, worked out from the same flows that move the machine."""

import math
from typing import NamedTuple

from simulator import air
from simulator.compiled import law, part
from simulator.components import crank, head_line, motor, outlet, unloader
from simulator.components.compressing import CylinderFlow
from simulator.driving import Driving, driving
from simulator.flows import Flows, flows, venting
from simulator.machine import Parameters
from simulator.pumping import pumping
from simulator.spaces import liquid_in_receiver
from simulator.state import Hands, Modes, State

_RPM = 30.0 / math.pi
_THIRD = 2.0 * math.pi / 3.0


class Channels(NamedTuple):
    """Everything an instrument could be put to, at one instant. Order is the order of `CHANNELS`."""

    receiver_gauge_pressure: float
    head_line_gauge_pressure: float
    interstage_gauge_pressure: float
    interstage_swing: float
    regulated_gauge_pressure: float
    tool_gauge_pressure: float
    receiver_temperature: float
    head_temperature_1: float
    head_temperature_2: float
    head_temperature_3: float
    head_temperature_4: float
    head_temperature: float
    intake_temperature: float
    intercooler_temperature: float
    head_line_temperature: float
    line_temperature_at_receiver: float
    winding_temperature: float
    motor_current: float
    motor_current_2: float
    motor_current_3: float
    start_winding_current: float
    motor_terminal_voltage: float
    motor_terminal_voltage_2: float
    motor_terminal_voltage_3: float
    supply_voltage: float
    pump_speed_rpm: float
    motor_speed_rpm: float
    shaft_power: float
    free_air_delivered: float
    receiver_water: float
    crankcase_gauge_pressure: float
    oil_gauge_pressure: float
    contacts_closed: float
    motor_live: float
    unloader_open: float
    intake_flow: float
    leak_intake: float
    leak_breather: float
    leak_head_joint: float
    leak_head_line: float
    leak_intercooler: float
    leak_interstage_relief: float
    leak_head_line_relief: float
    leak_unloader_port: float
    leak_unloader_tube: float
    leak_pump_vent: float
    leak_dump_port: float
    leak_switch_cover: float
    leak_tank_relief: float
    leak_drain: float
    leak_shell: float
    leak_regulator_bonnet: float
    leak_hose: float
    leak_head_vent: float


class _Lines(NamedTuple):
    """Currents in and voltages between the lines of a motor, by its own leads."""

    current_1: float
    current_2: float
    current_3: float
    voltage_1: float
    voltage_2: float
    voltage_3: float


@law
def _beside(mean: float, unequal: float, place: float) -> float:
    """Current of one lead: the mean and a negative sequence that adds in one lead and takes from two. [A]"""
    cosine = math.cos(_THIRD * place)
    return math.sqrt(max(mean * mean + unequal * unequal + 2.0 * mean * unequal * cosine, 0.0))


@law
def _lines(drive: Driving, speed: float, hands: Hands, p: Parameters) -> _Lines:
    """What a clamp and a meter find in the three lines; the same in all of a single phase."""
    amps, volts = drive.current, drive.voltage
    if p.motor.kind != motor.THREE_PHASE or drive.power <= 0.0:
        return _Lines(amps, amps, amps, volts, volts, volts)
    rolled = hands.leads_rolled
    if p.supply.phase_open > 0.5:  # the third line of the supply is lost, wherever its lead now sits
        lost = rolled - 3.0 * math.floor(rolled / 3.0)
        at_1 = amps if lost != 1.0 else 0.0
        at_2 = amps if lost != 2.0 else 0.0
        at_3 = amps if lost != 0.0 else 0.0
        # The turning motor itself feeds the open line, less and less as it slows.
        back = volts * (0.5 + 0.45 * min(speed / p.motor.synchronous_speed, 1.0))
        return _Lines(
            at_1, at_2, at_3,
            volts if lost == 0.0 else back, volts if lost == 1.0 else back, volts if lost == 2.0 else back,
        )  # fmt: skip
    beside = drive.highest_current - drive.current
    own = p.motor.shorted_current * p.motor.base_current * volts / p.motor.connection_voltage
    mean = amps - own
    u = p.supply.unbalance
    # Shorted turns stay with their winding, the supply's inequality moves with the leads.
    return _Lines(
        _beside(mean, beside, -rolled) + 1.5 * own,
        _beside(mean, beside, 1.0 - rolled) + 0.75 * own,
        _beside(mean, beside, 2.0 - rolled) + 0.75 * own,
        volts * (1.0 - u * math.cos(_THIRD * -rolled)),
        volts * (1.0 - u * math.cos(_THIRD * (1.0 - rolled))),
        volts * (1.0 - u * math.cos(_THIRD * (2.0 - rolled))),
    )


@law
def _start_winding(drive: Driving, speed: float, modes: Modes, p: Parameters) -> float:
    """Current in the start winding's lead. [A]"""
    if p.motor.kind != motor.SINGLE_PHASE or drive.power <= 0.0:
        return 0.0
    return p.motor.start_current * drive.voltage / p.motor.connection_voltage * modes.start_switch_closed


@law
def _through_check(f: Flows, turning: float) -> float:
    """Air that passes the check valve into the receiver. [kg/s]

    While the pump turns it is what the head line is given less what it loses: the same but for the little that the
    line stores, and free of the ripple of a flow that hangs on a small difference of two large pressures.
    """
    if turning > 0.5 and f.through_check > 0.0:
        lost = f.standing_out + f.unloader_vent + f.tube_leak + f.head_vent
        lost += f.head_line_leak + f.head_relief + f.head_joint
        return max(f.into_head - lost, 0.0)
    return max(f.through_check, 0.0)


@law
def _swing(three: CylinderFlow, four: CylinderFlow, speed: float, p: Parameters) -> float:
    """Needle's swing between the stages: what comes back from the second stage in one turn. [Pa]"""
    if p.pump.second_1.swept_volume <= 0.0:
        return 0.0
    per_turn = (three.blow_back + four.blow_back) * 2.0 * math.pi / max(speed, 1.0)
    return per_turn * air.GAS_CONSTANT * p.pump.interstage_temperature / p.pump.interstage_volume


@part
def observe(state: State, modes: Modes, hands: Hands, p: Parameters) -> Channels:
    """What instruments could show at one instant.

    Parameters
    ----------
    state : State
        The machine's state.
    modes : Modes
        Positions changed by events.
    hands : Hands
        Levers and valves.
    p : Parameters
        The machine, faults included.

    Returns
    -------
    Channels
        SI; units by channel in `simulator.trace.UNITS`.

    References
    ----------
    None of its own: see `flows`.
    """
    pumped = pumping(state, hands, p)
    drive = driving(state.motor_speed, modes, hands, p)
    f = flows(state, modes, hands, p, pumped)
    lines = _lines(drive, state.motor_speed, hands, p)
    room, t_room = p.intake.ambient_pressure, p.intake.ambient_temperature
    one, two, three, four = pumped.first_1, pumped.first_2, pumped.second_1, pumped.second_2
    two_stage = p.pump.second_1.swept_volume > 0.0
    ring_leak = one.ring_leak + two.ring_leak + three.ring_leak + four.ring_leak
    # Air between the pump's end of the head line and its middle is still as hot as it was delivered.
    turning = min(f.pump_speed / p.pump.rated_speed, 1.0)
    delivered = three.delivered + four.delivered if two_stage else one.delivered + two.delivered
    above = f.heat_into_head / air.CP / (delivered + 1e-6)
    pump_end = state.head_line_temperature + 0.5 * turning * max(above, 0.0)
    between = t_room + turning * (p.pump.interstage_temperature - t_room) if two_stage else t_room
    closed = max(modes.contacts_closed * (1.0 - p.switch.dead), p.switch.welded)
    kind = p.unloader.kind
    at_pump = 1.0 if kind == unloader.HYDRAULIC or kind == unloader.CENTRIFUGAL else 0.0
    dumps = 1.0 if kind == unloader.PILOT else 0.0
    vent = max(f.unloader_vent + f.interstage_vent + f.vent_from_tank, 0.0)
    demand = p.outlet.demand_area + p.outlet.tool_area * hands.trigger_held
    at_tool = f.shop_line_pressure * outlet.tool_pressure_ratio(
        demand * hands.outlet_open, p.outlet.hose_area
    )
    return Channels(
        f.receiver_pressure - room,
        f.head_pressure - room,
        f.interstage_pressure - room,
        _swing(three, four, f.pump_speed, p),
        f.shop_line_pressure - room,
        max(at_tool - room, 0.0),
        state.receiver_temperature,
        state.head_temperature_1,
        state.head_temperature_2,
        state.head_temperature_3,
        state.head_temperature_4,
        max(
            state.head_temperature_1,
            state.head_temperature_2,
            state.head_temperature_3,
            state.head_temperature_4,
        ),
        pumped.inlet_temperature,
        between,
        pump_end,
        head_line.tank_end_temperature(p.head_line, state.head_line_temperature, t_room),
        state.winding_temperature,
        lines.current_1,
        lines.current_2,
        lines.current_3,
        _start_winding(drive, state.motor_speed, modes, p),
        lines.voltage_1,
        lines.voltage_2,
        lines.voltage_3,
        drive.source_voltage,
        f.pump_speed * _RPM,
        state.motor_speed * _RPM,
        drive.torque * state.motor_speed,
        _through_check(f, turning) / air.FREE_AIR_DENSITY,
        liquid_in_receiver(state, p),
        crank.crankcase_pressure(ring_leak, p.pump.breather_area, t_room, room),
        state.oil_pressure,
        modes.contacts_closed,
        closed * (1.0 - modes.protector_tripped) * hands.isolator_closed * (1.0 - modes.winding_burnt),
        venting(modes, hands, p),
        max(f.taken_in, 0.0),
        one.blow_back + two.blow_back + f.gasket_back,
        ring_leak * p.pump.breather_area / (p.pump.breather_area + crank.SEAL_AREA),
        max(f.head_joint + f.interstage_joint, 0.0),
        max(f.head_line_leak, 0.0),
        max(f.interstage_leak, 0.0),
        max(f.interstage_relief, 0.0),
        max(f.head_relief, 0.0),
        vent * (1.0 - at_pump - dumps),
        max(f.tube_leak, 0.0),
        vent * at_pump,
        vent * dumps,
        f.switch_cover,
        f.relief,
        f.drain,
        f.shell,
        f.bonnet,
        f.hose_leak,
        max(f.head_vent, 0.0),
    )
