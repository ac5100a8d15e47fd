"""What motor or engine do at one instant."""

import math
from typing import NamedTuple

from simulator.compiled import part
from simulator.components import induction, motor, petrol_engine
from simulator.machine import Parameters
from simulator.state import Hands, Modes


class Driving(NamedTuple):
    """What motor or engine do at one instant."""

    torque: float  # at the shaft [N·m]
    voltage: float  # mean at the terminals [V]
    source_voltage: float  # at outlet or disconnect [V]
    current: float  # mean of the lines [A]
    highest_current: float  # of the lines [A]
    heating_current: float  # that heats the winding as much as what flows [A]
    power: float  # electric [W]


@part
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
        twist = petrol_engine.engine_torque(
            p.motor,
            speed,
            modes.engine_running * key,
            cranking,
            modes.unloader_shut * (1.0 - hands.toggle_unloaded),
        )
        return Driving(twist, 0.0, 0.0, 0.0, cranking, 0.0, 0.0)
    supply = p.supply
    if live < 0.5:  # fan and bearings go on braking
        drag = p.motor.constant_loss * speed / (p.motor.synchronous_speed * p.motor.synchronous_speed)
        return Driving(-drag, 0.0, supply.voltage * hands.isolator_closed, 0.0, 0.0, 0.0, 0.0)
    resistance = (
        supply.wall_resistance + supply.cord_resistance + supply.joint_resistance + supply.contact_resistance
    )
    if supply.phase_open > 0.5:
        m = induction.single_phasing(p.motor, speed, supply.voltage, resistance)
    else:
        m = induction.connected(p.motor, speed, supply.voltage, resistance, modes.start_switch_closed)
    beside = induction.negative_sequence_current(p.motor, m.voltage, supply.unbalance)
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
