"""What flows between the spaces at one instant, given what the cylinders do."""

from typing import NamedTuple

from simulator import air, flow
from simulator.compiled import law
from simulator.components import (
    check_valve,
    compressing,
    crank,
    head_line,
    outlet,
    receiver,
    relief_valve,
    unloader,
)
from simulator.machine import Parameters
from simulator.pumping import Pumping
from simulator.spaces import head_pressure, liquid_in_receiver, receiver_pressure
from simulator.staging import at_rest, one_stage, two_stages
from simulator.state import Hands, Modes, State

# Bleed cock teed into the unloader tube. [m²]
HEAD_VENT_AREA = flow.LEAK_COEFFICIENT * 2.0e-6
# Water leaves an open drain before the air: mass over which the change happens. [kg]
_DRAIN_FILM = 0.002


class Flows(NamedTuple):
    """Everything else that moves at one instant; mass flows in kg/s."""

    receiver_pressure: float  # absolute [Pa]
    head_pressure: float  # absolute [Pa]
    interstage_pressure: float  # absolute [Pa]
    shop_line_pressure: float  # absolute [Pa]
    pump_speed: float  # [rad/s]
    load_torque: float  # at the crank [N·m]
    friction_heat: float  # [W]
    taken_in: float  # from the room
    into_interstage: float
    out_of_interstage: float
    intercooler_heat: float  # [W]
    into_head: float
    heat_into_head: float  # carried above the head line's temperature [W]
    lost_by_pump: float  # to the room past rings, reeds, gaskets, coolers and the interstage relief
    lost_heat: float  # carried off by it [W]
    through_check: float
    standing_out: float
    unloader_vent: float  # from the head line
    vent_from_tank: float  # from the receiver, of a tube run to its side
    interstage_vent: float
    tube_leak: float
    head_vent: float
    head_line_leak: float
    head_joint: float  # past gaskets to the outside, from the head line
    interstage_joint: float  # past gaskets to the outside, from the interstage
    head_relief: float
    interstage_relief: float
    interstage_leak: float
    gasket_back: float  # out of the filter past an inner gasket
    switch_cover: float
    relief: float
    drain: float
    drain_water: float
    shell: float
    regulator: float
    shop_use: float
    hose_leak: float
    bonnet: float
    vapour_ratio: float  # of the receiver's air [-]


@law
def inertia_at_crank(p: Parameters) -> float:
    """Inertia of everything that turns, seen at the crank.

    Parameters
    ----------
    p : Parameters
        The machine.

    Returns
    -------
    float
        [kg·m²]

    References
    ----------
    Kinetic energy of two shafts at a fixed ratio.
    """
    return p.pump.inertia + p.motor.inertia * p.drive.speed_ratio * p.drive.speed_ratio


@law
def venting(modes: Modes, hands: Hands, p: Parameters) -> float:
    """Whether what moves the unloader asks it to vent.

    Parameters
    ----------
    modes : Modes
        Positions changed by events.
    hands : Hands
        Levers and valves.
    p : Parameters
        The machine.

    Returns
    -------
    float
        1 or 0.

    References
    ----------
    See `simulator.components.unloader.UnloaderSpec`.
    """
    if p.unloader.kind == unloader.SWITCH_MOUNTED:
        return 1.0 - modes.contacts_closed
    if p.unloader.kind == unloader.PILOT:
        return max(1.0 - modes.unloader_shut, hands.toggle_unloaded)
    return 1.0 - modes.unloader_shut


