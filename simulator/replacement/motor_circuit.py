"""Does the branch circuit carry the new motor: wire, breaker, volts lost; the local code decides."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator.replacement import circuit, conductors
from simulator.replacement.conductors import NotListed
from simulator.replacement.motor_supply import starting_amps
from simulator.replacement.motor_work import ask_place
from simulator.replacement.rules import Rule
from simulator.replacement.swap import power_words
from simulator.replacement.tables import table
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from simulator.replacement.plates import MotorPlate
    from simulator.replacement.swap import Swap
    from simulator.replacement.verdict import Reason

_RULES = table("circuit")["rules"]
RUNNING_DROP = float(_RULES["running_drop"])
STARTING_VOLTS = float(_RULES["starting_volts"])
USUAL_ROOM = 303.15  # for which the ampacity table is printed [K]
LOWEST_TERMINALS, USUAL_TERMINALS = 60, 75
ELECTRICIAN = "by a licensed electrician, to the local code"
SAME_DRAW = 1.05
THINNEST = 14  # of a branch circuit [AWG]; NFPA 70 210.19(A), from memory

CIRCUIT = Rule(
    "circuit",
    "amps",
    "The branch circuit carries 125 per cent of the table's current for the motor.",
    "NFPA 70 430.6, 430.22, Tables 430.248 and 430.250; the local code and a licensed electrician decide",
)
WIRE = Rule(
    "wire",
    "wire",
    CIRCUIT.rule,
    "NFPA 70 430.22 and Table 310.16; the local code and a licensed electrician decide",
)
BREAKER = Rule(
    "breaker",
    "breaker",
    "The breaker protects the wire and lets the motor start: up to 250 per cent, next size up.",
    "NFPA 70 Table 430.52; the local code and a licensed electrician decide",
)
DROP = Rule(
    "drop",
    "run",
    "No more than 3 per cent lost on the way while it runs.",
    str(_RULES["running_drop_source"]),
    Standing(_RULES["running_drop_standing"]),
)
START_DROP = Rule(
    "start-drop",
    "run",
    "85 per cent of the volts left at the motor while it starts; torque goes with the square.",
    str(_RULES["starting_volts_source"]),
    Standing(_RULES["starting_volts_standing"]),
)


@dataclass(frozen=True)
class _Draw:
    """What the new motor asks of the circuit."""

    volts: float
    phases: int
    table: float  # [A]


def feeding(swap: Swap) -> Iterator[Reason]:
    """Give the reasons about the branch circuit.

    Parameters
    ----------
    swap : Swap
        Old motor, new motor, place.

    Yields
    ------
    Reason
        One or more; none before power, phase and supply are known, which are asked for elsewhere.
    """
    volts, power, phases = swap.place.supply_volts, swap.new.power, swap.new.phase
    if volts is None or power is None or phases is None:
        return
    try:
        draw = _Draw(volts, phases, circuit.table_current(power, volts, phases))
    except NotListed as refusal:
        yield _unlisted(swap, volts, str(refusal))
        return
    known = (swap.place.wire, swap.place.breaker)
    if all(one is None for one in known):
        yield _against_old(swap, draw)
        return
    yield _wire(swap, draw) if swap.place.wire is not None else ask_place(WIRE, "wire")
    yield _breaker(swap, draw) if swap.place.breaker is not None else ask_place(BREAKER, "breaker")
    yield from _drop(swap, draw)


def _unlisted(swap: Swap, volts: float, why: str) -> Reason:
    was, now = swap.old.amps_at(volts), swap.new.amps_at(volts)
    if _same_supply(swap.old, swap.new) and was is not None and now is not None and now <= was * SAME_DRAW:
        return CIRCUIT.fits(
            f"It draws {now:g} A where the old drew {was:g} A: it asks no more of the circuit. ({_sentence(why)})"
        )
    return CIRCUIT.asks(
        f"The tables held here do not size its circuit: {why}.",
        f"Is the circuit right for {now:g} A? To be answered {ELECTRICIAN}."
        if now
        else f"Is the circuit right? To be answered {ELECTRICIAN}.",
    )


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:] + "."


def _same_supply(old: MotorPlate, new: MotorPlate) -> bool:
    return old.phase == new.phase


def _against_old(swap: Swap, draw: _Draw) -> Reason:
    """Nobody looked at wire and breaker: the new motor may ask no more than the old one did."""
    figure = Figure("table current, new motor", draw.table, "current")
    try:
        before = (
            circuit.table_current(swap.old.power or 0.0, draw.volts, swap.old.phase or 0)
            if swap.old.power
            else None
        )
    except NotListed:
        before = None
    same_straps = before is not None and swap.old.phase == draw.phases
    if before is not None and same_straps and draw.table <= before + 1e-9:
        return CIRCUIT.fits(
            f"Its table current is {draw.table:g} A, the old motor's {before:g} A: it asks no more of the circuit, if that was right.",
            figure,
            Figure("table current, old motor", before, "current"),
        )
    carried = circuit.conductor_current(draw.table)
    return CIRCUIT.asks(
        f"Its table current is {draw.table:g} A: wire for {carried:g} A, breaker up to {circuit.breaker_limit(draw.table):g} A.",
        "What wire and what breaker feed the machine, and how long is the run? Read the cable's print and the panel.",
        figure,
        Figure("wire must carry", carried, "current"),
    )


def _wire(swap: Swap, draw: _Draw) -> Reason:
    place = swap.place
    gauge, room = place.wire or 0, place.room_temperature or USUAL_ROOM
    if gauge > THINNEST:
        return WIRE.warns(
            f"{gauge} AWG is a cord's wire: no motor circuit is thinner than {THINNEST} AWG. A longer air hose, not a longer cord."
        )
    carried = circuit.conductor_current(draw.table)
    rating = place.terminals or USUAL_TERMINALS
    try:
        holds = conductors.ampacity(gauge, rating, room)
        low = conductors.ampacity(gauge, LOWEST_TERMINALS, USUAL_ROOM)
    except NotListed as refusal:
        return WIRE.asks(
            f"{gauge} AWG cannot be judged here: {refusal}.",
            f"Is the wire right? To be answered {ELECTRICIAN}.",
        )
    figures = (
        Figure("table current", draw.table, "current"),
        Figure("wire must carry", carried, "current"),
        Figure(f"{gauge} AWG copper carries at {rating} °C", holds, "current"),
    )
    said = f"{gauge} AWG copper carries {holds:.3g} A at {rating} °C; the motor's table current {draw.table:g} A asks for {carried:g} A."
    if holds < carried - 1e-9:
        return WIRE.warns(f"{said} The wire overheats; it must be renewed first, {ELECTRICIAN}.", *figures)
    if place.terminals is None and low < carried - 1e-9:
        return WIRE.asks(
            f"{said} At 60 °C it would not do.", "Are wire and terminals at both ends rated 75 °C?", *figures
        )
    return WIRE.fits(said, *figures)


def _breaker(swap: Swap, draw: _Draw) -> Reason:
    size = swap.place.breaker or 0.0
    most, end = circuit.breaker_limit(draw.table), circuit.breaker_end(draw.table)
    figures = (Figure("breaker", size, "current"), Figure("largest to begin with", most, "current"))
    if size > max(end, most) + 1e-9:
        return BREAKER.warns(
            f"A breaker of {size:g} A does not protect this circuit; at most {most:g} A, never past {end:g} A.",
            *figures,
        )
    if size > most + 1e-9:
        return BREAKER.changes(
            f"A breaker of {size:g} A is past {most:g} A.",
            f"Have a breaker of at most {most:g} A fitted {ELECTRICIAN}.",
            *figures,
        )
    if size < circuit.conductor_current(draw.table) - 1e-9:
        return BREAKER.changes(
            f"A breaker of {size:g} A trips on this motor; it may have up to {most:g} A.",
            f"Have wire and breaker for this motor fitted {ELECTRICIAN}; a larger breaker on too thin a wire is a fire.",
            *figures,
        )
    return BREAKER.fits(f"A breaker of {size:g} A suits; up to {most:g} A it may be.", *figures)


def _drop(swap: Swap, draw: _Draw) -> Iterator[Reason]:
    run, gauge = swap.place.run, swap.place.wire
    if gauge is None:
        return
    if run is None:
        yield ask_place(DROP, "run")
        return
    try:
        running = conductors.voltage_drop(draw.table, gauge, run, draw.phases) / draw.volts
    except NotListed:
        return  # said with the wire
    figure = Figure("lost while it runs", running * 100, "percent")
    if running > RUNNING_DROP + 1e-9:
        yield DROP.changes(
            f"{running:.1%} of the volts are lost on the way.",
            f"Have thicker wire drawn {ELECTRICIAN}, or move the machine nearer.",
            figure,
        )
    else:
        yield DROP.fits(f"{running:.1%} of the volts are lost on the way.", figure)
    yield from _start_drop(swap, draw, conductors.voltage_drop(1.0, gauge, run, draw.phases))


def _start_drop(swap: Swap, draw: _Draw, drop_per_ampere: float) -> Iterator[Reason]:
    amps = starting_amps(swap.new, draw.volts)
    if amps is None:
        return  # the code letter is asked for with the starting current
    # The motor held still is an impedance: less volts, less current.
    left = 1.0 / (1.0 + amps * drop_per_ampere / draw.volts)
    figures = (
        Figure("volts left at the start", left * 100, "percent"),
        Figure("starting torque left", left * left * 100, "percent"),
    )
    said = f"While it starts {left:.0%} of the volts and {left * left:.0%} of the torque are left at the motor, the wire alone counted."
    if left < STARTING_VOLTS:
        yield START_DROP.changes(
            said,
            f"Have thicker wire drawn {ELECTRICIAN}; a longer air hose is better than a longer cord.",
            *figures,
        )
    else:
        yield START_DROP.fits(said, *figures)


def branch_words(power: float, volts: float, phases: int) -> str:
    """What the tables ask of a motor's circuit, in one sentence; empty if they do not hold it."""
    try:
        sums = circuit.branch(power, volts, phases, None, None)
    except NotListed:
        return ""
    return (
        f"Circuit for {power_words(power)}: table current {sums.table_current:g} A, wire {sums.conductor_75} AWG copper at 75 °C"
        f" or {sums.conductor_60} AWG at 60 °C, breaker up to {sums.breaker:g} A."
    )
