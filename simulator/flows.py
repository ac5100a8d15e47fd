"""What flows at one instant, worked out from the state: pump, head line, receiver, shop line, motor."""

import math
from typing import NamedTuple

from simulator import air, flow
from simulator.compiled import law
from simulator.components import check_valve, head_line, motor, outlet, pump, receiver, relief_valve, unloader
from simulator.components.pump import CylinderFlow, CylinderParameters
from simulator.machine import Parameters
from simulator.state import Hands, Modes, State

# Bleed cock teed into the unloader tube. [m²]
HEAD_VENT_AREA = flow.LEAK_COEFFICIENT * 2.0e-6
# Water leaves an open drain before the air: mass over which the change happens. [kg]
_DRAIN_FILM = 0.002
# Valves of the second stage open forward at about one pound a square inch each. [Pa]
_FORWARD_CRACK = 13_790.0


class Pumping(NamedTuple):
    """What the cylinders do at one instant."""

    first_1: CylinderFlow
    first_2: CylinderFlow
    second_1: CylinderFlow
    second_2: CylinderFlow
    speed: float  # of the crank [rad/s]
    inlet_temperature: float  # of the air the first stage draws [K]
    gasket_first: float  # round the first stage's head, back to its intake [kg/s]
    gasket_second: float  # [kg/s]


class Driving(NamedTuple):
    """What motor or engine do at one instant."""

    torque: float  # at the shaft [N·m]
    voltage: float  # mean at the terminals [V]
    source_voltage: float  # at outlet or disconnect [V]
    current: float  # mean of the lines [A]
    highest_current: float  # of the lines [A]
    heating_current: float  # that heats the winding as much as what flows [A]
    power: float  # electric [W]


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
def liquid_in_receiver(state: State, p: Parameters) -> float:
    """Water standing at the bottom of the receiver.

    Parameters
    ----------
    state : State
        The machine's state.
    p : Parameters
        The machine.

    Returns
    -------
    float
        [kg]

    References
    ----------
    See `simulator.components.receiver.liquid_water`.
    """
    return receiver.liquid_water(
        p.receiver.volume, state.receiver_water, state.receiver_mass, state.receiver_temperature
    )


@law
def _receiver_pressure(state: State, p: Parameters, liquid: float) -> float:
    """Absolute pressure of the air above the water. [Pa]"""
    gas = p.receiver.volume - liquid / receiver.WATER_DENSITY
    return state.receiver_mass * air.GAS_CONSTANT * state.receiver_temperature / gas


@law
def head_pressure(state: State, p: Parameters) -> float:
    """Absolute pressure in the head line. [Pa]"""
    return state.head_line_mass * air.GAS_CONSTANT * state.head_line_temperature / p.head_line.volume


@law
def interstage_pressure(state: State, p: Parameters) -> float:
    """Absolute pressure between the stages; the room's on a single-stage pump. [Pa]"""
    return state.interstage_mass * air.GAS_CONSTANT * p.pump.interstage_temperature / p.pump.interstage_volume


@law
def pressures(state: State, p: Parameters) -> tuple[float, float, float]:
    """Absolute pressures in receiver, head line and shop line.

    Parameters
    ----------
    state : State
        The machine's state.
    p : Parameters
        The machine.

    Returns
    -------
    tuple of float
        [Pa]

    References
    ----------
    Ideal gas law.
    """
    return (
        _receiver_pressure(state, p, liquid_in_receiver(state, p)),
        head_pressure(state, p),
        state.shop_line_mass * air.GAS_CONSTANT * p.intake.ambient_temperature / p.outlet.line_volume,
    )


