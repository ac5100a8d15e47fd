"""Does the motor sit and turn where the old one did: feet, shaft, key, rotation, enclosure."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from simulator import units
from simulator.replacement.frames import IEC, tolerances
from simulator.replacement.motor_work import ask_for
from simulator.replacement.place import PLACE_LINES
from simulator.replacement.rules import Rule
from simulator.replacement.swap import body, small_words
from simulator.replacement.tables import table, words
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from simulator.replacement.plate_words import Key
    from simulator.replacement.swap import Body, Swap
    from simulator.replacement.verdict import Reason

SAME_HEIGHT = 0.0015  # NEMA MG 1 allows 0.06 in below the figure [m]
SAME_SHAFT = 0.0001  # a sheave is bored to the shaft [m]
SAME_KEY = 0.0002  # 5 mm is not 3/16 in, 8 mm is not 1/4 in; 0.188 is 3/16 in [m]
FRAMES = "measured on the machine"  # where no frame's name vouches for it

SHAFT_KIND = Rule(
    "shaft-kind",
    "frame",
    "A straight keyed shaft that takes a sheave.",
    "NEMA MG 1, frame suffixes (TS, J, JM, JP)",
)
FEET = Rule(
    "feet",
    "holes across",
    "The feet find their holes, at the old height of the shaft.",
    FRAMES,
    Standing.COMMON_PRACTICE,
)
HEIGHT = Rule(
    "shaft-height", "shaft height", "The shaft stands as high as it did.", FRAMES, Standing.COMMON_PRACTICE
)
SHAFT = Rule(
    "shaft", "shaft diameter", "The sheave's bore is the shaft's diameter.", FRAMES, Standing.COMMON_PRACTICE
)
LENGTH = Rule(
    "shaft-length",
    "shaft length",
    "The sheave's hub sits on its whole length.",
    FRAMES,
    Standing.COMMON_PRACTICE,
)
KEY = Rule("key", "key", "Key and keyways of one size.", FRAMES, Standing.COMMON_PRACTICE)
ROTATION = Rule(
    "rotation",
    "rotation",
    "It turns the way of the arrow: a piston pump pumps either way, its fan and a gear oil pump do not.",
    "arrow on flywheel or guard; trade rule",
    Standing.COMMON_PRACTICE,
)
ENCLOSURE = Rule(
    "enclosure",
    "enclosure",
    "Closed enough for its room, and not less than the old motor.",
    table("motors")["enclosures"]["source"],
    Standing(table("motors")["enclosures"]["standing"]),
)
FLAMMABLE, CLOSED = 9, 2  # how closed, as the table of enclosures counts


def by_frames(rule: Rule, swap: Swap) -> Rule:
    """Name the sources of the frames that vouch for the dimensions, and how firmly the weaker one stands."""
    frames = [plate.frame for plate in (swap.old, swap.new) if plate.frame]
    if not frames:
        return rule
    weakest = max((frame.standing for frame in frames), key=list(Standing).index)
    notes = {f"IEC figures {note}" for frame in frames if frame.series == IEC for note in frame.notes}
    sources = [*dict.fromkeys(frame.source for frame in frames), *sorted(notes)]
    return replace(rule, source="; ".join(sources), standing=weakest)


def fitting(swap: Swap) -> Iterator[Reason]:
    """Give the reasons about feet, shaft, rotation and enclosure.

    Parameters
    ----------
    swap : Swap
        Old motor, new motor, place.

    Yields
    ------
    Reason
        One or more for each line.
    """
    old, new = body(swap.old), body(swap.new)
    yield from _kind(swap, new)
    yield from _height(swap, old, new)
    yield from _feet(swap, old, new)
    yield from _diameter(swap, old, new)
    yield from _length(swap, old, new)
    yield from _key(swap, old, new)
    yield from _rotation(swap)
    yield from _enclosure(swap)


def _kind(swap: Swap, new: Body) -> Iterator[Reason]:
    if not new.takes_belt and swap.is_belt is not False:
        notes = "; ".join(swap.new.frame.notes) if swap.new.frame else ""
        yield SHAFT_KIND.refuses(f"Its shaft takes no sheave. {notes}.")
    if new.has_feet is False:
        yield by_frames(FEET, swap).refuses("It has no feet to stand on.")
    elif new.has_feet is None:
        yield by_frames(FEET, swap).asks(
            "Nothing says that it has feet.",
            "Does the new motor stand on feet? A face-mounted motor may have none.",
        )


def _ask_drive(rule: Rule, said: str) -> Reason:
    """A sheave can be changed, a coupled pump cannot: what drives it decides."""
    return rule.asks(said, f"Is the pump driven by a belt? {PLACE_LINES['drive'].look}")


def _height(swap: Swap, old: Body, new: Body) -> Iterator[Reason]:
    rule = by_frames(HEIGHT, swap)
    if old.shaft_height is None or new.shaft_height is None:
        yield ask_for(rule, "shaft height", "new" if new.shaft_height is None else "old")
        return
    rise = new.shaft_height - old.shaft_height
    figures = (
        Figure("old shaft height", old.shaft_height, "small_length"),
        Figure("new shaft height", new.shaft_height, "small_length"),
    )
    said = f"Its shaft stands {small_words(new.shaft_height)} above the feet, the old {small_words(old.shaft_height)}."
    if abs(rise) <= SAME_HEIGHT:
        yield rule.fits(said, *figures)
    elif swap.is_belt is None:
        yield _ask_drive(rule, said)
    elif swap.is_belt is False:
        yield rule.refuses(f"{said} A coupled pump leaves no room for that.", *figures)
    elif rise < 0:
        change = f"Stand it on a flat plate or base {small_words(-rise)} thick, no stack of shims, and line up the sheaves."
        yield rule.changes(said, change, *figures)
    else:
        change = (
            f"Make room for a shaft {small_words(rise)} higher: belt length, guard, and line up the sheaves."
        )
        yield rule.changes(said, change, *figures)


def _feet(swap: Swap, old: Body, new: Body) -> Iterator[Reason]:
    rule = by_frames(FEET, swap)
    if old.holes_across is None or not old.holes_along:
        yield ask_for(rule, "holes across", "old")
        return
    if new.has_feet is False:
        return  # refused already
    if new.holes_across is None or not new.holes_along:
        yield ask_for(rule, "holes across", "new")
        return
    allowed = 2 * tolerances().holes
    across = abs(new.holes_across - old.holes_across) <= allowed
    along = min(abs(one - other) for one in new.holes_along for other in old.holes_along) <= allowed
    figures = (
        Figure("old holes across", old.holes_across, "small_length"),
        Figure("new holes across", new.holes_across, "small_length"),
        Figure("old holes along", old.holes_along[-1], "small_length"),
        Figure("new holes along", new.holes_along[-1], "small_length"),
    )
    said = f"Its holes lie {_holes(new)}, the old motor's {_holes(old)}."
    if across and along:
        yield rule.fits(said, *figures)
    else:
        yield rule.changes(
            said,
            "Drill the base anew or fit an adapter plate, flat and with the full bolt pattern.",
            *figures,
        )


def _holes(of: Body) -> str:
    along = " or ".join(f"{units.number(one, 'small_length', 'us'):.3g}" for one in of.holes_along)
    across = units.number(of.holes_across or 0.0, "small_length", "us")
    metric = " or ".join(f"{units.number(one, 'small_length', 'metric'):.0f}" for one in of.holes_along)
    return f"{across:.3g} x {along} in ({(of.holes_across or 0.0) * 1000:.0f} x {metric} mm)"


def _diameter(swap: Swap, old: Body, new: Body) -> Iterator[Reason]:
    rule = by_frames(SHAFT, swap)
    if old.shaft_diameter is None or new.shaft_diameter is None:
        yield ask_for(rule, "shaft diameter", "new" if new.shaft_diameter is None else "old")
        return
    figures = (
        Figure("old shaft", old.shaft_diameter, "small_length"),
        Figure("new shaft", new.shaft_diameter, "small_length"),
    )
    said = f"Its shaft is {small_words(new.shaft_diameter)}, the old {small_words(old.shaft_diameter)}."
    if abs(new.shaft_diameter - old.shaft_diameter) <= SAME_SHAFT:
        yield rule.fits(said, *figures)
    elif swap.is_belt is None:
        yield _ask_drive(rule, said)
    elif swap.is_belt is False:
        yield rule.refuses(f"{said} The pump or coupling is bored for the old one.", *figures)
    else:
        near = (
            " They look alike and are not: a loose sheave wobbles, shears its key and comes off."
            if _look_alike(old, new)
            else ""
        )
        change = f"Fit a sheave or bush bored {small_words(new.shaft_diameter)} with the new shaft's keyway; no shim, no sleeve of tin."
        yield rule.changes(f"{said}{near}", change, *figures)


def _look_alike(old: Body, new: Body) -> bool:
    return abs((new.shaft_diameter or 0.0) - (old.shaft_diameter or 0.0)) < 0.0015


def _length(swap: Swap, old: Body, new: Body) -> Iterator[Reason]:
    rule = by_frames(LENGTH, swap)
    if new.shaft_length is None:
        yield ask_for(rule, "shaft length", "new")
        return
    figure = Figure("new shaft length", new.shaft_length, "small_length")
    hub = swap.place.hub_length
    if hub is not None:
        both = (figure, Figure("hub of the sheave", hub, "small_length"))
        if new.shaft_length >= hub:
            yield rule.fits(
                f"The hub, {small_words(hub)}, sits on a shaft {small_words(new.shaft_length)} long.", *both
            )
        else:
            yield rule.changes(
                f"The hub, {small_words(hub)}, is longer than the shaft, {small_words(new.shaft_length)}.",
                "Fit a sheave whose hub sits on the shaft with its whole length.",
                *both,
            )
    elif old.shaft_length is None:
        yield ask_for(rule, "shaft length", "old")
    elif new.shaft_length >= old.shaft_length - SAME_HEIGHT:
        yield rule.fits(
            f"Its shaft is {small_words(new.shaft_length)} long, the old {small_words(old.shaft_length)}.",
            figure,
        )
    else:
        yield rule.asks(
            f"Its shaft is {small_words(new.shaft_length)} long, the old {small_words(old.shaft_length)}.",
            f"Does the hub sit on the shorter shaft? {PLACE_LINES['hub length'].look}",
            figure,
        )


def _key(swap: Swap, old: Body, new: Body) -> Iterator[Reason]:
    rule = by_frames(KEY, swap)
    if old.key is None or new.key is None:
        yield ask_for(rule, "key", "new" if new.key is None else "old")
        return
    if _same_key(old.key, new.key):
        yield rule.fits(f"Its key is {_key_words(new.key)}, as the old one's.")
    elif swap.is_belt is None:
        yield _ask_drive(rule, f"Its key is {_key_words(new.key)}, the old one's {_key_words(old.key)}.")
    elif swap.is_belt is False:
        yield rule.refuses(
            f"Its key is {_key_words(new.key)}, the old one's {_key_words(old.key)}; the coupling has the old keyway."
        )
    else:
        yield rule.changes(
            f"Its key is {_key_words(new.key)}, the old one's {_key_words(old.key)}.",
            f"Fit a sheave or bush with a keyway for {_key_words(new.key)}; no filed or stepped makeshift.",
        )


def _same_key(old: Key, new: Key) -> bool:
    if old.flat or new.flat:
        return old.flat == new.flat
    return abs(old.width - new.width) <= SAME_KEY and abs(old.height - new.height) <= SAME_KEY


def _key_words(key: Key) -> str:
    if key.flat:
        return "a flat on the shaft"
    return f"{small_words(key.width)} wide, {units.show(key.height, 'small_length', 'metric', 1)} high"


def _rotation(swap: Swap) -> Iterator[Reason]:
    new = swap.new.rotation
    needed = swap.place.rotation_needed or swap.old.rotation
    if new is None:
        yield ask_for(ROTATION, "rotation", "new")
    elif new == "reversible":
        yield ROTATION.fits("It is reversible by its leads: set it by the arrow, bump it, look.")
    elif needed in (None, "reversible"):
        yield ROTATION.asks(
            f"It turns {words('motors', 'rotation')[new].title}, and only so.",
            f"Which way must it turn, facing its shaft? {PLACE_LINES['rotation needed'].look}",
        )
    elif needed == new:
        yield ROTATION.fits(f"It turns {words('motors', 'rotation')[new].title}, as is needed.")
    else:
        yield ROTATION.refuses(
            f"It turns {words('motors', 'rotation')[new].title}, and only so; the other way is needed. The pump would fill the"
            " tank and cook: its fan blows the wrong way."
        )


def _enclosure(swap: Swap) -> Iterator[Reason]:
    new, old, room = swap.new.enclosure, swap.old.enclosure, swap.place.room
    if new is None:
        yield ask_for(ENCLOSURE, "enclosure", "new")
        return
    entry = words("motors", "enclosure")[new]
    if new == "air-over":
        yield ENCLOSURE.refuses(f"It is {entry.title}: beside a pump it has no such air and overheats.")
        return
    if room is None and old is None:
        yield ask_for(ENCLOSURE, "enclosure", "old")
        return
    needed, why = _needed(old, room)
    keeps = entry.facts["keeps"]
    said = f"It is {entry.title}. {why}"
    if keeps >= needed >= FLAMMABLE:
        yield ENCLOSURE.asks(
            said,
            "Do class, division and group on its plate name what is in the room? A licensed specialist decides.",
        )
    elif keeps >= needed:
        yield ENCLOSURE.fits(said)
    elif needed >= FLAMMABLE:
        yield ENCLOSURE.warns(
            f"{said} A spark of its switch can set the room alight. A licensed specialist decides."
        )
    elif room is None and keeps >= CLOSED:
        yield ENCLOSURE.asks(said, f"What is the room like? {PLACE_LINES['room'].look}")
    else:
        yield ENCLOSURE.refuses(f"{said} Dust and water would reach the winding and the start switch.")


def _needed(old: str | None, room: str | None) -> tuple[int, str]:
    """How closed it must be, by the room if that is known, else by the old motor."""
    if room is not None:
        entry = words("motors", "room_kind")[room]
        return entry.facts["keeps"], f"Its room: {entry.title}."
    entry = words("motors", "enclosure")[old or "open"]
    return entry.facts["keeps"], f"The old one was {entry.title}."
