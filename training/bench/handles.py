"""What hands find on a rig to move, in that rig's own words: lever or key, disconnect, plug or battery lead, bleeds."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from simulator.hands import deeds_for

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulator.rig import Rig


class Handle(NamedTuple):
    """An order a hand can carry out, and what stands afterwards."""

    title: str
    stands: str


class Step(NamedTuple):
    """A step of Make safe: its title, how it is done, and what is told when it is done."""

    title: str
    hint: str
    done: str


_EVERYWHERE: dict[str, Handle] = {
    "start": Handle("Lever to AUTO", "The lever stands at AUTO."),
    "stop": Handle("Lever to OFF", "The lever stands at OFF."),
    "open-outlet": Handle("Open the outlet", "The outlet is open."),
    "shut-outlet": Handle("Shut the outlet", "The outlet is shut."),
    "open-drain": Handle("Open the drain", "The drain is open and blows: stand to the side."),
    "shut-drain": Handle("Shut the drain", "The drain is shut."),
    "isolate": Handle("Open the disconnect", "The disconnect is open."),
    "lock": Handle("Lock and tag", "Your lock and tag are on the disconnect."),
    "unlock": Handle("Take the lock off", "Your lock and tag are off the disconnect."),
    "restore": Handle("Close the disconnect", "The disconnect is closed: it has power again."),
    "vent-head": Handle("Open the bleed cock at the head line", "The bleed cock at the head line is open."),
    "shut-head-vent": Handle("Shut the bleed cock at the head line", "The bleed cock at the head line is shut."),
    "element-out": Handle("Take the filter element out", "The filter element is out."),
    "element-in": Handle("Put the filter element in", "The filter element is in."),
    "reset-protector": Handle("Press the reset button", "You pressed the reset button."),
    "belt-off": Handle("Take the belt off", "The guard is off and the belt is off the sheaves."),
    "belt-on": Handle("Put the belt on", "The belt is on and the guard is back."),
    "pull-ring": Handle("Pull the relief valve's ring", "You hold the ring: it blows. Stand to the side."),
    "release-ring": Handle("Let the relief valve's ring go", "The ring is back."),
    "hold-trigger": Handle("Hold a tool's trigger open", "A tool on the hose runs as long as you hold it."),
    "release-trigger": Handle("Let the tool's trigger go", "The tool is shut."),
    "toggle-start": Handle("Toggle to START, unloaded", "The toggle stands at START: it is held unloaded."),
    "toggle-run": Handle("Toggle to RUN", "The toggle stands at RUN: the pilot valve decides."),
    "roll-leads": Handle("Move the three motor leads round by one", "Each lead sits one terminal further."),
}  # fmt: skip
_CORD: dict[str, Handle] = {
    "isolate": Handle("Pull the plug", "The plug is out of the wall."),
    "restore": Handle("Put the plug in", "The plug is in: it has power again."),
    "lock": Handle("Lock box over the plug, tag", "The plug lies in a lock box with your lock and tag."),
    "unlock": Handle("Take the lock box off", "The lock box is off the plug."),
}
_ENGINE: dict[str, Handle] = {
    "start": Handle("Turn the key", "You turned the key."),
    "stop": Handle("Kill switch", "The kill switch is off."),
    "isolate": Handle(
        "Pull plug lead and battery lead", "Plug lead and battery lead are off, the fuel is shut."
    ),
    "restore": Handle(
        "Put plug lead and battery lead on", "Plug lead and battery lead are on, the fuel is open."
    ),
    "lock": Handle("Lock and tag the battery lead", "Lock and tag are on the battery lead."),
    "unlock": Handle("Take the lock off the battery lead", "Lock and tag are off the battery lead."),
}
_STEPS: dict[str, Step] = {
    "stop": Step("Stop", "Lever to OFF; wait for the flywheel and listen to it vent.", "Stopped by the lever; the flywheel stands."),
    "isolate": Step("Isolate", "Open the disconnect. The lever is no isolator.", "The disconnect is open."),
    "lock": Step("Lock and tag", "Own padlock, own tag, key in the pocket. Local rules say how a tag is written.", "Own lock, own tag, key in the pocket."),
    "bleed": Step("Bleed to zero", "By the drain, from the side, eyes and ears protected. The drain stays open.", "The drain is open, the blowing has stopped, the gauge is on its pin. The drain stays open."),
    "vent": Step("Vent the head line", "It holds air of its own after the receiver is at zero.", "The bleed cock is open and nothing comes: the head line is at zero."),
    "try": Step("Try to start", "Lever to AUTO: nothing happens. Lever back to OFF.", "Lever to AUTO: nothing. Lever back to OFF."),
}  # fmt: skip
_CORD_STEPS: dict[str, Step] = {
    "isolate": Step("Isolate", "Pull the plug. The lever is no isolator.", "The plug is out."),
    "lock": Step("Lock and tag", "Lock box over the plug, own lock, own tag, key in the pocket.", "The plug is in a lock box: own lock, own tag, key in the pocket."),
}  # fmt: skip
_ENGINE_STEPS: dict[str, Step] = {
    "stop": Step("Stop", "Kill switch; wait for the flywheel.", "Stopped by the kill switch; the flywheel stands."),
    "isolate": Step("Isolate", "Plug lead off, battery lead off, fuel shut. The kill switch is no isolator.", "Plug lead and battery lead are off, the fuel is shut."),
    "lock": Step("Lock and tag", "Own lock and tag on the battery lead, key in the pocket.", "Own lock, own tag on the battery lead, key in the pocket."),
    "try": Step("Try to start", "Turn the key: nothing happens. Key back.", "Key turned: nothing. Key back."),
}  # fmt: skip


def handles_of(rig: Rig) -> Mapping[str, Handle]:
    """Return what hands can do on a rig, in the order in which it is offered."""
    own = _EVERYWHERE | (_ENGINE if rig.has_engine else _CORD if rig.supply.feed == "cord" else {})
    has = set(deeds_for(rig))
    return {do: handle for do, handle in own.items() if do in has}


def steps_of(rig: Rig) -> Mapping[str, Step]:
    """Return the steps of Make safe in a rig's own words."""
    return _STEPS | (_ENGINE_STEPS if rig.has_engine else _CORD_STEPS if rig.supply.feed == "cord" else {})