@law
def driving(speed: float, modes: Modes, hands: Hands, p: Parameters) -> Driving:
    """Work out what motor or engine do at one instant.

    Parameters
    ----------
    speed : float
        Of its shaft. [rad/s]
    modes : Modes
        Positions changed by events.
    hands : Hands
        Levers and valves.
    p : Parameters
        The machine, faults included.

    Returns
    -------
    Driving
        SI.

    References
    ----------
    See `simulator.components.motor`.
    """
    closed = max(modes.contacts_closed * (1.0 - p.switch.dead), p.switch.welded)
    live = closed * (1.0 - modes.protector_tripped) * hands.isolator_closed * (1.0 - modes.winding_burnt)
    if p.motor.kind == motor.ENGINE:
        key = modes.contacts_closed * hands.isolator_closed
        cranking = live * (1.0 - modes.engine_running)
        twist = motor.engine_torque(
            p.motor, speed, modes.engine_running * key, cranking, modes.unloader_shut * (1.0 - hands.toggle_unloaded)
        )
        return Driving(twist, 0.0, 0.0, 0.0, cranking, 0.0, 0.0)
    supply = p.supply
    if live < 0.5:  # fan and bearings go on braking
        drag = p.motor.constant_loss * speed / (p.motor.synchronous_speed * p.motor.synchronous_speed)
        return Driving(-drag, 0.0, supply.voltage * hands.isolator_closed, 0.0, 0.0, 0.0, 0.0)
    resistance = (
        supply.wall_resistance
        + supply.cord_resistance
        + supply.joint_resistance
        + supply.contact_resistance
    )
    if supply.phase_open > 0.5:
        m = motor.single_phasing(p.motor, speed, supply.voltage, resistance)
    else:
        m = motor.connected(p.motor, speed, supply.voltage, resistance, modes.start_switch_closed)
    beside = motor.negative_sequence_current(p.motor, m.voltage, supply.unbalance)
    share = supply.wall_resistance / resistance
    return Driving(
        m.torque,
        m.voltage,
        supply.voltage - share * (supply.voltage - m.voltage),
        m.current,
        m.current + beside,
        math.sqrt(m.current * m.current + 3.0 * beside * beside),
        m.power,
    )


@law
def _alike_or(
    alike: float,
    first: CylinderFlow,
    cylinder: CylinderParameters,
    p: Parameters,
    speed: float,
    ratio: pump.Compression,
    inlet_temperature: float,
    back_temperature: float,
) -> CylinderFlow:
    """The second cylinder of a stage: what the first does where both are in the same condition."""
    if alike > 0.5:
        return first
    other: CylinderFlow = pump.cylinder_flow(cylinder, p.pump, speed, ratio, inlet_temperature, back_temperature)
    return other


@law
def _warmed(inlet: float, hot: float, leaking: float, drawn: float) -> float:
    """Temperature of air drawn in beside what leaks back hot. [K]"""
    return inlet + (hot - inlet) * leaking / (leaking + drawn + 1e-9)


@law
def pumping(state: State, hands: Hands, p: Parameters) -> Pumping:
    """Work out what the cylinders do at one instant.

    Parameters
    ----------
    state : State
        The machine's state.
    hands : Hands
        Levers and valves.
    p : Parameters
        The machine, faults included.

    Returns
    -------
    Pumping
        SI.

    References
    ----------
    See `simulator.components.pump`.
    """
    a = p.pump
    p_head = head_pressure(state, p)
    p_room, t_room = p.intake.ambient_pressure, p.intake.ambient_temperature
    t_head = state.head_line_temperature
    # A trial step past the standstill may ask for a hair below it: a pump that creeps back pumps nothing.
    speed = max(state.motor_speed / p.drive.speed_ratio * hands.belt_on, 0.0)
    turn = speed / a.rated_speed
    choke = turn * turn
    two_stage = a.second_1.swept_volume > 0.0
    p_between = interstage_pressure(state, p)
    p_out = p_between if two_stage else p_head
    t_out = a.interstage_temperature if two_stage else t_head

    swept = a.first_1.swept_volume + a.first_2.swept_volume
    drawn = a.delivery_factor * swept * speed / (2.0 * math.pi)
    gasket_area = a.first_1.gasket_inner_area + a.first_2.gasket_inner_area
    round_first = 0.0
    t_in = t_room
    if gasket_area > 0.0:
        round_first = max(flow.two_way_mass_flow(gasket_area, p_out, t_out, p_room, t_room), 0.0)
        t_in = _warmed(t_room, t_out, round_first, drawn * p_room / (air.GAS_CONSTANT * t_room))
    ratio = pump.compression(
        a,
        drawn,
        a.first_1.clearance_ratio,
        p.intake.drop_coefficient * hands.element_in,
        p_room * (1.0 - a.intake_choke * choke),
        t_in,
        p_out * (1.0 + a.discharge_choke * choke),
    )
    one = pump.cylinder_flow(a.first_1, a, speed, ratio, t_in, t_out)
    two = _alike_or(a.first_alike, one, a.first_2, p, speed, ratio, t_in, t_out)
    if not two_stage:
        nothing = CylinderFlow(0.0, 0.0, 0.0, 0.0, 0.0, t_room, 0.0, 0.0)
        return Pumping(one, two, nothing, nothing, speed, t_in, round_first, 0.0)

    gasket_area = a.second_1.gasket_inner_area + a.second_2.gasket_inner_area
    round_second = 0.0
    t_second = a.interstage_temperature
    if gasket_area > 0.0:
        round_second = max(flow.two_way_mass_flow(gasket_area, p_head, t_head, p_between, t_second), 0.0)
        t_second = _warmed(t_second, t_head, round_second, one.delivered + two.delivered)
    ratio = pump.second_compression(
        a, p_between * (1.0 - a.intake_choke * choke), p_head * (1.0 + a.discharge_choke * choke)
    )
    three = pump.cylinder_flow(a.second_1, a, speed, ratio, t_second, t_head)
    four = _alike_or(a.second_alike, three, a.second_2, p, speed, ratio, t_second, t_head)
    return Pumping(one, two, three, four, speed, t_in, round_first, round_second)


