"""The machine in motion: its state, and how fast everything changes.

One pure function, `flows.flows`, works out every flow from the state; `rates` and `channels.observe` are built on it,
so that what is integrated and what is read can never disagree.
"""

from simulator import air
from simulator.compiled import law, part
from simulator.components import head_line, induction
from simulator.components.compressing import CylinderFlow
from simulator.driving import Driving, driving
from simulator.flows import Flows, flows, inertia_at_crank
from simulator.machine import Parameters
from simulator.pumping import Pumping, pumping
from simulator.state import Hands, Modes, State

# Oil pressure builds up as the passages fill and falls as they drain (common practice, no source). [s]
_OIL_RISE, _OIL_FALL = 6.0, 1.9
# Share of its cooling a head keeps when its fan stands still (common practice, no source).
_STILL_AIR = 0.15
_FASTEST_FAN = 1.5


@law
def fan_share(p: Parameters, pump_speed: float) -> float:
    """Cooling of a head over that in its fan's full stream.

    Parameters
    ----------
    p : Parameters
        The machine.
    pump_speed : float
        Of the crank and so of the flywheel's fan. [rad/s]

    Returns
    -------
    float
        [-]

    References
    ----------
    Common practice, no source.
    """
    blown = (1.0 - _STILL_AIR) * min(pump_speed / p.pump.rated_speed, _FASTEST_FAN)
    return _STILL_AIR + blown * p.pump.fan_factor


@law
def _receiver_heating(state: State, f: Flows, p: Parameters, leaving: float) -> float:
    """Rate of change of the receiver air's temperature. [K/s]"""
    t = state.receiver_temperature
    entering = max(f.through_check, 0.0)
    t_in = head_line.tank_end_temperature(
        p.head_line, state.head_line_temperature, p.intake.ambient_temperature
    )
    carried = entering * (air.CP * t_in - air.CV * t) - leaving * air.GAS_CONSTANT * t
    return (carried - _receiver_loss(f, p) * (t - p.intake.ambient_temperature)) / (
        state.receiver_mass * air.CV
    )


@law
def _receiver_loss(f: Flows, p: Parameters) -> float:
    """Heat the receiver's air gives to wall and room. [W/K]"""
    return p.receiver.heat_loss + p.receiver.mixing_heat_loss * max(f.through_check, 0.0)


@law
def _oil_target(p: Parameters, pump_speed: float) -> float:
    return p.pump.oil_pressure * min(pump_speed / p.pump.rated_speed, 1.2)


@law
def oil_lag(state: State, p: Parameters, pump_speed: float) -> float:
    """How fast the oil pressure follows the crank.

    Parameters
    ----------
    state : State
        The machine's state.
    p : Parameters
        The machine.
    pump_speed : float
        Of the crank, which turns the gear pump. [rad/s]

    Returns
    -------
    float
        [1/s]

    References
    ----------
    Common practice, no source: a few seconds to fill the passages, about one to drain them.
    """
    return 1.0 / (_OIL_RISE if _oil_target(p, pump_speed) > state.oil_pressure else _OIL_FALL)


@law
def _head_rate(
    cylinder: CylinderFlow, temperature: float, shed: float, p: Parameters, across: float
) -> float:
    return (
        cylinder.heat_to_head - shed * (temperature - p.intake.ambient_temperature) - across
    ) / p.pump.head_heat_capacity