@law
def flows(state: State, modes: Modes, hands: Hands, p: Parameters, pumped: Pumping) -> Flows:
    """Work out every other flow of the machine at one instant.

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
    pumped : Pumping
        What the cylinders do.

    Returns
    -------
    Flows
        SI, pressures absolute.

    References
    ----------
    Each law names its source in its own room.
    """
    a = p.pump
    liquid = liquid_in_receiver(state, p)
    p_tank = receiver_pressure(state, p, liquid)
    p_head = head_pressure(state, p)
    p_line = state.shop_line_mass * air.GAS_CONSTANT * p.intake.ambient_temperature / p.outlet.line_volume
    p_room, t_room = p.intake.ambient_pressure, p.intake.ambient_temperature
    t_tank, t_head = state.receiver_temperature, state.head_line_temperature
    speed = pumped.speed
    one, two, three, four = pumped.first_1, pumped.first_2, pumped.second_1, pumped.second_2

    open_vent = venting(modes, hands, p)
    vent = unloader.vent_area(p.unloader, open_vent)
    bore = p.head_line.bore_area
    beyond = p.unloader.behind_bore  # what hangs on the line's far end breathes through its bore
    vent_area = flow.series_area(vent, bore) if beyond > 0.5 else vent
    into_tank = check_valve.mass_flow(p.check_valve, p_head, t_head, p_tank, t_tank, bore)
    # Air that leaves one space for the room does so by the same law through every opening.
    tank_out = flow.orifice_mass_flow(1.0, p_tank, t_tank, p_room)
    head_out = flow.two_way_mass_flow(1.0, p_head, t_head, p_room, t_room)
    line_out = flow.orifice_mass_flow(1.0, p_line, t_room, p_room)
    wet = liquid / (liquid + _DRAIN_FILM)
    drain_area = p.receiver.drain_leak_area + p.receiver.drain_open_area * hands.drain_open
    over = max(p_tank - p_room, 0.0)
    from_tank = p.unloader.from_receiver

    if a.second_1.swept_volume > 0.0:
        d = two_stages(state, modes, p, pumped, p_head, open_vent)
    else:
        d = one_stage(state, p, pumped)
    rings = one.ring_leak + two.ring_leak + three.ring_leak + four.ring_leak
    blown = (1.0 - compressing.REINDUCED_SHARE) * (one.blow_back + two.blow_back)
    indicated = one.torque + two.torque + three.torque + four.torque
    load = crank.load_torque(indicated, speed, a, inertia_at_crank(p))
    # Air back out of the filter goes in again as far as the stroke takes it.
    taken = one.taken_in + two.taken_in
    line_leak = p.head_line.leak_area + head_line.joint_leak_area(p.head_line, p_head - p_room)
    demand = p.outlet.demand_area + p.outlet.tool_area * hands.trigger_held
    choked = outlet.tool_pressure_ratio(demand, p.outlet.hose_area)
    ring = max(relief_valve.flow_area(p.relief, modes.relief_open), p.relief.open_area * hands.ring_pulled)
    return Flows(
        p_tank,
        p_head,
        d.pressure,
        p_line,
        speed,
        load,
        (load - indicated) * speed,
        taken - pumped.gasket_first,
        d.into_interstage,
        d.out_of_interstage,
        d.intercooler_heat,
        d.into_head,
        d.heat_into_head,
        rings + blown + d.lost_between,
        d.lost_heat,
        into_tank,
        d.standing_area * at_rest(speed) * head_out,
        vent_area * (1.0 - from_tank) * head_out,
        vent * from_tank * tank_out,
        d.vent,
        flow.series_area(p.unloader.tube_leak_area, bore) * ((1.0 - from_tank) * head_out),
        flow.series_area(HEAD_VENT_AREA * hands.head_vent_open, bore) * head_out,
        line_leak * head_out,
        d.gasket_outer_area * head_out,
        d.joint,
        relief_valve.flow_area(p.head_relief, modes.head_relief_open) * head_out,
        d.relief,
        d.leak,
        pumped.gasket_first,
        p.switch.body_leak_area * tank_out,
        ring * tank_out,
        drain_area * (1.0 - wet) * tank_out,
        flow.liquid_mass_flow(drain_area * wet, over, receiver.WATER_DENSITY),
        p.receiver.leak_area * tank_out,
        outlet.regulator_flow(p.outlet, p_tank, t_tank, p_line, p_room) * hands.outlet_open,
        demand * choked * line_out * hands.outlet_open,
        p.outlet.leak_area * line_out,
        outlet.bonnet_area(p.outlet, p_line - p_room) * line_out,
        (state.receiver_water - liquid) / state.receiver_mass,
    )
