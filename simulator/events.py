"""What can happen at an instant, and in which order when several happen at once."""

from dataclasses import dataclass
from enum import IntEnum


class Happening(IntEnum):
    """Events the engine finds inside a step; the lower number goes first at the same instant."""

    PROTECTOR_TRIPS = 1
    CONTACTS_OPEN = 2
    CONTACTS_CLOSE = 3
    RELIEF_POPS = 4
    RELIEF_RESEATS = 5
    START_SWITCH_OPENS = 6
    START_SWITCH_CLOSES = 7
    INTERSTAGE_RELIEF_POPS = 8
    INTERSTAGE_RELIEF_RESEATS = 9
    HEAD_RELIEF_POPS = 10
    HEAD_RELIEF_RESEATS = 11
    UNLOADER_SHUTS = 12
    UNLOADER_OPENS = 13
    PROTECTOR_RESETS = 14
    ENGINE_FIRES = 15
    ENGINE_STALLS = 16
    WINDING_BURNS = 17
    JOINT_BLOWS = 18
    JOINT_HOLDS = 19
    OVER_PRESSURE = 20
    PRESSURE_SAFE = 21
    WATCHED = 22  # what the caller asked to wait for


NAMES = {
    Happening.PROTECTOR_TRIPS: "protector-tripped",
    Happening.CONTACTS_OPEN: "contacts-open",
    Happening.CONTACTS_CLOSE: "contacts-closed",
    Happening.RELIEF_POPS: "relief-popped",
    Happening.RELIEF_RESEATS: "relief-reseated",
    Happening.START_SWITCH_OPENS: "start-switch-open",
    Happening.START_SWITCH_CLOSES: "start-switch-closed",
    Happening.INTERSTAGE_RELIEF_POPS: "interstage-relief-popped",
    Happening.INTERSTAGE_RELIEF_RESEATS: "interstage-relief-reseated",
    Happening.HEAD_RELIEF_POPS: "head-relief-popped",
    Happening.HEAD_RELIEF_RESEATS: "head-relief-reseated",
    Happening.UNLOADER_SHUTS: "unloader-shut",
    Happening.UNLOADER_OPENS: "unloader-open",
    Happening.PROTECTOR_RESETS: "protector-reset",
    Happening.ENGINE_FIRES: "engine-fired",
    Happening.ENGINE_STALLS: "engine-stalled",
    Happening.WINDING_BURNS: "winding-burnt",
    Happening.JOINT_BLOWS: "joint-blows",
    Happening.JOINT_HOLDS: "joint-holds",
    Happening.OVER_PRESSURE: "over-pressure",
    Happening.PRESSURE_SAFE: "pressure-safe",
}


class Watch(IntEnum):
    """What a run may wait for."""

    NOTHING = 0
    RECEIVER_ABOVE = 1
    RECEIVER_BELOW = 2
    CONTACTS = 3
    CONTACTS_OPEN = 4
    CONTACTS_CLOSE = 5
    TRIP = 6
    STOPPED = 7
    UNLOADED = 8
    LOADED = 9


@dataclass(frozen=True)
class Event:
    """Something that happened on the machine."""

    t: float  # on the rig's clock [s]
    what: str
    detail: str = ""
