"""Events: how far each is from happening, and what it changes.

A margin is the distance from an event in its own measure; at or below nought it happens. Unarmed events stand at 1.
"""

import numpy as np

from simulator.compiled import stepping
from simulator.components import motor, unloader
from simulator.engine.method import Task, modes_of, state_of
from simulator.events import Happening, Watch
from simulator.machine import Parameters
from simulator.spaces import head_pressure, interstage_pressure, pressures
from simulator.state import Modes, State

MARGINS = int(Happening.WATCHED) + 1
_BAR = 1e5
# A protector that resets by itself does so when it has cooled this far towards the room (common practice, no source).
RESET_SHARE = 0.5
# Plain numbers, so that compiled code holds them.
_TRIPS, _OPEN, _CLOSE = (int(h) for h in list(Happening)[:3])
_POPS, _RESEATS, _START_OPENS, _START_CLOSES = (int(h) for h in list(Happening)[3:7])
_BETWEEN_POPS, _BETWEEN_RESEATS, _HEAD_POPS, _HEAD_RESEATS = (int(h) for h in list(Happening)[7:11])
_SHUTS, _VENTS, _RESETS, _FIRES, _STALLS = (int(h) for h in list(Happening)[11:16])
_BURNS, _BLOWS, _HOLDS, _OVER, _SAFE, _WATCHED = (int(h) for h in list(Happening)[16:22])
_ABOVE, _BELOW, _CONTACTS = int(Watch.RECEIVER_ABOVE), int(Watch.RECEIVER_BELOW), int(Watch.CONTACTS)
_CONTACTS_OPEN, _CONTACTS_CLOSE = int(Watch.CONTACTS_OPEN), int(Watch.CONTACTS_CLOSE)
_TRIP, _STOPPED, _UNLOADED, _LOADED = (
    int(Watch.TRIP),
    int(Watch.STOPPED),
    int(Watch.UNLOADED),
    int(Watch.LOADED),
)


@stepping
def margins(y: np.ndarray, m: np.ndarray, task: Task, out: np.ndarray) -> None:
    """Fill in how far each event is from happening, by its number."""
    s, modes, p = state_of(y), modes_of(m), task.p
    room = p.intake.ambient_pressure
    gauge = pressures(s, p)[0] - room
    out[:] = 1.0
    _motor_margins(s, modes, task, out)
    if modes.contacts_closed > 0.5:
        out[_OPEN] = (p.switch.cut_out - s.sensed_pressure) / _BAR
    elif task.hands.lever_on > 0.5:
        out[_CLOSE] = (s.sensed_pressure - p.switch.cut_in) / _BAR
    if modes.relief_open < 0.5:
        out[_POPS] = (p.relief.set_pressure - gauge) / _BAR
    else:
        out[_RESEATS] = (gauge - p.relief.reseat_pressure) / _BAR
    _head_margins(head_pressure(s, p) - room, modes, p, out)
    if p.pump.second_1.swept_volume > 0.0:
        between = interstage_pressure(s, p) - room
        if modes.interstage_relief_open < 0.5:
            out[_BETWEEN_POPS] = (p.interstage_relief.set_pressure - between) / _BAR
        else:
            out[_BETWEEN_RESEATS] = (between - p.interstage_relief.reseat_pressure) / _BAR
    if p.unloader.kind != unloader.SWITCH_MOUNTED:
        _unloader_margins(s, modes, gauge, p, out)
    if modes.over_pressure < 0.5:
        out[_OVER] = (task.over_pressure - gauge) / _BAR
    else:
        out[_SAFE] = (gauge - 0.95 * task.over_pressure) / _BAR
    out[_WATCHED] = _watched(s, modes, gauge, task)


@stepping
def _motor_margins(s: State, modes: Modes, task: Task, out: np.ndarray) -> None:
    p = task.p
    cool = p.intake.ambient_temperature
    if modes.protector_tripped < 0.5:
        out[_TRIPS] = (p.motor.protector_trip - s.protector_temperature) / 100.0
    elif p.motor.protector_resets > 0.5:
        reset = cool + RESET_SHARE * (p.motor.protector_trip - cool)
        out[_RESETS] = (s.protector_temperature - reset) / 100.0
    if p.motor.kind == motor.ENGINE:
        key = modes.contacts_closed * task.hands.isolator_closed
        if modes.engine_running > 0.5:
            out[_STALLS] = (s.motor_speed - 0.5 * p.motor.firing_speed * key - 1e3 * (1.0 - key)) / 100.0
        elif key > 0.5:
            out[_FIRES] = (p.motor.firing_speed - s.motor_speed) / 100.0
        return
    if modes.winding_burnt < 0.5:
        out[_BURNS] = (p.motor.winding_limit - s.winding_temperature) / 100.0
    if p.motor.start_switch_stuck != 0.0:
        return
    if modes.start_switch_closed > 0.5:
        out[_START_OPENS] = (p.motor.start_switch_speed - s.motor_speed) / 100.0
    else:
        out[_START_CLOSES] = (s.motor_speed - 0.5 * p.motor.start_switch_speed) / 100.0


