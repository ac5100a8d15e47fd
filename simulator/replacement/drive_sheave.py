"""Does the motor's sheave sit on its shaft and bend its belt no harder than it may."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator.replacement.drive_plates import DRIVE_LINES
from simulator.replacement.rules import Rule
from simulator.replacement.swap import small_words
from simulator.replacement.tables import table
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from simulator.replacement.drive_plates import DrivePlate
    from simulator.replacement.verdict import Reason

SAME_BORE = 0.0001  # a sheave is bored to the shaft [m]
SAME_KEY = 0.0002  # 5 mm is not 3/16 in [m]
_BELTS = table("drives")["belts"]

BORE = Rule(
    "bore",
    "motor bore",
    "The bore is the shaft's diameter.",
    "trade rule for keyed sheaves",
    Standing.COMMON_PRACTICE,
)
KEY = Rule(
    "key",
    "motor key",
    "Keyways of sheave and shaft are of one size.",
    "trade rule for keyed sheaves",
    Standing.COMMON_PRACTICE,
)
HUB = Rule(
    "hub",
    "hub length",
    "The hub sits on the shaft with its whole length.",
    "trade rule for keyed sheaves",
    Standing.COMMON_PRACTICE,
)
SMALL = Rule(
    "small-sheave",
    "motor sheave",
    "No smaller than the belt is made to bend round, or than the machine's maker chose.",
    _BELTS["source"],
    Standing(_BELTS["standing"]),
)


def sheave(old: DrivePlate, after: DrivePlate) -> Iterator[Reason]:
    """Give the reasons about the motor's sheave.

    Parameters
    ----------
    old : DrivePlate
        The drive as it is.
    after : DrivePlate
        The drive as it would be.

    Yields
    ------
    Reason
        One for each line that can be compared.
    """
    yield _bore(old, after)
    yield from _key(old, after)
    yield from _hub(after)
    yield from _small(old, after)


def _bore(old: DrivePlate, after: DrivePlate) -> Reason:
    shaft = after.motor_shaft if after.motor_shaft is not None else old.motor_bore
    bore = after.motor_bore
    if shaft is None or bore is None:
        line = "motor shaft" if shaft is None else "motor bore"
        about = DRIVE_LINES[line]
        return BORE.asks(f"Not known: {about.title}.", f"What is the {about.title}? {about.look}")
    figures = (Figure("bore", bore, "small_length"), Figure("shaft", shaft, "small_length"))
    said = f"The bore is {small_words(bore)}, the shaft {small_words(shaft)}."
    if abs(bore - shaft) <= SAME_BORE:
        return BORE.fits(said, *figures)
    if bore > shaft:
        return BORE.refuses(
            f"{said} A loose sheave wobbles, shears its key and comes off; no shim makes up for it.", *figures
        )
    return BORE.refuses(
        f"{said} It does not go on. A machine shop may bore it, if the hub is thick enough.", *figures
    )


def _key(old: DrivePlate, after: DrivePlate) -> Iterator[Reason]:
    was, now = old.motor_key, after.motor_key
    if was is None or now is None:
        about = DRIVE_LINES["motor key"]
        yield KEY.asks(f"Not known: {about.title}.", f"What is the {about.title}? {about.look}")
    elif was.flat == now.flat and abs(was.width - now.width) <= SAME_KEY:
        yield KEY.fits("The keyway is as before." if not now.flat else "The shaft's flat is as before.")
    else:
        yield KEY.refuses("Its keyway is another one; a filed or stepped key works loose.")


def _hub(after: DrivePlate) -> Iterator[Reason]:
    if after.hub_length is None or after.shaft_length is None:
        return
    figures = (
        Figure("hub", after.hub_length, "small_length"),
        Figure("shaft", after.shaft_length, "small_length"),
    )
    if after.hub_length <= after.shaft_length:
        yield HUB.fits("The hub sits on the shaft with its whole length.", *figures)
    else:
        yield HUB.refuses(
            f"The hub, {small_words(after.hub_length)}, is longer than the shaft, {small_words(after.shaft_length)}.",
            *figures,
        )


def _small(old: DrivePlate, after: DrivePlate) -> Iterator[Reason]:
    section = after.belt.section if after.belt else after.section
    if after.driver is None or section is None:
        return  # asked for already
    figures = (
        Figure("motor sheave", after.driver, "small_length"),
        Figure(f"least for {section.name}", section.least_sheave, "small_length"),
    )
    if after.driver >= section.least_sheave - 1e-9:
        yield SMALL.fits(
            f"{small_words(after.driver)} is no less than {small_words(section.least_sheave)}, the least for {section.name}.",
            *figures,
        )
    elif old.driver is not None and after.driver >= old.driver - 1e-9:
        yield SMALL.fits(
            f"{small_words(after.driver)} is small for {section.name}, but no smaller than the machine has run with.",
            *figures,
        )
    else:
        yield SMALL.refuses(
            f"{small_words(after.driver)} is too small for {section.name}: the belt cracks and slips.",
            *figures,
        )
