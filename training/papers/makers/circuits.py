"""Questions on what feeds a motor: starting amps, overload, breaker, wire, cord, contacts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from training.papers.makers import trade
from training.papers.makers.amps import USUAL_AMPS, amps_of
from training.papers.makers.beliefs import truth
from training.papers.makers.maker import Choice, Draft, Maker, Miss
from training.papers.makers.signs import TIMES
from training.papers.makers.swaps import power_with_hp
from training.papers.makers.trade import Verdict
from training.papers.makers.unsuitable import Unsuitable

if TYPE_CHECKING:
    from random import Random

    from simulator.units import System

GAUGES: Final = (14, 12, 10, 8, 6, 4)
DEFER: Final = "The local code and a licensed electrician decide."
CODE_SOURCE: Final = "NEMA MG 1 10.37.2 and NFPA 70 Table 430.7(B), kVA per horsepower"
RUNS: Final = {
    "us": ("25 ft", "50 ft", "75 ft", "100 ft", "150 ft"),
    "metric": ("8 m", "15 m", "25 m", "30 m", "50 m"),
}


def _branch(rng: Random) -> tuple[float, int, float, str, trade.Answer]:
    """Draw a single-phase motor and have its branch circuit reckoned."""
    horsepower = rng.choice(tuple(USUAL_AMPS))
    volts = rng.choice((230, 230, 115)) if horsepower <= 2.0 else 230
    amps = amps_of(rng, horsepower) * (2 if volts == 115 else 1)
    factor = rng.choice(("1.0", "1.15", "1.25"))
    typed = {
        "power": f"{horsepower:g} hp",
        "voltage": f"{volts} V",
        "phase": "single-phase",
        "plate_current": f"{amps:g} A",
        "service_factor": "below 1.15" if factor == "1.0" else "1.15 or more",
    }
    return horsepower, volts, amps, factor, trade.reckon("breaker-and-wire", typed)


def _starting_amps(rng: Random, system: System) -> Draft:
    phases = rng.choice((1, 3))
    horsepower = rng.choice((1.5, 2.0, 3.0, 5.0) if phases == 1 else (3.0, 5.0, 7.5, 10.0))
    volts = rng.choice((115, 230) if horsepower <= 2.0 else (230,)) if phases == 1 else rng.choice((230, 460))
    letter = rng.choice("FGHJKL")
    power = trade.si(f"{horsepower:g} hp", "power")
    low, key = trade.locked_rotor_currents(letter, power, float(volts), phases)
    other = trade.locked_rotor_currents(letter, power, float(volts), 4 - phases)[1]
    kva = key * volts * (1.0 if phases == 1 else 3.0**0.5) / 1000 / horsepower
    running = (
        trade.reckon(
            "breaker-and-wire",
            {
                "power": f"{horsepower:g} hp",
                "voltage": f"{volts} V",
                "phase": "single-phase" if phases == 1 else "three-phase",
                "plate_current": "200 A",
            },
        )
        .figures["table_current"]
        .value
    )
    named = "single-phase" if phases == 1 else "three-phase"
    return Draft(
        stem=(
            f"A {named} motor of {power_with_hp(horsepower, system)}, {volts} V, has the code letter {letter}: up to {kva:.1f} kVA for each"
            " horsepower with the rotor held. What current may it draw at the most in the first moment of a start?"
        ),
        explanation=(
            f"{kva:.1f} kVA {TIMES} {horsepower:g} {TIMES} 1000 ÷ {volts} V{'' if phases == 1 else ' ÷ 1.732'} ="
            f" {trade.shown(key, 'current', system)}; the least of that letter is {trade.shown(low, 'current', system)}."
        ),
        source=CODE_SOURCE,
        drawn={"horsepower": horsepower, "volts": volts, "phases": phases, "kva": kva},
        quantity="current",
        key=key,
        tolerance=0.04,
        misses=(
            Miss(6.0 * running, "That is six times the table's running current.", "code-letter-times-amps"),
            Miss(
                other,
                "The root of three belongs in a three-phase sum." if phases == 3 else "The root of three belongs in a three-phase sum only.",
            ),
            Miss(key / horsepower, "The kVA were not multiplied by the horsepower."),
        ),
    )  # fmt: skip


def _overload(rng: Random, system: System) -> Draft:
    horsepower, volts, amps, factor, answer = _branch(rng)
    key = answer.figures["overload"].value
    share = key / amps
    other = amps * (1.15 if share > 1.2 else 1.25)
    table = answer.figures["table_current"].value
    return Draft(
        stem=(
            f"A single-phase motor of {power_with_hp(horsepower, system)} is marked {volts} V, {amps:g} A, service factor {factor}. To what"
            f" current may a separate overload be set at the most? The code's table gives {table:g} A for such a motor."
        ),
        explanation=f"{answer.calculator.formula[2]}: {amps:g} A {TIMES} {share:.2f} = {trade.shown(key, 'current', system)}. {DEFER}",
        source="NFPA 70 430.32(A)(1); 430.6(A): the overload goes by the plate",
        drawn={"amps": amps, "factor": float(factor)},
        quantity="current",
        key=key,
        tolerance=0.02,
        misses=(
            Miss(other, f"That share is for the other case; this plate says service factor {factor}."),
            Miss(
                table * share, "The table's current sizes wire and breaker. The overload goes by the plate."
            ),
            Miss(answer.figures["breaker"].value, "That is the branch breaker.", "bigger-breaker-cures"),
        ),
    )


def _breaker(rng: Random, system: System) -> Draft:
    horsepower, volts, amps, _factor, answer = _branch(rng)
    key = answer.figures["breaker"].value
    table = answer.figures["table_current"].value
    return Draft(
        stem=(
            f"A single-phase motor of {power_with_hp(horsepower, system)} on {volts} V is marked {amps:g} A; the code's table gives"
            f" {table:g} A for such a motor. Which is the largest inverse-time breaker its branch circuit may begin with?"
        ),
        explanation=(
            f"2.5 {TIMES} {table:g} A = {2.5 * table:g} A, and the next standard size up: {trade.shown(key, 'current', system)}."
            f" {truth('bigger-breaker-cures')} {DEFER}"
        ),
        source="NFPA 70 Table 430.52, 430.52(C)(1), 240.6(A); 430.6(A): the breaker goes by the table",
        drawn={"amps": amps, "table": table},
        quantity="current",
        key=key,
        tolerance=0.01,
        misses=(
            Miss(1.25 * table, "125 per cent is what the wire must carry. A breaker so small trips at the start."),
            Miss(4.0 * table, "400 per cent is where every exception ends, not where one begins.", "bigger-breaker-cures"),
            Miss(2.5 * amps, "The plate's amps set the overload. Wire and breaker go by the table."),
        ),
    )  # fmt: skip


def _wire(rng: Random, system: System) -> Draft:
    horsepower, volts, amps, _factor, answer = _branch(rng)
    rating = rng.choice((60, 75))
    right = int(answer.figures[f"wire_{rating}"].value)
    needed = answer.figures["conductor_current"].value
    place = GAUGES.index(right)
    first = max(0, min(len(GAUGES) - 4, place - rng.randint(1, 2)))
    shelf = GAUGES[first : first + 4]
    table = answer.figures["table_current"].value
    choices = []
    for gauge in shelf:
        carries = trade.ampacity(gauge, rating)
        held = f"It carries {carries:g} A; the circuit asks for {trade.shown(needed, 'current', system)}."
        if carries < needed - 1e-9:
            by_plate = "wire-by-the-plate-amps" if carries >= amps else ""
            choices.append(Choice(f"{gauge} AWG copper", False, f"Too thin. {held}", by_plate))
        else:
            verdict = "" if gauge == right else "It would do, but is not the thinnest that does. "
            choices.append(Choice(f"{gauge} AWG copper", gauge == right, verdict + held))
    if not any(choice.belief for choice in choices):
        raise Unsuitable("no wire on the shelf carries the plate's amps alone")
    return Draft(
        stem=(
            f"A single-phase motor of {power_with_hp(horsepower, system)} on {volts} V is marked {amps:g} A; the code's table gives"
            f" {table:g} A. All terminals are rated {rating} °C, the room is 30 °C (86 °F), the run is short. Which is the"
            " thinnest copper conductor that may feed it?"
        ),
        explanation=f"1.25 {TIMES} {table:g} A = {trade.shown(needed, 'current', system)} must be carried at {rating} °C. {DEFER}",
        source="NFPA 70 430.22, Table 310.16; 430.6(A): the wire goes by the table",
        drawn={"amps": amps, "table": table, "rating": rating, "needed": needed},
        choices=tuple(choices),
    )


def _cord(rng: Random, system: System) -> tuple[str, float, int, int, float, trade.Answer]:
    """Draw a cord that people really use on a compressor, and have its drop reckoned."""
    horsepower = rng.choice((1.0, 1.5, 2.0, 3.0))
    volts = 115 if horsepower < 2.0 else 230
    amps = amps_of(rng, horsepower) * (2 if volts == 115 else 1)
    gauge, run = rng.choice((16, 14, 12, 10)), rng.choice(RUNS[system])
    times = rng.choice((5.0, 6.0, 7.0))
    typed = {
        "current": f"{amps:g} A",
        "length": run,
        "wire": f"{gauge} AWG",
        "voltage": f"{volts} V",
        "phase": "single-phase",
        "start_times": f"{times:g}",
    }
    return run, amps, gauge, volts, times, trade.reckon("voltage-drop", typed)


def _drop(rng: Random, system: System) -> Draft:
    run, amps, gauge, volts, _times, answer = _cord(rng, system)
    key = answer.figures["drop"].value
    ohms = key / (2 * amps)
    if not 1.0 < key < 0.2 * volts:
        raise Unsuitable("so much or so little is hardly met")
    return Draft(
        stem=(
            f"A machine stands at the end of an extension cord, {run} long, {gauge} AWG. The single-phase motor draws {amps:g} A near"
            f" cut-out; the outlet gives {volts} V. One conductor of that cord has {trade.shown(ohms, 'resistance', system)}, warm. How many"
            " volts are lost on the way?"
        ),
        explanation=(
            f"Out and back: 2 {TIMES} {amps:g} A {TIMES} {trade.shown(ohms, 'resistance', system)} = {trade.shown(key, 'voltage', system)}, or"
            f" {trade.shown(answer.figures['share'].value, 'percent', system)} of the supply. {answer.remarks[-1]}"
        ),
        source=answer.calculator.source,
        drawn={"amps": amps, "gauge": gauge, "run": trade.si(run, "length")},
        quantity="voltage",
        key=key,
        misses=(
            Miss(key / 2, "That is one conductor.", "one-wire-only"),
            Miss(answer.figures["start"].value, "That is what is left at the motor on starting, not what is lost while it runs.", "cool-cord-is-fine"),
        ),
    )  # fmt: skip


def _torque_left(rng: Random, system: System) -> Draft:
    run, amps, gauge, volts, times, answer = _cord(rng, system)
    key = answer.figures["start_torque"].value
    left = round(answer.figures["start"].value)
    exact = 100.0 * (left / volts) ** 2
    if not 30.0 < key < 93.0 or abs(exact - key) > 0.01 * key:
        raise Unsuitable("so much or so little is hardly met, or the rounded volts lead elsewhere")
    share = 100.0 * left / volts
    return Draft(
        stem=(
            f"On {run} of {gauge} AWG cord a motor that runs at {amps:g} A draws {times:g} times as much at a start, and the {volts} V of the"
            f" outlet fall to {left} V at the motor. What per cent of its starting torque is left?"
        ),
        explanation=f"Torque goes with the square of the volts: ({left} ÷ {volts})² = {trade.shown(key, 'percent', system)}. {answer.remarks[-1]}",
        source=f"{answer.calculator.source}; torque with the square of the volts is a property of induction motors",
        drawn={"left": left, "volts": volts},
        quantity="percent",
        key=key,
        tolerance=0.03,
        misses=(
            Miss(share, "That is the share of the volts.", "low-volts-are-gentle"),
            Miss(100.0 - key, "That is the torque lost, not what is left.", "cool-cord-is-fine"),
        ),
    )


def _contacts(rng: Random, system: System) -> Draft:
    sheets = trade.sheets_of_rig("switch", "twin-60")["place"]
    horsepower, volts = rng.choice(((2.0, 230), (3.0, 230), (5.0, 230), (1.5, 115), (2.0, 115)))
    amps = amps_of(rng, horsepower) * (2 if volts == 115 else 1)
    place = {
        **sheets,
        "power": f"{horsepower:g} hp",
        "volts": f"{volts} V",
        "amps": f"{amps:g} A",
        "live legs": "2" if volts == 230 else "1",
    }
    shelf = rng.sample(_RATINGS, 4)
    choices = []
    for rating in shelf:
        new = {**_SWITCH, "rating": rating}
        judged = trade.verdict_on("switch", {"new": new, "place": place}, system)
        reason = judged.by_code("switch-rating")
        if (
            reason is None
            or reason.verdict is Verdict.UNANSWERED
            or reason.verdict is Verdict.FITS_WITH_CHANGES
        ):
            raise Unsuitable("the contacts cannot be judged")
        fits = reason.verdict is Verdict.FITS
        choices.append(
            Choice(rating, fits, trade.said(reason, system), "" if fits else "any-contact-of-those-amps")
        )
    return Draft(
        stem=(
            f"The pressure switch breaks the single-phase motor itself: {power_with_hp(horsepower, system)}, {amps:g} A at {volts} V, two"
            " poles. Range, ports and thread of these four are right. The covers name these motor ratings. Which one may carry it?"
        ),
        explanation=f"{truth('any-contact-of-those-amps')} Read the cover for the volts in use.",
        source=trade.part_rule("switch-rating").source,
        drawn={"horsepower": horsepower, "volts": volts, "amps": amps},
        choices=tuple(choices),
    )


_SWITCH: Final = {
    "range": "40-150 psi",
    "setting": "adjustable",
    "differential": "20-40 psi",
    "poles": "2",
    "unloader": "fitted",
    "ports": "4",
    "thread": "1/4 NPT female",
}
_RATINGS: Final = (
    "1 hp at 115 V / 1-1/2 hp at 230 V",
    "1 hp at 115 V / 2 hp at 230 V",
    "1 hp at 115 V / 3 hp at 230 V",
    "1-1/2 hp at 115 V / 2 hp at 230 V",
    "1-1/2 hp at 115 V / 3 hp at 230 V",
    "2 hp at 115 V / 3 hp at 230 V",
    "2 hp at 115 V / 5 hp at 230 V",
)

MAKERS: Final = (
    Maker("made-amps-by-the-code-letter", "motor", "U2.3a", "number", "application", _starting_amps, family="starting-amps", fault="motor-undersized", procedure="p-motor"),
    Maker("made-overload-setting", "motor", "U7.3e", "number", "application", _overload, family="overload", fault="overload-trips-early", procedure="p-motor"),
    Maker("made-largest-breaker", "motor", "U7.5a", "number", "application", _breaker, family="branch", fault="overload-defeated", procedure="p-motor"),
    Maker("made-thinnest-wire", "motor", "U7.5a", "single", "application", _wire, family="branch", fault="low-supply-voltage", procedure="p-motor"),
    Maker("made-volts-lost-on-a-cord", "motor", "U3.3b", "number", "application", _drop, family="cord", fault="extension-cord-undersized"),
    Maker("made-torque-left-on-a-cord", "motor", "U5.1b", "number", "application", _torque_left, family="cord", fault="extension-cord-undersized"),
    Maker("made-contacts-for-a-motor", "motor", "U6.2a", "single", "analysis", _contacts, safety=True, family="contacts", fault="switch-contacts-welded", procedure="p-pressure-switch"),
)  # fmt: skip