@part
def rates_of(state: State, modes: Modes, hands: Hands, p: Parameters, pump: Pumping, drive: Driving) -> State:
    """How fast every state changes, given what pump and motor do.

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
    pump : Pumping
        What the cylinders do.
    drive : Driving
        What motor or engine do.

    Returns
    -------
    State
        Each field is the rate of change of the field of that name, per second.

    References
    ----------
    Conservation of mass and energy; Newton's law for the shaft.
    """
    f = flows(state, modes, hands, p, pump)
    t_room = p.intake.ambient_temperature
    from_tank = f.switch_cover + f.relief + f.drain + f.shell + f.vent_from_tank
    back = max(-f.through_check, 0.0)
    leaving = from_tank + f.regulator + back
    from_head = (
        f.standing_out
        + f.unloader_vent
        + f.tube_leak
        + f.head_vent
        + f.head_line_leak
        + f.head_relief
        + f.head_joint
    )
    from_line = f.shop_use + f.hose_leak + f.bonnet
    cover = p.head_line
    delivered = f.into_head
    hot = (
        f.heat_into_head
        + back * air.CP * (state.receiver_temperature - state.head_line_temperature)
        + max(-from_head, 0.0) * air.CP * (t_room - state.head_line_temperature)
    )
    shed_line = cover.heat_loss * (state.head_line_temperature - t_room)
    shed_first = p.pump.head_heat_loss * fan_share(p, f.pump_speed)
    shed_second = p.pump.second_head_heat_loss * fan_share(p, f.pump_speed)
    across = p.pump.head_to_head * (state.head_temperature_1 - state.head_temperature_2)
    accelerating = (
        (drive.torque * p.drive.torque_ratio - f.load_torque) if hands.belt_on > 0.5 else drive.torque
    )
    inertia = inertia_at_crank(p) if hands.belt_on > 0.5 else p.motor.inertia * p.drive.speed_ratio
    rub = p.motor.friction_torque * state.motor_speed / (abs(state.motor_speed) + 1.0)
    accelerating -= rub * (p.drive.torque_ratio if hands.belt_on > 0.5 else 1.0)
    heads = shed_first * (
        state.head_temperature_1 + state.head_temperature_2 - 2.0 * t_room
    ) + shed_second * (state.head_temperature_3 + state.head_temperature_4 - 2.0 * t_room)
    t_tank = state.receiver_temperature
    t_end = head_line.tank_end_temperature(p.head_line, state.head_line_temperature, t_room)
    # Between the ends of the head line the air cools, which its own loss does not hold.
    cooled = air.CP * max(f.through_check, 0.0) * (state.head_line_temperature - t_end)
    return State(
        f.through_check - from_tank - f.regulator,
        _receiver_heating(state, f, p, leaving),
        max(f.through_check, 0.0) * p.intake.humidity_ratio - leaving * f.vapour_ratio - f.drain_water,
        delivered - f.through_check - from_head,
        (hot - shed_line) / cover.heat_capacity,
        f.regulator - from_line,
        accelerating / inertia * p.drive.speed_ratio,
        f.into_interstage - f.out_of_interstage,
        _head_rate(pump.first_1, state.head_temperature_1, shed_first, p, across),
        _head_rate(pump.first_2, state.head_temperature_2, shed_first, p, -across),
        _head_rate(pump.second_1, state.head_temperature_3, shed_second, p, 0.0),
        _head_rate(pump.second_2, state.head_temperature_4, shed_second, p, 0.0),
        induction.winding_heating(
            p.motor, state.winding_temperature, drive.heating_current, state.motor_speed, t_room
        ),
        induction.protector_heating(
            p.motor, state.protector_temperature, state.winding_temperature, drive.highest_current, t_room
        ),
        (_oil_target(p, f.pump_speed) - state.oil_pressure) * oil_lag(state, p, f.pump_speed),
        (f.receiver_pressure - p.intake.ambient_pressure - state.sensed_pressure) * p.switch.sensing_rate,
        f.taken_in,
        from_tank + from_head + from_line + f.lost_by_pump,
        drive.power,
        drive.torque * state.motor_speed,
        f.load_torque * f.pump_speed,
        heads
        + shed_line
        + cooled
        + f.intercooler_heat
        + f.friction_heat
        + _receiver_loss(f, p) * (t_tank - t_room),
        air.CP
        * (
            (from_tank + f.regulator) * (t_tank - t_room)
            + max(from_head, 0.0) * (state.head_line_temperature - t_room)
        )
        + f.lost_heat,
    )


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
    See `rates_of`.
    """
    changes: State = rates_of(
        state, modes, hands, p, pumping(state, hands, p), driving(state.motor_speed, modes, hands, p)
    )
    return changes
