"""Does the motor suit its supply: phase, hertz, volts, amps, starting current, overload protection."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from simulator.replacement import circuit
from simulator.replacement.motor_work import ask_for, ask_place
from simulator.replacement.rules import Rule
from simulator.replacement.swap import connection, deviation
from simulator.replacement.tables import table, words
from simulator.replacement.verdict import Figure, Standing, Verdict

if TYPE_CHECKING:
    from collections.abc import Iterator

    from simulator.replacement.plates import MotorPlate
    from simulator.replacement.swap import Swap
    from simulator.replacement.verdict import Reason

FITS_WITHIN = float(table("motors")["voltage"]["fits_within"])
STANDS_WITHIN = float(table("motors")["voltage"]["stands_within"])
MORE_AMPS = 0.05  # from here on overload and switch are looked at again (common practice)
ALIKE_AMPS = 0.03
OTHER_VOLTS = 1.5
FAR_LESS = 0.85  # of the old motor's volts times amps (common practice)
MORE_AT_START = 1.10  # of the old motor's starting current (common practice)

OLD_VOLTS = Rule(
    "old-volts",
    "volts",
    "The old motor suited the supply; if not, it was the wrong one already, or the supply has been changed.",
    "trade rule: match the work, then the supply, then the bolt holes",
    Standing.COMMON_PRACTICE,
)
PHASE = Rule("phase", "phase", "As many phases as the supply has.", "what the winding is made for")
HERTZ = Rule(
    "hertz",
    "hertz",
    "The frequency of the supply: 50 Hz on 60 runs a fifth faster, 60 Hz on 50 overheats.",
    "synchronous speed 120 f / poles; flux is volts over hertz",
)
VOLTS = Rule(
    "volts",
    "volts",
    "The measured supply within 10 per cent of a rating, better within 5.",
    "NEMA MG 1 12.44; IEC 60034-1 zone A",
    Standing.FROM_MEMORY,
)
AMPS = Rule(
    "amps",
    "amps",
    "Amps are a result, not a size: compare them at the same volts only. Half the volts, twice the current.",
    "power = volts x amps x power factor x efficiency",
)
STARTING = Rule(
    "starting-current",
    "code",
    "No more starting current than the circuit stood before.",
    "NEMA MG 1 10.37.2, NFPA 70 Table 430.7(B)",
)
OVERLOAD = Rule(
    "overload",
    "overload",
    "A motor never runs without overload protection; manual reset, because automatic restarts by itself.",
    "NFPA 70 430.32 and 430.43",
    Standing.FROM_MEMORY,
)


def supply(swap: Swap) -> Iterator[Reason]:
    """Give the reasons about motor and supply.

    Parameters
    ----------
    swap : Swap
        Old motor, new motor, place.

    Yields
    ------
    Reason
        One or more for each line.
    """
    for rule in (_phase, _hertz, _volts, _amps, _starting, _overload):
        yield from rule(swap)


def _phase(swap: Swap) -> Iterator[Reason]:
    has, needs = swap.place.supply_phase, swap.new.phase
    if needs is None:
        yield ask_for(PHASE, "phase", "new")
    elif has is None:
        yield ask_place(PHASE, "supply phase")
    elif has == needs:
        yield PHASE.fits(f"Supply and motor have {_phases(has)}.")
    elif needs == 3:
        yield PHASE.refuses("A three-phase motor does not start on one phase: it hums and burns.")
    else:
        yield PHASE.changes(
            "A single-phase motor on a three-phase supply uses two of its lines.",
            "Have a licensed electrician connect it to two lines of the right volts and change switch or starter.",
        )


def _phases(count: int) -> str:
    return "one phase" if count == 1 else "three phases"


def _hertz(swap: Swap) -> Iterator[Reason]:
    has, made_for = swap.place.supply_hertz, swap.new.hertz
    if not made_for:
        yield ask_for(HERTZ, "hertz", "new")
    elif has is None:
        yield ask_place(HERTZ, "supply hertz")
    elif has in made_for:
        yield HERTZ.fits(f"Supply and motor have {has:g} Hz.")
    elif has > made_for[0]:
        yield HERTZ.refuses(
            f"Made for {made_for[0]:g} Hz, it would run {has / made_for[0] - 1:.0%} faster on {has:g} Hz, at another voltage."
        )
    else:
        yield HERTZ.refuses(
            f"Made for {made_for[0]:g} Hz, it runs {1 - has / made_for[0]:.0%} slower on {has:g} Hz, cools less and gives so much less power;"
            " at its plate's volts its iron is overdriven."
        )


def _volts(swap: Swap) -> Iterator[Reason]:
    measured = swap.place.supply_volts
    if measured is None:
        yield ask_place(VOLTS, "supply volts")
        return
    ends = connection(swap.new, measured, swap.place.supply_hertz)
    if ends is None:
        yield ask_for(VOLTS, "volts", "new")
        return
    yield from _old_volts(swap, measured)
    made_for = swap.new.hertz[0] if swap.new.hertz else 0.0
    other = swap.new.hertz and swap.place.supply_hertz not in (None, *swap.new.hertz)
    counted = f"counted over from {made_for:g} Hz, " if other else ""
    reason = _on_supply(deviation(ends, measured), _written(ends), measured, counted)
    strap = reason.verdict is Verdict.FITS and len(swap.new.volts) > 1 and not other
    said = f" Strap it for {_written(ends)} by the diagram before power: it may come strapped for another."
    yield replace(reason, statement=reason.statement + said) if strap else reason


def _old_volts(swap: Swap, measured: float) -> Iterator[Reason]:
    ends = connection(swap.old, measured, swap.place.supply_hertz)
    if ends is not None and abs(deviation(ends, measured)) > STANDS_WITHIN:
        yield OLD_VOLTS.asks(
            f"The old motor's plate names {_written(ends)}, the meter says {measured:g} V.",
            "How did the old motor run on this supply? Look for a transformer or converter, measure again, and read the"
            " machine's own plate: the old motor may have been the wrong one.",
        )


def _written(ends: tuple[float, float]) -> str:
    return f"{ends[0]:.4g} V" if ends[0] == ends[1] else f"{ends[0]:.4g}-{ends[1]:.4g} V"


def _on_supply(off: float, rating: str, measured: float, counted: str) -> Reason:
    figures = (
        Figure("supply", measured, "voltage"),
        Figure("supply against the rating", off * 100, "percent"),
        Figure("starting torque left", (1 + off) ** 2 * 100 if off < 0 else 100.0, "percent"),
    )
    at = f"The supply is {measured:g} V; the nearest rating is {rating} ({counted}{off:+.1%})."
    if off > STANDS_WITHIN + 1e-9:
        return VOLTS.warns(f"{at} The winding is overdriven, burns, and may set fire.", *figures)
    if off < -STANDS_WITHIN - 1e-9:
        return VOLTS.refuses(
            f"{at} Torque falls with the square: {(1 + off) ** 2:.0%} is left, and it runs hot or hums.",
            *figures,
        )
    if abs(off) > FITS_WITHIN + 1e-9:
        return VOLTS.changes(
            f"{at} It stands that, hotter and with {'less' if off < 0 else 'more'} torque.",
            f"Ask for a plate that names {measured:.0f} V, or have a licensed electrician put the supply right.",
            *figures,
        )
    return VOLTS.fits(at, *figures)


def _amps(swap: Swap) -> Iterator[Reason]:
    old, new = swap.old, swap.new
    for plate, which in ((new, "new"), (old, "old")):
        if not plate.amps or not plate.volts:  # amps without volts say nothing
            yield ask_for(AMPS, "volts" if plate.amps else "amps", which)
            return
    yield from _alike(old, new)
    volts = swap.place.supply_volts
    if volts is not None:
        was, now = old.amps_at(volts), new.amps_at(volts)
        if was is not None and now is not None:
            yield _at_supply(swap, volts, was, now)


def _drawn(plate: MotorPlate) -> tuple[float, float, float]:
    """Volts and amps of the first connection, and volts times amps with the root of the phases."""
    volts, amps = plate.volts[0][1], plate.amps[0][1]
    return volts, amps, volts * amps * (plate.phase or 1) ** 0.5


def _alike(old: MotorPlate, new: MotorPlate) -> Iterator[Reason]:
    """The trap: the same number of amps at other volts is another size of motor."""
    drawn = _drawn(new)[2] / _drawn(old)[2]
    pairs = [
        (ov[1], nv[1], na[1])
        for ov, oa in zip(old.volts, old.amps, strict=False)
        for nv, na in zip(new.volts, new.amps, strict=False)
        if abs(oa[1] / na[1] - 1) <= ALIKE_AMPS and max(ov[1], nv[1]) / min(ov[1], nv[1]) > OTHER_VOLTS
    ]
    if drawn >= FAR_LESS:
        return
    figure = Figure("new over old, volts times amps", drawn * 100, "percent")
    if pairs:
        was, now, amps = pairs[0]
        yield AMPS.refuses(
            f"{amps:g} A at {now:g} V is not {amps:g} A at {was:g} V: the same number of amps at other volts is {now / was:.2g}"
            " times the power.",
            figure,
        )
    else:
        yield AMPS.refuses(
            f"At the same volts it draws only {drawn:.0%} of what the old one drew: it is a smaller motor.",
            figure,
        )


def _at_supply(swap: Swap, volts: float, old: float, new: float) -> Reason:
    figures = (
        Figure("old full-load current, nearest straps", old, "current"),
        Figure("new full-load current, nearest straps", new, "current"),
    )
    same_volts = _same_straps(swap, volts)
    if not same_volts or abs(new / old - 1) <= MORE_AMPS:
        return AMPS.fits(f"On the straps for the supply it draws {new:g} A at full load.", *figures)
    said = f"It draws {new:g} A where the old drew {old:g} A."
    relay = (
        f"Set the relay to {new:g} A, the new plate's current on these straps."
        if swap.old.overload == "starter"
        else ""
    )
    rated = (
        f"Check that the pressure switch or starter is rated for {new:g} A at the connected volts."
        if new > old
        else ""
    )
    change = " ".join(part for part in (relay, rated) if part)
    return AMPS.changes(said, change, *figures) if change else AMPS.fits(said, *figures)


def _same_straps(swap: Swap, volts: float) -> bool:
    ends = connection(swap.old, volts), connection(swap.new, volts)
    if ends[0] is None or ends[1] is None:
        return False
    return max(ends[0][1], ends[1][1]) / min(ends[0][1], ends[1][1]) < OTHER_VOLTS


def starting_amps(plate: MotorPlate, volts: float) -> float | None:
    """Give the most a motor draws while it is held still.

    Parameters
    ----------
    plate : MotorPlate
        As read.
    volts : float
        At the motor. [V]

    Returns
    -------
    float or None
        None if the plate gives neither code letter nor ratio. [A]
    """
    full = plate.amps_at(volts)
    if plate.starting_current is not None and full is not None:
        return plate.starting_current * full
    if plate.code is None or plate.power is None or plate.phase is None:
        return None
    low, high = circuit.locked_rotor_currents(plate.code, plate.power, volts, plate.phase)
    return high if high < float("inf") else low


def _starting(swap: Swap) -> Iterator[Reason]:
    volts = swap.place.supply_volts
    if volts is None:
        return  # asked for already, and nothing can be said of amps without volts
    new, old = starting_amps(swap.new, volts), starting_amps(swap.old, volts)
    if new is None or old is None:
        yield ask_for(STARTING, "code", "new" if new is None else "old")
        return
    figures = (Figure("old motor, at most", old, "current"), Figure("new motor, at most", new, "current"))
    if new > old * MORE_AT_START:
        yield STARTING.changes(
            f"It may draw {new:.0f} A at the start, the old {old:.0f} A.",
            "Have wire, breaker and the volts left at the motor while it starts checked for the larger starting current.",
            *figures,
        )
    else:
        yield STARTING.fits(f"It draws at most {new:.0f} A at the start, the old {old:.0f} A.", *figures)


def _overload(swap: Swap) -> Iterator[Reason]:
    old, new = swap.old.overload, swap.new.overload
    if new is None:
        yield ask_for(OVERLOAD, "overload", "new")
        return
    entry = words("motors", "overload")[new]
    relay_stays = old == "starter"
    if relay_stays:
        yield OVERLOAD.fits(
            "The relay in the starter or switch protects it: set it to the new plate's amps on these straps."
        )
    elif old is None and new != "manual":
        yield ask_for(OVERLOAD, "overload", "old")
    elif new == "none":
        yield OVERLOAD.warns("Nothing would stop it when it is overloaded: it burns.")
    elif new == "starter":
        yield OVERLOAD.changes(
            "It has no protector of its own, and the old motor had one.",
            "Add an overload relay with manual reset, set to its full-load amps, by a licensed electrician.",
        )
    elif entry.facts["restarts"] and old != new:
        yield OVERLOAD.changes(
            "Its protector resets by itself: it starts without warning when it has cooled.",
            "Ask for manual reset; if there is none, put a sign on the machine that it starts by itself.",
        )
    else:
        yield OVERLOAD.fits(f"Its protection is {entry.title}.")
