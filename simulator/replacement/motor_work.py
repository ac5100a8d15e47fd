"""Does the motor do the work: power, service factor, duty, speed, the way it starts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator import electric
from simulator.replacement.place import PLACE_LINES
from simulator.replacement.plate_lines import MOTOR_LINES
from simulator.replacement.plate_sense import poles_of
from simulator.replacement.rules import Rule
from simulator.replacement.swap import power_words, running_speed, small_words, speeds_on
from simulator.replacement.tables import table, words
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from simulator.replacement.swap import Swap
    from simulator.replacement.verdict import Reason

ALLOWANCE = float(table("motors")["power"]["conversion_allowance"])
SAME_SPEED = float(table("motors")["speed"]["same_within"])
LARGER = (
    0.10  # from so much more power on, what feeds and drives the motor is looked at again (common practice)
)

POWER = Rule(
    "power",
    "power",
    "Never a smaller motor: the pump asks the same torque at the same speed, whatever turns it.",
    "power = torque x speed; ratings of NEMA MG 1 and IEC 60072-1 (2.2 kW stands for 3 hp)",
)
SERVICE_FACTOR = Rule(
    "service-factor",
    "service factor",
    "Power times service factor not below the old motor's: compressors often use it near cut-out.",
    "NEMA MG 1 1.42 (service factor); trade rule for compressors",
    Standing.COMMON_PRACTICE,
)
DUTY = Rule(
    "duty",
    "duty",
    "Continuous or compressor duty; never fan or short-time duty.",
    "NEMA MG 1 10.36, IEC 60034-1 clause 4",
    Standing.FROM_MEMORY,
)
SPEED = Rule(
    "speed",
    "speed",
    "The pump turns at its own speed: the same motor speed, or another motor sheave.",
    "synchronous speed 120 f / poles; motor speed x motor sheave = pump speed x flywheel, on pitch diameters",
)
PUMP_LIMIT = Rule(
    "pump-limit",
    "pump speed limit",
    "The pump never turns past its limit: valves break, it overheats and overloads the motor.",
    SPEED.source,
    Standing.COMMON_PRACTICE,
)
START = Rule(
    "start",
    "start",
    "A piston pump needs starting torque: capacitor start, or three phases.",
    "NEMA MG 1 1.20 (single-phase types); trade rule for compressors",
    Standing.COMMON_PRACTICE,
)
CAPACITORS = Rule(
    "capacitors",
    "start capacitor",
    "A motor keeps its own capacitors; the old ones are not moved over.",
    "trade rule; microfarads belong to the winding",
    Standing.COMMON_PRACTICE,
)
HEAD = Rule(
    "head",
    "head at start",
    "The pump starts against a vented head.",
    "trade rule; an unloader vents the head line at every stop",
    Standing.COMMON_PRACTICE,
)


def work(swap: Swap) -> Iterator[Reason]:
    """Give the reasons about what the motor must do.

    Parameters
    ----------
    swap : Swap
        Old motor, new motor, place.

    Yields
    ------
    Reason
        One or more for each line.
    """
    for rule in (_power, _service_factor, _duty, _speed, _two_speeds, _start, _capacitors, _head):
        yield from rule(swap)


def ask_for(rule: Rule, line: str, which: str) -> Reason:
    """Leave a line open that a plate does not tell."""
    about = MOTOR_LINES[line]
    return rule.asks(
        f"The {which} motor's plate does not tell the {about.title}.",
        f"What is the {about.title} of the {which} motor? {about.look}",
    )


def ask_place(rule: Rule, line: str) -> Reason:
    """Leave a line open that nobody has looked up at the place."""
    about = PLACE_LINES[line]
    return rule.asks(f"The {about.title} is not known.", f"What is the {about.title}? {about.look}")


def _power(swap: Swap) -> Iterator[Reason]:
    old, new = swap.old.power, swap.new.power
    demand = swap.place.pump_power
    if new is None:
        yield ask_for(POWER, "power", "new")
        return
    if demand is not None and new < demand * (1 - ALLOWANCE):
        yield POWER.refuses(
            f"The pump takes {power_words(demand)} at cut-out; {power_words(new)} is too small for it.",
            Figure("pump at cut-out", demand, "power"),
            Figure("new motor", new, "power"),
        )
    if old is None:
        yield ask_for(POWER, "power", "old")
        return
    yield _against_old(old, new)


def _against_old(old: float, new: float) -> Reason:
    figures = (Figure("old motor", old, "power"), Figure("new motor", new, "power"))
    if new < old * (1 - ALLOWANCE):
        load = old / new
        return POWER.refuses(
            f"{power_words(new)} is smaller than {power_words(old)}. It does not just take longer: at the pump's torque it"
            f" is loaded to {load:.0%} of its rating, slips, runs hot, trips and burns.",
            *figures,
            Figure("load on the new motor", load * 100, "percent"),
        )
    if new > old * (1 + LARGER):
        return POWER.changes(
            f"{power_words(new)} is larger than {power_words(old)}. The pump takes no more than before, but the motor draws more"
            " at the start.",
            "Check pressure switch or starter, wire, breaker and belts for the larger motor before it is fitted.",
            *figures,
        )
    return POWER.fits(f"{power_words(new)} does the work of {power_words(old)}.", *figures)


def _service_factor(swap: Swap) -> Iterator[Reason]:
    old, new = swap.old, swap.new
    if new.service_factor is None:
        yield ask_for(SERVICE_FACTOR, "service factor", "new")
        return
    if old.service_factor is None:
        yield ask_for(SERVICE_FACTOR, "service factor", "old")
        return
    if new.power is None or old.power is None:
        return  # the open power is told already, and this hangs on it
    had, has = old.power * old.service_factor, new.power * new.service_factor
    figures = (
        Figure("old power with service factor", had, "power"),
        Figure("new power with service factor", has, "power"),
    )
    if has >= had * (1 - ALLOWANCE):
        yield SERVICE_FACTOR.fits(
            f"With its service factor it gives {power_words(has)}; the old gave {power_words(had)}.", *figures
        )
    elif swap.place.pump_power is not None and swap.place.pump_power <= new.power * (1 + 1e-9):
        yield SERVICE_FACTOR.fits(
            f"Its service factor is lower, but the pump takes {power_words(swap.place.pump_power)} at cut-out and does not"
            " lean on it.",
            *figures,
        )
    else:
        yield SERVICE_FACTOR.refuses(
            f"With its service factor it gives {power_words(has)}, the old gave {power_words(had)}. Unless the pump is known"
            " to take no more than the plate power, it would run over its rating near cut-out.",
            *figures,
        )


def _duty(swap: Swap) -> Iterator[Reason]:
    old, new = swap.old.duty, swap.new.duty
    if new is None:
        yield ask_for(DUTY, "duty", "new")
        return
    entry = words("motors", "duty")[new]
    if entry.facts["serves"] > 0:
        yield DUTY.fits(f"Its duty is {entry.title}.")
    elif new == "intermittent" and old == "intermittent":
        yield DUTY.fits(
            "Its duty is intermittent, as the old motor's: keep to the machine's on and off times."
        )
    else:
        yield DUTY.refuses(
            f"Its duty is {entry.title}: it overheats on a compressor that pumps for half an hour."
        )


def _speed(swap: Swap) -> Iterator[Reason]:
    hertz = swap.place.supply_hertz
    new = running_speed(swap.new, hertz)
    old = running_speed(swap.old, hertz)
    if new is None or old is None:
        yield ask_for(SPEED, "speed", "new" if new is None else "old")
        return
    ratio = new / old
    figures = (Figure("old motor", old, "speed_rpm"), Figure("new motor", new, "speed_rpm"))
    if abs(ratio - 1) <= SAME_SPEED or poles_of(new, hertz or 60.0) == poles_of(old, hertz or 60.0):
        yield from _pump_limit(swap, new)
        yield SPEED.fits(
            f"It runs at {new:.0f} rpm, the old at {old:.0f}: the pump's speed changes by {ratio - 1:+.1%}.",
            *figures,
        )
    elif swap.is_belt is None:
        yield SPEED.asks(
            f"It runs at {new:.0f} rpm, the old at {old:.0f}.",
            f"Is the pump driven by a belt? {PLACE_LINES['drive'].look}",
            *figures,
        )
    elif swap.is_belt:
        yield _other_sheave(swap, old, new)
    else:
        yield SPEED.refuses(
            f"The pump sits on the shaft and would turn {ratio:.2f} times as fast: {new:.0f} for {old:.0f} rpm.",
            *figures,
        )


def _pump_limit(swap: Swap, speed: float) -> Iterator[Reason]:
    """With the old sheave on: a motor of less slip turns the pump a little faster."""
    place = swap.place
    if place.motor_sheave is None or place.flywheel is None or place.pump_speed_limit is None:
        return
    turns = float(electric.sheave_speed_rpm(speed, place.motor_sheave, place.flywheel))
    figures = (
        Figure("pump", turns, "speed_rpm"),
        Figure("limit of the pump", place.pump_speed_limit, "speed_rpm"),
    )
    if turns > place.pump_speed_limit * (1 + 1e-9):
        wanted = place.motor_sheave * place.pump_speed_limit / turns
        yield PUMP_LIMIT.changes(
            f"With the old sheave the pump would turn {turns:.0f} rpm; its limit is {place.pump_speed_limit:.0f} rpm.",
            f"Fit a motor sheave of at most {small_words(wanted)} pitch diameter.",
            *figures,
        )
    else:
        yield PUMP_LIMIT.fits(f"With the old sheave the pump turns {turns:.0f} rpm.", *figures)


def _other_sheave(swap: Swap, old: float, new: float) -> Reason:
    ratio = new / old
    figures = [Figure("old motor", old, "speed_rpm"), Figure("new motor", new, "speed_rpm")]
    sheave, flywheel = swap.place.motor_sheave, swap.place.flywheel
    kept = f"With the old sheave the pump would turn {ratio:.2f} times as fast and give about {ratio:.2f} times the air"
    kept += ", past its speed: valves, heat and motor suffer." if ratio > 1 else "."
    if sheave is None:
        change = f"Fit a motor sheave of {1 / ratio:.2f} times the old pitch diameter, and belts to suit."
    else:
        figures.append(Figure("motor sheave needed, pitch diameter", sheave / ratio, "small_length"))
        change = f"Fit a motor sheave of {small_words(sheave / ratio)} pitch diameter for the old {small_words(sheave)}, and belts to suit."
    if sheave is not None and flywheel is not None:
        figures.append(Figure("pump, kept", electric.sheave_speed_rpm(old, sheave, flywheel), "speed_rpm"))
        figures.append(
            Figure("pump, old sheave kept", electric.sheave_speed_rpm(new, sheave, flywheel), "speed_rpm")
        )
        figures.append(Figure("belt speed, kept", electric.RPM * old * sheave / 2, "belt_speed"))
    return SPEED.changes(f"It runs at {new:.0f} rpm, the old at {old:.0f}. {kept}", change, *figures)


def _two_speeds(swap: Swap) -> Iterator[Reason]:
    count = speeds_on(swap.new, swap.place.supply_hertz)
    if count > speeds_on(swap.old, swap.place.supply_hertz):
        yield SPEED.changes(
            f"It is wound for {count} speeds; the pressure switch knows one.",
            "Wire it for the one speed the pump needs, by the lead diagram; insulate the leads that are left over.",
        )


def _start(swap: Swap) -> Iterator[Reason]:
    new = swap.new.start
    if new is None:
        yield ask_for(START, "start", "new")
        return
    entry = words("motors", "start")[new]
    if entry.facts["starts_compressor"]:
        yield START.fits(f"Way of starting: {entry.title}.")
    elif new == swap.old.start:
        yield START.fits(
            f"Way of starting: {entry.title}, as the old one; the head must be vented at every start."
        )
    else:
        yield START.refuses(
            f"Way of starting: {entry.title}: too little torque to break a pump away, it hums and trips."
        )


def _capacitors(swap: Swap) -> Iterator[Reason]:
    new = swap.new
    for line in words("motors", "start")[new.start].facts["capacitors"] if new.start else ():
        marked = new.start_capacitor if line == "start capacitor" else new.run_capacitor
        if marked is None:
            yield CAPACITORS.asks(
                f"The new motor needs a {line}, and nothing says that it comes with one.",
                f"Does the {line} come with the new motor, and how is it marked?",
            )
        elif not marked.fitted:
            yield CAPACITORS.refuses(
                f"It needs a {line} and has none; the old motor's is not for its winding."
            )
        else:
            yield CAPACITORS.fits(f"Its own {line} comes with it.")


def _head(swap: Swap) -> Iterator[Reason]:
    if swap.place.head_at_start == "loaded":
        yield HEAD.changes(
            "The head is not vented at the start: no motor of this power starts the pump so for long.",
            "Put the unloader right first: a vented head before any motor is blamed.",
        )
    elif swap.place.head_at_start == "vented":
        yield HEAD.fits("The head is vented at every stop.")
