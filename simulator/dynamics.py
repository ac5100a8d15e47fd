"""The machine in motion: its state, what flows, how fast everything changes.

One pure function, `flows`, works out every flow from the state; `rates` and `channels.observe` are built on it, so
that what is integrated and what is read can never disagree.
"""

import math
from typing import NamedTuple

from simulator import air, flow
from simulator.compiled import law
from simulator.components import check_valve, head_line, motor, outlet, pump, receiver, relief_valve, unloader
from simulator.machine import Parameters


class State(NamedTuple):
    """What the machine remembers; the last four are running totals for the balances."""

    receiver_mass: float  # air [kg]
    receiver_temperature: float  # [K]
    receiver_water: float  # vapour and liquid [kg]
    head_line_mass: float  # [kg]
    head_line_temperature: float  # [K]
    shop_line_mass: float  # [kg]
    motor_speed: float  # [rad/s]
    head_temperature_1: float  # [K]
    head_temperature_2: float  # [K]
    winding_temperature: float  # [K]
    protector_temperature: float  # [K]
    air_in: float  # delivered by the pump since the start [kg]
    air_out: float  # lost to the room from head line, receiver and shop line [kg]
    electric_energy: float  # [J]
    shaft_energy: float  # given to the pump's shaft through the drive [J]


STATES = len(State._fields)
CORE = 7  # these act on each other; heads, winding and protector follow them without acting back
ACTIVE = 11  # the running totals drive nothing


class Modes(NamedTuple):
    """What is in one of two positions until an event changes it; 1 or 0."""

    contacts_closed: float
    protector_tripped: float
    start_switch_closed: float
    relief_open: float


class Hands(NamedTuple):
    """Where people have left levers and valves; 1 or 0."""

    lever_on: float
    isolator_closed: float
    outlet_open: float
    drain_open: float
    head_vent_open: float
    element_in: float


# Bleed cock teed into the unloader tube. [m²]
HEAD_VENT_AREA = flow.LEAK_COEFFICIENT * 2.0e-6
# Water leaves an open drain before the air: mass over which the change happens. [kg]
_DRAIN_FILM = 0.002


class Flows(NamedTuple):
    """Everything that moves at one instant; mass flows in kg/s."""

    receiver_pressure: float  # absolute [Pa]
    head_pressure: float  # absolute [Pa]
    shop_line_pressure: float  # absolute [Pa]
    cylinder_1: pump.CylinderFlow
    cylinder_2: pump.CylinderFlow
    through_check: float
    standing_leak: float
    unloader_vent: float
    head_vent: float
    head_line_leak: float
    switch_cover: float
    relief: float
    drain: float
    drain_water: float
    shell: float
    regulator: float
    shop_use: float
    hose_leak: float
    vapour_ratio: float  # of the receiver's air [-]
    pump_speed: float  # [rad/s]
    load_torque: float  # at the crank [N·m]
    motor_torque: float  # [N·m]
    terminal_voltage: float  # [V]
    source_voltage: float  # behind the branch, before the cord [V]
    current: float  # [A]
    electric_power: float  # [W]


@law
def _receiver_pressure(state: State, p: Parameters, liquid: float) -> float:
    """Absolute pressure of the air above the water. [Pa]"""
    gas = p.receiver.volume - liquid / receiver.WATER_DENSITY
    return state.receiver_mass * air.GAS_CONSTANT * state.receiver_temperature / gas


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
        state.head_line_mass * air.GAS_CONSTANT * state.head_line_temperature / p.head_line.volume,
        state.shop_line_mass * air.GAS_CONSTANT * p.intake.ambient_temperature / p.outlet.line_volume,
    )