@stepping
def _head_margins(gauge: float, modes: Modes, p: Parameters, out: np.ndarray) -> None:
    if modes.head_relief_open < 0.5:
        out[_HEAD_POPS] = (p.head_relief.set_pressure - gauge) / _BAR
    else:
        out[_HEAD_RESEATS] = (gauge - p.head_relief.reseat_pressure) / _BAR
    if modes.joint_lifting < 0.5:
        out[_BLOWS] = (p.head_line.joint_pressure - gauge) / _BAR
    else:
        out[_HOLDS] = (gauge - 0.9 * p.head_line.joint_pressure) / _BAR


@stepping
def _unloader_margins(s: State, modes: Modes, gauge: float, p: Parameters, out: np.ndarray) -> None:
    """A hydraulic one looks at oil pressure, a centrifugal one at the crank, a pilot at the receiver."""
    if p.unloader.kind == unloader.PILOT:
        if modes.unloader_shut > 0.5:
            out[_VENTS] = (p.unloader.opens_at - gauge) / _BAR
        else:
            out[_SHUTS] = (gauge - p.unloader.shuts_at) / _BAR
        return
    if p.unloader.kind == unloader.HYDRAULIC:
        moved, scale = s.oil_pressure, _BAR
    else:
        moved, scale = s.motor_speed / p.drive.speed_ratio, 30.0
    if modes.unloader_shut > 0.5:
        out[_VENTS] = (moved - p.unloader.opens_at) / scale
    else:
        out[_SHUTS] = (p.unloader.shuts_at - moved) / scale


@stepping
def _watched(s: State, modes: Modes, gauge: float, task: Task) -> float:
    """Margin of what the caller waits for, where that is no event of the machine's own."""
    if task.watch == _ABOVE:
        return (task.value - gauge) / _BAR
    if task.watch == _BELOW:
        return (gauge - task.value) / _BAR
    closed = max(modes.contacts_closed, task.p.switch.welded)
    live = closed > 0.5 and modes.protector_tripped < 0.5 and task.hands.isolator_closed > 0.5
    if task.watch == _STOPPED and not live:
        return (s.motor_speed - 1.0) / 100.0
    return 1.0


# Which entry of the modes an event sets, and to what.
_ENTRY = np.full(MARGINS, -1)
_SET_TO = np.zeros(MARGINS)
for _event, _mode, _value in (
    (_TRIPS, "protector_tripped", 1.0),
    (_RESETS, "protector_tripped", 0.0),
    (_OPEN, "contacts_closed", 0.0),
    (_CLOSE, "contacts_closed", 1.0),
    (_POPS, "relief_open", 1.0),
    (_RESEATS, "relief_open", 0.0),
    (_START_OPENS, "start_switch_closed", 0.0),
    (_START_CLOSES, "start_switch_closed", 1.0),
    (_BETWEEN_POPS, "interstage_relief_open", 1.0),
    (_BETWEEN_RESEATS, "interstage_relief_open", 0.0),
    (_HEAD_POPS, "head_relief_open", 1.0),
    (_HEAD_RESEATS, "head_relief_open", 0.0),
    (_SHUTS, "unloader_shut", 1.0),
    (_VENTS, "unloader_shut", 0.0),
    (_FIRES, "engine_running", 1.0),
    (_STALLS, "engine_running", 0.0),
    (_BURNS, "winding_burnt", 1.0),
    (_BLOWS, "joint_lifting", 1.0),
    (_HOLDS, "joint_lifting", 0.0),
    (_OVER, "over_pressure", 1.0),
    (_SAFE, "over_pressure", 0.0),
):
    _ENTRY[_event] = Modes._fields.index(_mode)
    _SET_TO[_event] = _value
_TRIPPED = Modes._fields.index("protector_tripped")


@stepping
def apply(what: int, m: np.ndarray) -> None:
    """Change the modes as an event asks."""
    if _ENTRY[what] >= 0:
        m[_ENTRY[what]] = _SET_TO[what]
    if what == _STALLS:  # whoever held the key lets go
        m[_TRIPPED] = 1.0


@stepping
def ends(what: int, watch: int) -> bool:
    """Whether this event is what the caller waits for."""
    return (
        what == _WATCHED
        or (watch == _CONTACTS and what in (_TRIPS, _OPEN, _CLOSE, _SHUTS, _VENTS, _RESETS))
        or (watch == _CONTACTS_OPEN and what == _OPEN)
        or (watch == _CONTACTS_CLOSE and what == _CLOSE)
        or (watch == _TRIP and what == _TRIPS)
        or (watch == _UNLOADED and what == _VENTS)
        or (watch == _LOADED and what == _SHUTS)
    )
