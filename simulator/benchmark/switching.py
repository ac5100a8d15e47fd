"""The switching law of a machine in its own words, and its rates, as functions of arrays for any other solver."""

import numpy as np

from simulator import air
from simulator.compiled import stepping
from simulator.components import motor, unloader
from simulator.components.unloader import UnloaderParameters
from simulator.engine.method import modes_of, right_hand_side, state_of
from simulator.events import Happening
from simulator.machine import Parameters
from simulator.spaces import pressures
from simulator.state import STATES, Hands, Modes

_KINDS = len(Happening) + 1
_BAR, _TURNS, _KELVIN = 1e5, 100.0, 100.0
_PLACE = {name: place for place, name in enumerate(Modes._fields)}
# What each event changes: (which mode, to what).
CHANGES = {
    happening: tuple((_PLACE[mode], value) for mode, value in changes)
    for happening, changes in {
        Happening.PROTECTOR_TRIPS: [("protector_tripped", 1.0)],
        Happening.PROTECTOR_RESETS: [("protector_tripped", 0.0)],
        Happening.CONTACTS_OPEN: [("contacts_closed", 0.0)],
        Happening.CONTACTS_CLOSE: [("contacts_closed", 1.0)],
        Happening.RELIEF_POPS: [("relief_open", 1.0)],
        Happening.RELIEF_RESEATS: [("relief_open", 0.0)],
        Happening.INTERSTAGE_RELIEF_POPS: [("interstage_relief_open", 1.0)],
        Happening.INTERSTAGE_RELIEF_RESEATS: [("interstage_relief_open", 0.0)],
        Happening.HEAD_RELIEF_POPS: [("head_relief_open", 1.0)],
        Happening.HEAD_RELIEF_RESEATS: [("head_relief_open", 0.0)],
        Happening.START_SWITCH_OPENS: [("start_switch_closed", 0.0)],
        Happening.START_SWITCH_CLOSES: [("start_switch_closed", 1.0)],
        Happening.UNLOADER_SHUTS: [("unloader_shut", 1.0)],
        Happening.UNLOADER_OPENS: [("unloader_shut", 0.0)],
        Happening.ENGINE_FIRES: [("engine_running", 1.0)],
        Happening.ENGINE_STALLS: [("engine_running", 0.0), ("protector_tripped", 1.0)],
        Happening.WINDING_BURNS: [("winding_burnt", 1.0)],
        Happening.JOINT_BLOWS: [("joint_lifting", 1.0)],
        Happening.JOINT_HOLDS: [("joint_lifting", 0.0)],
        Happening.OVER_PRESSURE: [("over_pressure", 1.0)],
        Happening.PRESSURE_SAFE: [("over_pressure", 0.0)],
    }.items()
}
# Numbers of the two events of everything that goes to and fro, as plain integers for compiled code.
_TRIPS, _RESETS = int(Happening.PROTECTOR_TRIPS), int(Happening.PROTECTOR_RESETS)
_OPEN, _CLOSE = int(Happening.CONTACTS_OPEN), int(Happening.CONTACTS_CLOSE)
_TANK = int(Happening.RELIEF_POPS), int(Happening.RELIEF_RESEATS)
_BETWEEN = int(Happening.INTERSTAGE_RELIEF_POPS), int(Happening.INTERSTAGE_RELIEF_RESEATS)
_HEAD = int(Happening.HEAD_RELIEF_POPS), int(Happening.HEAD_RELIEF_RESEATS)
_JOINT = int(Happening.JOINT_BLOWS), int(Happening.JOINT_HOLDS)
_OVER = int(Happening.OVER_PRESSURE), int(Happening.PRESSURE_SAFE)
_START = int(Happening.START_SWITCH_OPENS), int(Happening.START_SWITCH_CLOSES)
_UNLOADER = int(Happening.UNLOADER_OPENS), int(Happening.UNLOADER_SHUTS)
_FIRES, _STALLS = int(Happening.ENGINE_FIRES), int(Happening.ENGINE_STALLS)
_BURNS = int(Happening.WINDING_BURNS)


@stepping
def rates_at(y: np.ndarray, m: np.ndarray, hands: np.ndarray, machine: np.ndarray) -> np.ndarray:
    """Rates of change of as many states as are given; totals that are left out count as nought."""
    full, out = np.zeros(STATES), np.empty(STATES)
    full[: y.size] = y
    right_hand_side(full, modes_of(m), _hands_of(hands), machine[0], out)
    return out[: y.size]


@stepping
def _hands_of(h: np.ndarray) -> Hands:
    return Hands(h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], h[8], h[9], h[10])


@stepping
def _to_and_fro(
    out: np.ndarray, events: tuple[int, int], away: float, value: float, up: float, down: float
) -> None:
    """Distances of something that goes over at `up` and comes back at `down`."""
    if away > 0.5:
        out[events[1]] = value - down
    else:
        out[events[0]] = up - value


