"""What cylinders hand on between intake, interstage and head line, on a pump of one stage or of two."""

from typing import NamedTuple

from simulator import air, flow
from simulator.compiled import law
from simulator.components import check_valve, compressing, relief_valve
from simulator.components.pump import PumpParameters
from simulator.machine import Parameters
from simulator.pumping import Pumping
from simulator.spaces import interstage_pressure
from simulator.state import Modes, State

# Valves of a stage open forward at about one pound a square inch each. [Pa]
_FORWARD_CRACK = 13_790.0


class Delivery(NamedTuple):
    """What enters and leaves the spaces between the cylinders; mass flows in kg/s."""

    into_head: float
    heat_into_head: float  # carried above the head line's temperature [W]
    standing_area: float  # from the head line to the room through cylinders at rest [m²]
    gasket_outer_area: float  # from the head line's chamber to the room [m²]
    lost_heat: float  # carried to the room by what the pump loses [W]
    pressure: float  # of the interstage, absolute [Pa]
    into_interstage: float
    out_of_interstage: float
    lost_between: float  # from the interstage to the room
    intercooler_heat: float  # [W]
    vent: float  # of the interstage
    relief: float  # past the interstage relief valve
    leak: float  # of intercooler and its tubes
    joint: float  # past first-stage gaskets to the outside


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
    # A first stage that makes less than the second takes is drawn through by it.
    through = 0.0
    if between < p_room:
        area = a.first_forward_area * check_valve.lifted(p_room - between, 0.25 * _FORWARD_CRACK)
        through = flow.orifice_mass_flow(area, p_room, t_room, between)
    drop = between - p_head
    forward = back = 0.0
    if drop > 0.0:
        area = a.forward_area * check_valve.lifted(drop, _FORWARD_CRACK)
        forward = flow.orifice_mass_flow(area, between, t, p_head)
    else:
        area = compressing.standing_leak_area(
            a.second_1.discharge_leak_area + a.second_2.discharge_leak_area,
            a.second_1.intake_leak_area + a.second_2.intake_leak_area,
        )
        back = at_rest * flow.orifice_mass_flow(area, p_head, state.head_line_temperature, between)
    resting = compressing.standing_leak_area(
        a.first_1.discharge_leak_area + a.first_2.discharge_leak_area, _outward_area(a)
    )
    return _Interstage(
        between,
        forward,
        back,
        resting * at_rest * out - through,
        p.unloader.interstage_area * venting * out,
        relief_valve.flow_area(p.interstage_relief, modes.interstage_relief_open) * out,
        a.interstage_leak_area * out,
        (a.first_1.gasket_outer_area + a.first_2.gasket_outer_area) * out,
    )


@law
def at_rest(speed: float) -> float:
    """Share of a standing leak that a pump shows at a speed: all at rest, none in motion.

    Parameters
    ----------
    speed : float
        Of the crank. [rad/s]

    Returns
    -------
    float
        [-]

    References
    ----------
    None: in motion the leaks are counted cylinder by cylinder.
    """
    return 4.0 / (4.0 + speed * speed)


@law
def _outward_area(pump: PumpParameters) -> float:
    """From the first stage's chamber to the room: rings and intake reeds. [m²]"""
    rings = pump.first_1.ring_area + pump.first_2.ring_area
    return rings + pump.first_1.intake_leak_area + pump.first_2.intake_leak_area


@law
def _lost_heat(pumped: Pumping) -> float:
    first = pumped.first_1.lost_heat + pumped.first_2.lost_heat
    return first + pumped.second_1.lost_heat + pumped.second_2.lost_heat


@law
def one_stage(state: State, p: Parameters, pumped: Pumping) -> Delivery:
    """What the cylinders of a single-stage pump hand on.

    Parameters
    ----------
    state : State
        The machine's state.
    p : Parameters
        The machine, faults included.
    pumped : Pumping
        What the cylinders do.

    Returns
    -------
    Delivery
        SI.

    References
    ----------
    Conservation of mass and energy.
    """
    a, one, two, t_head = p.pump, pumped.first_1, pumped.first_2, state.head_line_temperature
    heat = one.delivered * (one.discharge_temperature - t_head) + two.delivered * (
        two.discharge_temperature - t_head
    )
    return Delivery(
        one.delivered + two.delivered - pumped.gasket_first,
        air.CP * heat,
        compressing.standing_leak_area(
            a.first_1.discharge_leak_area + a.first_2.discharge_leak_area, _outward_area(a)
        ),
        a.first_1.gasket_outer_area + a.first_2.gasket_outer_area,
        _lost_heat(pumped),
        p.intake.ambient_pressure,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
    )


@law
def two_stages(
    state: State, modes: Modes, p: Parameters, pumped: Pumping, p_head: float, venting: float
) -> Delivery:
    """What the cylinders of a two-stage pump hand on.

    Parameters
    ----------
    state : State
        The machine's state.
    modes : Modes
        Positions changed by events.
    p : Parameters
        The machine, faults included.
    pumped : Pumping
        What the cylinders do.
    p_head : float
        In the head line, absolute. [Pa]
    venting : float
        1 while the unloader is asked to vent. [-]

    Returns
    -------
    Delivery
        SI.

    References
    ----------
    Conservation of mass and energy.
    """
    a, t_head, t_room = p.pump, state.head_line_temperature, p.intake.ambient_temperature
    one, two, three, four = pumped.first_1, pumped.first_2, pumped.second_1, pumped.second_2
    b = _between_stages(state, modes, p, p_head, venting, at_rest(pumped.speed))
    t = a.interstage_temperature
    first = one.delivered + two.delivered
    # What blows back from the second stage stays between the stages.
    blown = (1.0 - compressing.REINDUCED_SHARE) * (three.blow_back + four.blow_back)
    drawn = three.taken_in + four.taken_in - blown
    lost = b.out_at_rest + b.vent + b.relief + b.leak + b.joint
    cooled = (
        one.delivered * (one.discharge_temperature - t)
        + two.delivered * (two.discharge_temperature - t)
        + (b.back + pumped.gasket_second) * (t_head - t)
    )
    heat = (
        three.delivered * (three.discharge_temperature - t_head)
        + four.delivered * (four.discharge_temperature - t_head)
        + b.forward * (t - t_head)
    )
    return Delivery(
        three.delivered + four.delivered + b.forward - b.back - pumped.gasket_second,
        air.CP * heat,
        # Both cylinders of the second stage at rest, towards the crankcase.
        compressing.standing_leak_area(
            a.second_1.discharge_leak_area + a.second_2.discharge_leak_area,
            a.second_1.ring_area + a.second_2.ring_area,
        ),
        a.second_1.gasket_outer_area + a.second_2.gasket_outer_area,
        _lost_heat(pumped) + air.CP * (lost + three.ring_leak + four.ring_leak) * (t - t_room),
        b.pressure,
        first + b.back + pumped.gasket_second - pumped.gasket_first,
        drawn + b.forward + lost,
        lost,
        air.CP * cooled,
        b.vent,
        b.relief,
        b.leak,
        b.joint,
    )
