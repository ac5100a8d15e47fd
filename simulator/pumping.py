"""What the cylinders do at one instant."""

import math
from typing import NamedTuple

from simulator import air, flow
from simulator.compiled import law, part
from simulator.components import compressing
from simulator.components.compressing import Compression, CylinderFlow
from simulator.components.pump import CylinderParameters
from simulator.machine import Parameters
from simulator.spaces import head_pressure, interstage_pressure
from simulator.state import Hands, State

# A crank that turns slower pumps nothing worth reckoning. [rad/s]
_STANDSTILL = 1e-3


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


@law
def _alike_or(
    alike: float,
    first: CylinderFlow,
    cylinder: CylinderParameters,
    p: Parameters,
    speed: float,
    ratio: Compression,
    inlet_temperature: float,
    back_temperature: float,
    first_head_temperature: float,
    head_temperature: float,
) -> CylinderFlow:
    """The second cylinder of a stage: what the first does where both are in the same condition, at its own heat."""
    if alike > 0.5:
        warmer = compressing.WALL_EXCHANGE * (head_temperature - first_head_temperature)
        return CylinderFlow(
            first.taken_in,
            first.delivered,
            first.ring_leak,
            first.blow_back,
            first.torque,
            first.discharge_temperature + warmer,
            first.heat_to_head - air.CP * first.delivered * warmer,
            first.lost_heat,
        )
    other: CylinderFlow = compressing.cylinder_flow(
        cylinder, p.pump, speed, ratio, inlet_temperature, back_temperature, head_temperature
    )
    return other


@law
def _warmed(inlet: float, hot: float, leaking: float, drawn: float) -> float:
    """Temperature of air drawn in beside what leaks back, which has come to that of the head it passes. [K]"""
    return inlet + (hot - inlet) * leaking / (leaking + drawn + 1e-9)


@law
def _round_gaskets(state: State, p: Parameters, p_head: float) -> tuple[float, float]:
    """Flow past inner gaskets, from discharge back to intake chamber of first and second stage. [kg/s]"""
    a = p.pump
    first = a.first_1.gasket_inner_area + a.first_2.gasket_inner_area
    second = a.second_1.gasket_inner_area + a.second_2.gasket_inner_area
    if first + second <= 0.0:
        return 0.0, 0.0
    p_room, t_room, t_head = (
        p.intake.ambient_pressure,
        p.intake.ambient_temperature,
        state.head_line_temperature,
    )
    if a.second_1.swept_volume <= 0.0:
        return max(flow.two_way_mass_flow(first, p_head, t_head, p_room, t_room), 0.0), 0.0
    between, t_between = interstage_pressure(state, p), a.interstage_temperature
    return (
        max(flow.two_way_mass_flow(first, between, t_between, p_room, t_room), 0.0),
        max(flow.two_way_mass_flow(second, p_head, t_head, between, t_between), 0.0),
    )


@part
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
    if speed < _STANDSTILL:
        still = CylinderFlow(0.0, 0.0, 0.0, 0.0, 0.0, t_room, 0.0, 0.0)
        round_first, round_second = _round_gaskets(state, p, p_head)
        return Pumping(still, still, still, still, speed, t_room, round_first, round_second)
    turn = speed / a.rated_speed
    choke = turn * turn
    two_stage = a.second_1.swept_volume > 0.0
    p_between = interstage_pressure(state, p)
    p_out = p_between if two_stage else p_head
    t_out = a.interstage_temperature if two_stage else t_head

    swept = a.first_1.swept_volume + a.first_2.swept_volume
    drawn = a.delivery_factor * swept * speed / (2.0 * math.pi)
    round_first, round_second = _round_gaskets(state, p, p_head)
    t_in = _warmed(
        t_room, state.head_temperature_1, round_first, drawn * p_room / (air.GAS_CONSTANT * t_room)
    )
    ratio = compressing.compression(
        a,
        drawn,
        a.first_1.clearance_ratio,
        p.intake.drop_coefficient * hands.element_in,
        p_room * (1.0 - a.intake_choke * choke),
        t_in,
        p_out * (1.0 + a.discharge_choke * choke),
    )
    one = compressing.cylinder_flow(a.first_1, a, speed, ratio, t_in, t_out, state.head_temperature_1)
    two = _alike_or(
        a.first_alike,
        one,
        a.first_2,
        p,
        speed,
        ratio,
        t_in,
        t_out,
        state.head_temperature_1,
        state.head_temperature_2,
    )
    if not two_stage:
        nothing = CylinderFlow(0.0, 0.0, 0.0, 0.0, 0.0, t_room, 0.0, 0.0)
        return Pumping(one, two, nothing, nothing, speed, t_in, round_first, 0.0)

    t_second = _warmed(
        a.interstage_temperature, state.head_temperature_3, round_second, one.delivered + two.delivered
    )
    ratio = compressing.second_compression(
        a, p_between * (1.0 - a.intake_choke * choke), p_head * (1.0 + a.discharge_choke * choke)
    )
    three = compressing.cylinder_flow(a.second_1, a, speed, ratio, t_second, t_head, state.head_temperature_3)
    four = _alike_or(
        a.second_alike,
        three,
        a.second_2,
        p,
        speed,
        ratio,
        t_second,
        t_head,
        state.head_temperature_3,
        state.head_temperature_4,
    )
    return Pumping(one, two, three, four, speed, t_in, round_first, round_second)