@stepping
def distances(y: np.ndarray, m: np.ndarray, hands: np.ndarray, machine: np.ndarray) -> np.ndarray:
    """How far every event is from happening, by its number; far away where it cannot happen."""
    full = np.zeros(STATES)
    full[: y.size] = y
    s, modes, h, p = state_of(full), modes_of(m), _hands_of(hands), machine[0]
    out = np.full(_KINDS, 1e3)
    room = p.intake.ambient_pressure
    in_tank, in_head, _ = pressures(s, p)
    tank, head = (in_tank - room) / _BAR, (in_head - room) / _BAR
    seat = p.relief
    _to_and_fro(out, _TANK, modes.relief_open, tank, seat.set_pressure / _BAR, seat.reseat_pressure / _BAR)
    seat = p.head_relief
    _to_and_fro(
        out, _HEAD, modes.head_relief_open, head, seat.set_pressure / _BAR, seat.reseat_pressure / _BAR
    )
    joint = p.head_line.joint_pressure / _BAR
    _to_and_fro(out, _JOINT, modes.joint_lifting, head, joint, 0.9 * joint)
    over = p.receiver.over_pressure / _BAR
    _to_and_fro(out, _OVER, modes.over_pressure, tank, over, 0.95 * over)
    if p.pump.second_1.swept_volume > 0.0:
        warm = air.GAS_CONSTANT * p.pump.interstage_temperature
        between = (s.interstage_mass * warm / p.pump.interstage_volume - room) / _BAR
        seat = p.interstage_relief
        _to_and_fro(
            out,
            _BETWEEN,
            modes.interstage_relief_open,
            between,
            seat.set_pressure / _BAR,
            seat.reseat_pressure / _BAR,
        )
    if modes.contacts_closed > 0.5:
        out[_OPEN] = (p.switch.cut_out - s.sensed_pressure) / _BAR
    elif h.lever_on > 0.5:
        out[_CLOSE] = (s.sensed_pressure - p.switch.cut_in) / _BAR
    crank = s.motor_speed / p.drive.speed_ratio
    if p.unloader.kind == unloader.PILOT:  # shut when the receiver has fallen, open when it is full
        opens, shuts = p.unloader.opens_at / _BAR, p.unloader.shuts_at / _BAR
        _to_and_fro(out, _UNLOADER, 1.0 - modes.unloader_shut, tank, opens, shuts)
    elif p.unloader.kind == unloader.HYDRAULIC:  # shut by oil pressure, open for want of it
        _shuts_above(out, modes.unloader_shut, s.oil_pressure / _BAR, p.unloader, _BAR)
    elif p.unloader.kind == unloader.CENTRIFUGAL:  # shut by speed
        _shuts_above(out, modes.unloader_shut, crank / 30.0, p.unloader, 30.0)
    _drive(out, s.motor_speed, s.winding_temperature, s.protector_temperature, modes, h, p)
    return out


@stepping
def _shuts_above(
    out: np.ndarray, shut: float, value: float, setting: UnloaderParameters, unit: float
) -> None:
    if shut > 0.5:
        out[_UNLOADER[0]] = value - setting.opens_at / unit
    else:
        out[_UNLOADER[1]] = setting.shuts_at / unit - value


@stepping
def _drive(
    out: np.ndarray, speed: float, winding: float, protector: float, modes: Modes, h: Hands, p: Parameters
) -> None:
    """Distances of what happens to motor or engine."""
    cool = p.intake.ambient_temperature
    if modes.protector_tripped < 0.5:
        out[_TRIPS] = (p.motor.protector_trip - protector) / _KELVIN
    elif p.motor.protector_resets > 0.5:  # by itself, half-way back to the room
        out[_RESETS] = (protector - 0.5 * (cool + p.motor.protector_trip)) / _KELVIN
    if p.motor.kind == motor.ENGINE:
        ignition = modes.contacts_closed > 0.5 and h.isolator_closed > 0.5
        if modes.engine_running > 0.5:  # dies below half its firing speed, or with the ignition off
            out[_STALLS] = (speed - 0.5 * p.motor.firing_speed) / _TURNS if ignition else -1.0
        elif ignition:
            out[_FIRES] = (p.motor.firing_speed - speed) / _TURNS
        return
    if modes.winding_burnt < 0.5:
        out[_BURNS] = (p.motor.winding_limit - winding) / _KELVIN
    if p.motor.start_switch_stuck == 0.0:
        opens = p.motor.start_switch_speed / _TURNS
        _to_and_fro(out, _START, 1.0 - modes.start_switch_closed, speed / _TURNS, opens, 0.5 * opens)
