"""What instruments could show at one instant, worked out from the same flows that move the machine."""

import math
from typing import NamedTuple

from simulator import air
from simulator.compiled import law
from simulator.components import head_line, pump
from simulator.dynamics import Hands, Modes, State, flows, liquid_in_receiver
from simulator.machine import Parameters


class Channels(NamedTuple):
    """Everything an instrument could be put to, at one instant. Order is the order of `CHANNELS`."""

    receiver_gauge_pressure: float
    head_line_gauge_pressure: float
    regulated_gauge_pressure: float
    receiver_temperature: float
    head_temperature_1: float
    head_temperature_2: float
    head_temperature: float
    head_line_temperature: float
    line_temperature_at_receiver: float
    winding_temperature: float
    motor_current: float
    motor_terminal_voltage: float
    supply_voltage: float
    pump_speed_rpm: float
    motor_speed_rpm: float
    shaft_power: float
    free_air_delivered: float
    receiver_water: float
    crankcase_gauge_pressure: float
    contacts_closed: float
    intake_flow: float
    leak_intake: float
    leak_breather: float
    leak_unloader_port: float
    leak_head_line: float
    leak_switch_cover: float
    leak_tank_relief: float
    leak_drain: float
    leak_shell: float
    leak_hose: float
    leak_head_vent: float


@law
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
    f = flows(state, modes, hands, p)
    room, t_room = p.intake.ambient_pressure, p.intake.ambient_temperature
    ring_leak = f.cylinder_1.ring_leak + f.cylinder_2.ring_leak
    delivered = f.cylinder_1.delivered + f.cylinder_2.delivered
    through = delivered + 1e-9
    discharge = (
        f.cylinder_1.discharge_temperature * f.cylinder_1.delivered
        + f.cylinder_2.discharge_temperature * f.cylinder_2.delivered
        + state.head_line_temperature * 1e-9
    ) / through
    turning = min(f.pump_speed / p.pump.rated_speed, 1.0)
    pump_end = state.head_line_temperature + 0.5 * turning * (discharge - state.head_line_temperature)
    return Channels(
        f.receiver_pressure - room,
        f.head_pressure - room,
        f.shop_line_pressure - room,
        state.receiver_temperature,
        state.head_temperature_1,
        state.head_temperature_2,
        max(state.head_temperature_1, state.head_temperature_2),
        pump_end,
        head_line.tank_end_temperature(state.head_line_temperature, t_room),
        state.winding_temperature,
        f.current,
        f.terminal_voltage,
        f.source_voltage,
        f.pump_speed * 30.0 / math.pi,
        state.motor_speed * 30.0 / math.pi,
        f.motor_torque * state.motor_speed,
        max(f.through_check, 0.0) / air.FREE_AIR_DENSITY,
        liquid_in_receiver(state, p),
        pump.crankcase_pressure(ring_leak, p.pump.breather_area, t_room, room),
        modes.contacts_closed,
        f.cylinder_1.taken_in + f.cylinder_2.taken_in,
        f.cylinder_1.blow_back + f.cylinder_2.blow_back,
        ring_leak,
        max(f.unloader_vent, 0.0),
        max(f.head_line_leak, 0.0),
        f.switch_cover,
        f.relief,
        f.drain,
        f.shell,
        f.hose_leak,
        max(f.head_vent, 0.0),
    )