@law
def _electric(
    state: State, modes: Modes, hands: Hands, p: Parameters
) -> tuple[float, float, float, float, float]:
    """Motor torque, terminal voltage, voltage behind the branch, current and power."""
    live = modes.contacts_closed * (1.0 - modes.protector_tripped) * hands.isolator_closed
    supply = p.supply
    if live < 0.5:
        return 0.0, 0.0, supply.voltage * hands.isolator_closed, 0.0, 0.0
    resistance = supply.wall_resistance + supply.cord_resistance + supply.contact_resistance
    m = motor.connected(p.motor, state.motor_speed, supply.voltage, resistance, modes.start_switch_closed)
    share = supply.wall_resistance / resistance
    return m.torque, m.voltage, supply.voltage - share * (supply.voltage - m.voltage), m.current, m.power


@law
def flows(state: State, modes: Modes, hands: Hands, p: Parameters) -> Flows:
    """Work out every flow of the machine at one instant.

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
    Flows
        SI, pressures absolute.

    References
    ----------
    Each law names its source in its own room.
    """
    liquid = liquid_in_receiver(state, p)
    p_tank = _receiver_pressure(state, p, liquid)
    p_head = state.head_line_mass * air.GAS_CONSTANT * state.head_line_temperature / p.head_line.volume
    p_line = state.shop_line_mass * air.GAS_CONSTANT * p.intake.ambient_temperature / p.outlet.line_volume
    p_room, t_room = p.intake.ambient_pressure, p.intake.ambient_temperature
    t_tank, t_head = state.receiver_temperature, state.head_line_temperature
    crank = state.motor_speed / p.drive.speed_ratio

    drop = p.intake.drop_coefficient * hands.element_in
    swept = p.pump.cylinder_1.swept_volume + p.pump.cylinder_2.swept_volume
    # A trial step past the standstill may ask for a hair below it: a pump that creeps back pumps nothing.
    forward = max(crank, 0.0)
    drawn = p.pump.delivery_factor * swept * forward / (2.0 * math.pi)
    clearance = p.pump.cylinder_1.clearance_ratio
    ratio = pump.compression(p.pump, drawn, clearance, drop, p_room, t_room, p_head)
    one = pump.cylinder_flow(p.pump.cylinder_1, p.pump, forward, ratio, t_head, t_room)
    two = pump.cylinder_flow(p.pump.cylinder_2, p.pump, forward, ratio, t_head, t_room)
    standing = pump.standing_leak_area(p.pump.cylinder_1) + pump.standing_leak_area(p.pump.cylinder_2)
    at_rest = 4.0 / (4.0 + crank * crank)

    vent = unloader.vent_area(p.unloader, modes.contacts_closed)
    cock = HEAD_VENT_AREA * hands.head_vent_open
    into_tank = check_valve.mass_flow(p.check_valve, p_head, t_head, p_tank, t_tank)
    # Air that leaves one space for the room does so by the same law through every opening.
    tank_out = flow.orifice_mass_flow(1.0, p_tank, t_tank, p_room)
    head_out = flow.two_way_mass_flow(1.0, p_head, t_head, p_room, t_room)
    line_out = flow.orifice_mass_flow(1.0, p_line, t_room, p_room)
    wet = liquid / (liquid + _DRAIN_FILM)
    drain_area = p.receiver.drain_leak_area + p.receiver.drain_open_area * hands.drain_open
    over = max(p_tank - p_room, 0.0)
    twist, volts, source, amperes, power = _electric(state, modes, hands, p)
    inertia = p.pump.inertia + p.motor.inertia * p.drive.speed_ratio * p.drive.speed_ratio
    return Flows(
        p_tank,
        p_head,
        p_line,
        one,
        two,
        into_tank,
        standing * at_rest * head_out,
        vent * head_out,
        cock * head_out,
        p.head_line.leak_area * head_out,
        p.switch.body_leak_area * tank_out,
        relief_valve.flow_area(p.relief, modes.relief_open) * tank_out,
        drain_area * (1.0 - wet) * tank_out,
        flow.liquid_mass_flow(drain_area * wet, over, receiver.WATER_DENSITY),
        p.receiver.leak_area * tank_out,
        outlet.regulator_flow(p.outlet, p_tank, t_tank, p_line, p_room) * hands.outlet_open,
        p.outlet.demand_area * line_out * hands.outlet_open,
        p.outlet.leak_area * line_out,
        (state.receiver_water - liquid) / state.receiver_mass,
        crank,
        pump.load_torque(one.torque + two.torque, crank, p.pump, inertia),
        twist,
        volts,
        source,
        amperes,
        power,
    )


