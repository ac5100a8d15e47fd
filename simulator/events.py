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
    WATCHED = 8  # what the caller asked to wait for


NAMES = {
    Happening.PROTECTOR_TRIPS: "protector-tripped",
    Happening.CONTACTS_OPEN: "contacts-open",
    Happening.CONTACTS_CLOSE: "contacts-closed",
    Happening.RELIEF_POPS: "relief-popped",
    Happening.RELIEF_RESEATS: "relief-reseated",
    Happening.START_SWITCH_OPENS: "start-switch-open",
    Happening.START_SWITCH_CLOSES: "start-switch-closed",
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


@dataclass(frozen=True)
class Event:
    """Something that happened on the machine."""

    t: float  # on the rig's clock [s]
    what: str
    detail: str = ""
