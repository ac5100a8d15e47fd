"""One motor for another: match the work, then the supply, then the bolt holes. Amps are a result, not a size."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator.replacement.circuit import DEFERS
from simulator.replacement.counterparts import counterparts
from simulator.replacement.motor_body import fitting
from simulator.replacement.motor_circuit import branch_words, feeding
from simulator.replacement.motor_room import standing_in_room
from simulator.replacement.motor_supply import supply
from simulator.replacement.motor_work import work
from simulator.replacement.place import Place
from simulator.replacement.swap import Swap, body, power_words, running_speed, small_words
from simulator.replacement.tables import words
from simulator.replacement.verdict import Judgement, judge

if TYPE_CHECKING:
    from collections.abc import Iterator

    from simulator.replacement.plates import MotorPlate

CAUTIONS = (
    "Disconnect, lock and tag, prove dead, bleed the capacitors through a resistor and the air to zero before a bolt is turned.",
    DEFERS,
    "Bump for rotation with the guard on; measure amps near cut-out: at or under the plate.",
)


def fit_motor(old: MotorPlate, new: MotorPlate, place: Place | None = None) -> Judgement:
    r"""Judge whether a motor may take another's place.

    Parameters
    ----------
    old : MotorPlate
        The motor that comes out.
    new : MotorPlate
        The motor that is on offer.
    place : Place, optional
        What was measured and looked up at the machine; what is missing is asked for.

    Returns
    -------
    Judgement
        Reasons in order of danger, open questions, changes, and what exactly to ask for.

    Examples
    --------
    >>> from simulator.replacement.plates import read_motor_plate
    >>> old = read_motor_plate("3 HP\nV 230\nA 15\nPH 1")
    >>> new = read_motor_plate("1-1/2 HP\nV 115\nA 15\nPH 1")
    >>> fit_motor(old, new).by_code("amps").statement.split(":")[0]
    '15 A at 115 V is not 15 A at 230 V'
    """
    swap = Swap(old, new, place or Place())
    reasons = [reason for room in (work, supply, feeding, fitting, standing_in_room) for reason in room(swap)]
    return judge("motor", reasons, parts_card(old, swap.place), CAUTIONS)


def parts_card(old: MotorPlate, place: Place | None = None) -> tuple[str, ...]:
    """Say exactly what to ask for, line by line; what is not known is left to be filled in.

    Parameters
    ----------
    old : MotorPlate
        The motor that comes out.
    place : Place, optional
        What was measured and looked up at the machine.

    Returns
    -------
    tuple of str
        One line for each thing a counter must match.
    """
    place = place or Place()
    return tuple(f"{title}: {value}" for title, value in _wanted(old, place))


def _wanted(old: MotorPlate, place: Place) -> Iterator[tuple[str, str]]:
    blank = "______ (look at the machine)"
    yield (
        "Motor for a belt-driven air compressor" if place.drive == "belt" else "Motor for an air compressor",
        _start(old, blank),
    )
    yield "Power", f"{power_words(old.power)}, not smaller" if old.power else blank
    yield "Service factor", f"{old.service_factor:g} or higher" if old.service_factor else blank
    yield "Volts", f"{place.supply_volts:g} V measured" if place.supply_volts else blank
    yield "Phase and hertz", f"{_or(place.supply_phase or old.phase)} phase, {_or(place.supply_hertz)} Hz"
    speed = running_speed(old, place.supply_hertz)
    yield "Speed", f"{speed:.0f} rpm" if speed else blank
    yield from _body(old, blank)
    needed = place.rotation_needed or old.rotation
    yield "Rotation", words("motors", "rotation")[needed].title if needed else blank
    yield "Enclosure", _enclosure(old, place, blank)
    yield "Duty", "continuous or compressor duty; not fan, air-over or short-time"
    yield "Insulation", f"class {old.insulation} or higher" if old.insulation else blank
    yield _starting(old, blank)
    yield "Overload protection", words("motors", "overload")[old.overload].title if old.overload else blank
    if (
        place.supply_volts
        and old.power
        and old.phase
        and (sums := branch_words(old.power, place.supply_volts, old.phase))
    ):
        yield "For the electrician", sums


def _starting(old: MotorPlate, blank: str) -> tuple[str, str]:
    if old.starting_current and not old.code:
        return "Starting current", f"at most {old.starting_current:g} times full load (IA/IN)"
    return "Code letter", f"{old.code} or an earlier letter" if old.code else blank


def _or(value: float | None) -> str:
    return "____" if value is None else f"{value:g}"


def _start(old: MotorPlate, blank: str) -> str:
    if old.start is None:
        return blank
    entry = words("motors", "start")[old.start]
    return f"{entry.title}, with its own capacitors" if entry.facts["capacitors"] else entry.title


def _body(old: MotorPlate, blank: str) -> Iterator[tuple[str, str]]:
    of = body(old)
    yield "Frame", f"{old.frame.name}, every letter" if old.frame else blank
    yield "Shaft", f"{_length(of.shaft_diameter)} x {_length(of.shaft_length)} long"
    if of.key is None:
        yield "Key", blank
    else:
        yield "Key", "flat" if of.key.flat else f"{small_words(of.key.width)} wide"
    yield "Shaft height", _length(of.shaft_height)
    along = " or ".join(small_words(one) for one in of.holes_along) or "____"
    yield "Foot holes", f"{_length(of.holes_across)} across, {along} along"
    partners = counterparts(old.frame) if old.frame else ()
    if partners:
        yield "If only the other series is to be had", f"{partners[0].words}; IEC figures to confirm"


def _length(value: float | None) -> str:
    return "____" if value is None else small_words(value)


def _enclosure(old: MotorPlate, place: Place, blank: str) -> str:
    if place.room:
        return f"for a room that is {words('motors', 'room_kind')[place.room].title}"
    return f"{words('motors', 'enclosure')[old.enclosure].title} or closer" if old.enclosure else blank