class _Interstage(NamedTuple):
    """What moves between the stages besides what the cylinders do."""

    pressure: float
    forward: float  # through the second stage's reeds, both open
    back: float  # from the head line, through a second stage at rest
    out_at_rest: float  # to the room, through a first stage at rest
    vent: float
    relief: float
    leak: float
    joint: float


@law
def _between_stages(
    state: State, modes: Modes, p: Parameters, p_head: float, venting: float, at_rest: float
) -> _Interstage:
    a = p.pump
    p_room, t_room = p.intake.ambient_pressure, p.intake.ambient_temperature
    between, t = interstage_pressure(state, p), a.interstage_temperature
    out = flow.two_way_mass_flow(1.0, between, t, p_room, t_room)
    drop = between - p_head
    forward = back = 0.0
    if drop > 0.0:
        area = a.forward_area * check_valve.lifted(drop, _FORWARD_CRACK)
        forward = flow.orifice_mass_flow(area, between, t, p_head)
    else:
        area = pump.standing_leak_area(
            a.second_1.discharge_leak_area + a.second_2.discharge_leak_area,
            a.second_1.intake_leak_area + a.second_2.intake_leak_area,
        )
        back = at_rest * flow.orifice_mass_flow(area, p_head, state.head_line_temperature, between)
    resting = pump.standing_leak_area(
        a.first_1.discharge_leak_area + a.first_2.discharge_leak_area,
        a.first_1.ring_area
        + a.first_2.ring_area
        + a.first_1.intake_leak_area
        + a.first_2.intake_leak_area,
    )
    return _Interstage(
        between,
        forward,
        back,
        resting * at_rest * out,
        p.unloader.interstage_area * venting * out,
        relief_valve.flow_area(p.interstage_relief, modes.interstage_relief_open) * out,
        a.interstage_leak_area * out,
        (a.first_1.gasket_outer_area + a.first_2.gasket_outer_area) * out,
    )


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
    p_tank = _receiver_pressure(state, p, liquid)
    p_head = head_pressure(state, p)
    p_line = state.shop_line_mass * air.GAS_CONSTANT * p.intake.ambient_temperature / p.outlet.line_volume
    p_room, t_room = p.intake.ambient_pressure, p.intake.ambient_temperature
    t_tank, t_head = state.receiver_temperature, state.head_line_temperature
    speed = pumped.speed
    one, two, three, four = pumped.first_1, pumped.first_2, pumped.second_1, pumped.second_2
    two_stage = a.second_1.swept_volume > 0.0
    at_rest = 4.0 / (4.0 + speed * speed)

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

    first = one.delivered + two.delivered
    blown = (1.0 - pump.REINDUCED_SHARE) * (three.blow_back + four.blow_back)
    rings = one.ring_leak + two.ring_leak + three.ring_leak + four.ring_leak
    lost_heat = one.lost_heat + two.lost_heat + three.lost_heat + four.lost_heat
    if two_stage:
        b = _between_stages(state, modes, p, p_head, open_vent, at_rest)
        second = three.delivered + four.delivered
        t_between = a.interstage_temperature
        # Both cylinders of the second stage at rest, towards the crankcase.
        standing = pump.standing_leak_area(
            a.second_1.discharge_leak_area + a.second_2.discharge_leak_area,
            a.second_1.ring_area + a.second_2.ring_area,
        )
        into_interstage = first + b.back + pumped.gasket_second - pumped.gasket_first
        lost_between = b.out_at_rest + b.vent + b.relief + b.leak + b.joint
        drawn = three.taken_in + four.taken_in - blown
        out_of_interstage = drawn + b.forward + lost_between
        cooled = (
            one.delivered * (one.discharge_temperature - t_between)
            + two.delivered * (two.discharge_temperature - t_between)
            + (b.back + pumped.gasket_second) * (t_head - t_between)
        )
        into_head = second + b.forward - b.back - pumped.gasket_second
        heat_into_head = (
            three.delivered * (three.discharge_temperature - t_head)
            + four.delivered * (four.discharge_temperature - t_head)
            + b.forward * (t_between - t_head)
        )
        gasket_outer = a.second_1.gasket_outer_area + a.second_2.gasket_outer_area
        lost_heat += air.CP * (lost_between + three.ring_leak + four.ring_leak) * (t_between - t_room)
        intercooler_heat = air.CP * cooled
    else:
        b = _Interstage(p_room, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
        standing = pump.standing_leak_area(
            a.first_1.discharge_leak_area + a.first_2.discharge_leak_area,
            a.first_1.ring_area
            + a.first_2.ring_area
            + a.first_1.intake_leak_area
            + a.first_2.intake_leak_area,
        )
        into_interstage = out_of_interstage = lost_between = intercooler_heat = 0.0
        into_head = first - pumped.gasket_first
        heat_into_head = one.delivered * (one.discharge_temperature - t_head) + two.delivered * (
            two.discharge_temperature - t_head
        )
        gasket_outer = a.first_1.gasket_outer_area + a.first_2.gasket_outer_area

    indicated = one.torque + two.torque + three.torque + four.torque
    load = pump.load_torque(indicated, speed, a, inertia_at_crank(p))
    # Air back out of the filter goes in again as far as the stroke takes it.
    taken = one.taken_in + two.taken_in
    line_leak = p.head_line.leak_area + head_line.joint_leak_area(p.head_line, p_head - p_room)
    demand = p.outlet.demand_area + p.outlet.tool_area * hands.trigger_held
    choked = outlet.tool_pressure_ratio(demand, p.outlet.hose_area)
    ring = max(relief_valve.flow_area(p.relief, modes.relief_open), p.relief.open_area * hands.ring_pulled)
    return Flows(
        p_tank,
        p_head,
        b.pressure,
        p_line,
        speed,
        load,
        (load - indicated) * speed,
        taken - pumped.gasket_first,
        into_interstage,
        out_of_interstage,
        intercooler_heat,
        into_head,
        air.CP * heat_into_head,
        rings
        + (1.0 - pump.REINDUCED_SHARE) * (one.blow_back + two.blow_back)
        + lost_between,
        lost_heat,
        into_tank,
        standing * at_rest * head_out,
        vent_area * (1.0 - from_tank) * head_out,
        vent * from_tank * tank_out,
        b.vent,
        flow.series_area(p.unloader.tube_leak_area, bore) * ((1.0 - from_tank) * head_out),
        flow.series_area(HEAD_VENT_AREA * hands.head_vent_open, bore) * head_out,
        line_leak * head_out,
        gasket_outer * head_out,
        b.joint,
        relief_valve.flow_area(p.head_relief, modes.head_relief_open) * head_out,
        b.relief,
        b.leak,
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