@law
def _receiver_heating(state: State, f: Flows, p: Parameters, leaving: float) -> float:
    """Rate of change of the receiver air's temperature. [K/s]"""
    t = state.receiver_temperature
    entering = max(f.through_check, 0.0)
    t_in = head_line.tank_end_temperature(state.head_line_temperature, p.intake.ambient_temperature)
    loss = p.receiver.heat_loss + p.receiver.mixing_heat_loss * entering
    carried = entering * (air.CP * t_in - air.CV * t) - leaving * air.GAS_CONSTANT * t
    return (carried - loss * (t - p.intake.ambient_temperature)) / (state.receiver_mass * air.CV)


@law
def rates(state: State, modes: Modes, hands: Hands, p: Parameters) -> State:
    """How fast every state changes.

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
    State
        Each field is the rate of change of the field of that name, per second.

    References
    ----------
    Conservation of mass and energy; Newton's law for the shaft.
    """
    f = flows(state, modes, hands, p)
    t_room = p.intake.ambient_temperature
    from_tank = f.switch_cover + f.relief + f.drain + f.shell
    back = max(-f.through_check, 0.0)
    leaving = from_tank + f.regulator + back
    delivered = f.cylinder_1.delivered + f.cylinder_2.delivered
    from_head = f.standing_leak + f.unloader_vent + f.head_vent + f.head_line_leak
    from_line = f.shop_use + f.hose_leak
    cover = p.head_line
    hot = (
        f.cylinder_1.delivered * (f.cylinder_1.discharge_temperature - state.head_line_temperature)
        + f.cylinder_2.delivered * (f.cylinder_2.discharge_temperature - state.head_line_temperature)
        + back * (state.receiver_temperature - state.head_line_temperature)
        + max(-from_head, 0.0) * (t_room - state.head_line_temperature)
    )
    fan = 0.15 + 0.85 * min(f.pump_speed / p.pump.rated_speed, 1.5)
    shed = p.pump.head_heat_loss * fan
    across = p.pump.head_to_head * (state.head_temperature_1 - state.head_temperature_2)
    inertia = p.pump.inertia + p.motor.inertia * p.drive.speed_ratio * p.drive.speed_ratio
    at_crank = f.motor_torque * p.drive.torque_ratio - f.load_torque
    return State(
        f.through_check - from_tank - f.regulator,
        _receiver_heating(state, f, p, leaving),
        max(f.through_check, 0.0) * p.intake.humidity_ratio - leaving * f.vapour_ratio - f.drain_water,
        delivered - f.through_check - from_head,
        (air.CP * hot - cover.heat_loss * (state.head_line_temperature - t_room)) / cover.heat_capacity,
        f.regulator - from_line,
        at_crank / inertia * p.drive.speed_ratio,
        (f.cylinder_1.heat_to_head - shed * (state.head_temperature_1 - t_room) - across)
        / p.pump.head_heat_capacity,
        (f.cylinder_2.heat_to_head - shed * (state.head_temperature_2 - t_room) + across)
        / p.pump.head_heat_capacity,
        motor.winding_heating(p.motor, state.winding_temperature, f.current, state.motor_speed, t_room),
        motor.protector_heating(p.motor, state.protector_temperature, state.winding_temperature, f.current),
        delivered,
        from_tank + from_head + from_line,
        f.electric_power,
        f.motor_torque * state.motor_speed,
    )
