"""Questions on one motor for another: which goes on, what speaks against it, how it ends."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

from training.papers.makers import trade
from training.papers.makers.beliefs import truth
from training.papers.makers.endings import ENDINGS, endings
from training.papers.makers.maker import Choice, Draft, Maker
from training.papers.makers.swaps import (
    CHANGES,
    MACHINES,
    Offer,
    apply,
    finding,
    like_for_like,
    plate_power,
)
from training.papers.makers.trade import Verdict
from training.papers.makers.unsuitable import Unsuitable

if TYPE_CHECKING:
    from random import Random

    from simulator.units import System

HARMLESS: Final = ("closed", "more-reserve", "better-insulation")
MILD: Final = ("larger", "other-speed", "automatic")  # larger: an open question by itself, of the circuit
GRAVE: Final = ("smaller", "split-phase", "air-over", "no-reserve", "fifty-hertz", "short-time")
DANGERS: Final = ("wrong-volts", "no-overload")
STARRED: Final = "Match the work, then the supply, then the bolt holes. Amperes are a result, not a size."


def _old(offer: Offer, system: System) -> str:
    old = offer.old
    return (
        f"{plate_power(old, system)}, {old['volts']} V, {old['amps']} A, {old['speed']} rpm, service factor"
        f" {old['service factor']}"
    )


def _new(offer: Offer, system: System) -> str:
    new = offer.new
    return f"{plate_power(new, system)}, {new['volts']} V, {new['amps']} A, {new['speed']} rpm, SF {new['service factor']}"


def _choice(offer: Offer, system: System, belief: str) -> Choice:
    judged = offer.judged(system)
    if judged.verdict is Verdict.UNANSWERED:
        raise Unsuitable("the verdict engine has a question open")
    fits = judged.verdict is Verdict.FITS
    if fits:
        reason = " ".join(finding(judged, code)[1] for code in ("power", "volts", "speed"))
    else:
        reason = finding(judged, judged.reasons[0].code)[1]
    return Choice(_new(offer, system), fits, reason, "" if fits else belief)


def _which_motor(rng: Random, system: System) -> Draft:
    start = like_for_like(rng)
    amps = float(start.old["amps"])
    drawn = amps + rng.choice((-0.5, 0.0, 0.5))
    right = start.has(service_factor=rng.choice(("1.15", "1.25")), amps=f"{drawn:g}")
    names = ["smaller", "half-volts", *rng.sample(("other-speed", "no-reserve"), 1)]
    offers = [(right, "")] + [(apply(rng, start, [name]), CHANGES[name].belief) for name in names]
    choices = tuple(_choice(_perhaps_dual(rng, offer), system, belief) for offer, belief in offers)
    return Draft(
        stem=(
            f"The burnt motor of {MACHINES[start.rig]} is marked {_old(start, system)}, single-phase. The supply measures"
            f" {start.place['supply volts']}. Frame, start and all other lines of these four are like the old"
            " plate's. Which goes on with nothing changed?"
        ),
        explanation=STARRED,
        source=right.judged(system).by_code("power").source,  # type: ignore[union-attr]  # power is always judged
        drawn={"amps": amps},
        choices=choices,
    )


def _perhaps_dual(rng: Random, offer: Offer) -> Offer:
    """Let some of those for 230 V be plates of two voltages, right and wrong ones alike."""
    if offer.new["volts"] != "230" or rng.random() < 0.5:
        return offer
    amps = float(offer.new["amps"])
    return offer.has(volts="115/230", amps=f"{2 * amps:g}/{amps:g}")


def _drawn_swap(rng: Random, names: list[str]) -> Offer:
    return apply(rng, like_for_like(rng), names)


def _differences(offer: Offer, names: list[str], system: System) -> str:
    lines = (CHANGES[name].line(offer, system) for name in names)
    return "; ".join(line[0].lower() + line[1:] for line in lines)


def _how_it_ends(rng: Random, system: System) -> Draft:
    grave = rng.choice((HARMLESS, MILD, GRAVE, DANGERS))
    names = list(dict.fromkeys((rng.choice(grave), rng.choice(HARMLESS))))
    offer = _drawn_swap(rng, names)
    judged = offer.judged(system)
    if judged.verdict not in ENDINGS:
        raise Unsuitable("the verdict engine has a question open")
    worst = judged.reasons[0]
    code = worst.code if judged.verdict is not Verdict.FITS else CHANGES[names[0]].code
    said = finding(judged, code)[1]
    belief = CHANGES[names[0]].belief if judged.verdict is not Verdict.FITS else ""
    choices = endings(judged.verdict, said, belief)
    return Draft(
        stem=(
            f"The motor of {MACHINES[offer.rig]} is marked {_old(offer, system)}, single-phase, continuous duty. The supply measures"
            f" {offer.place['supply volts']}. The one on offer is like it but for this: {_differences(offer, names, system)}."
            " How does the comparison end?"
        ),
        explanation=f"The worst reason decides. {worst.rule}",
        source=worst.source,
        drawn={"amps": float(offer.old["amps"])},
        choices=choices,
    )


def _harmless(rng: Random, names: list[str]) -> str:
    """Draw one more difference that does no harm: other amps, where none follow from power or volts."""
    follow = {CHANGES[name].code for name in names} & {"power", "volts"}
    return rng.choice(HARMLESS) if follow else "other-amps"


def _picked_by(name: str) -> str:
    """The belief that takes a line for a reason against a motor, though it is none or a mild one."""
    if name == "other-amps":
        return CHANGES[name].belief
    return "only-the-same-part-fits" if name in HARMLESS else ""


def _worst_line(rng: Random, system: System) -> Draft:
    if rng.random() < 0.5:
        names = [rng.choice(DANGERS), rng.choice(GRAVE), rng.choice((*MILD, *HARMLESS))]
    else:
        names = [rng.choice(GRAVE), rng.choice(MILD), rng.choice((*MILD, *HARMLESS))]
    names.append(_harmless(rng, names))
    offer = _drawn_swap(rng, names)
    judged = offer.judged(system)
    found = {name: finding(judged, CHANGES[name].code) for name in names}
    worst = max(verdict.danger for verdict, _ in found.values())
    if worst != judged.verdict.danger or Verdict.UNANSWERED in {verdict for verdict, _ in found.values()}:
        raise Unsuitable("something that is not among the lines is worse")
    choices = tuple(
        Choice(
            CHANGES[name].line(offer, system),
            verdict.danger == worst,
            f"{verdict.title}. {said}",
            "" if verdict.danger == worst else _picked_by(name),
        )
        for name, (verdict, said) in found.items()
    )
    return Draft(
        stem=(
            f"The motor of {MACHINES[offer.rig]} is marked {_old(offer, system)}, single-phase, continuous duty. The supply measures"
            f" {offer.place['supply volts']}. The one on offer differs in four lines and in what follows from them. Which of the four speaks most against it?"
        ),
        explanation=f"{judged.reasons[0].rule} {STARRED}",
        source=judged.reasons[0].source,
        drawn={"amps": float(offer.old["amps"])},
        choices=choices,
    )


def _what_forbids(rng: Random, system: System) -> Draft:
    grave = rng.choice((1, 2, 3))
    names = [*rng.sample(GRAVE + DANGERS, grave), *rng.sample((*MILD, *HARMLESS), 4 - grave)]
    names.append(_harmless(rng, names))
    offer = _drawn_swap(rng, names)
    judged = offer.judged(system)
    choices = []
    for name in names:
        verdict, said = finding(judged, CHANGES[name].code)
        if verdict is Verdict.UNANSWERED:
            raise Unsuitable("the verdict engine has a question open")
        forbids = verdict.danger >= Verdict.DOES_NOT_FIT.danger
        reason = f"{verdict.title}. {said}"
        belief = CHANGES[name].belief if forbids else _picked_by(name)
        choices.append(Choice(CHANGES[name].line(offer, system), forbids, reason, belief))
    return Draft(
        stem=(
            f"The motor of {MACHINES[offer.rig]} is marked {_old(offer, system)}, single-phase, continuous duty. The supply measures"
            f" {offer.place['supply volts']}. The one on offer differs in five lines and in what follows from them. Which of the five rule it out, whatever is"
            " changed around it? Choose every one."
        ),
        explanation=f"The others fit, or fit once something is changed. {STARRED}",
        source=judged.reasons[0].source,
        drawn={"amps": float(offer.old["amps"])},
        choices=tuple(choices),
    )


def _order_of_size(rng: Random, system: System) -> Draft:
    pairs = [(volts, rng.choice(amps)) for volts, amps in _LABELS]
    reckoned = []
    for volts, amps in pairs:
        typed = {"current": f"{amps} A", "from_voltage": f"{volts} V", "to_voltage": "230 V"}
        reckoned.append(trade.reckon("amps-at-volts", typed).figures["current"].value)
    ranked = sorted(zip(reckoned, pairs, strict=True))
    sizes = [size for size, _ in ranked]
    if any(larger < 1.2 * smaller for smaller, larger in pairwise(sizes)):
        raise Unsuitable("two of them are nearly as large")
    if [pair[1] for _, pair in ranked] == sorted(pair[1] for _, pair in ranked):
        raise Unsuitable("the amps alone give the order away")
    answer = trade.reckon("amps-at-volts", {})
    return Draft(
        stem=(
            "Four single-phase capacitor-start motors of like efficiency and power factor, each with its full-load amps at"
            " the volts beside them. Put them in order of power. The smallest at the top."
        ),
        explanation=f"Bring them to the same volts first. {truth('amps-are-a-size')} {answer.remarks[0]}",
        source=answer.calculator.source,
        drawn={f"motor {place}": amps for place, (_, amps) in enumerate(pairs, 1)},
        order=tuple(
            (f"{amps:g} A at {volts} V", f"As much as {trade.shown(size, 'current', system)} at 230 V.")
            for size, (volts, amps) in ranked
        ),
    )


_LABELS: Final = (  # plates met in the trade, single-phase
    (115, (12.0, 13.0, 14.0, 16.0)),
    (115, (18.0, 20.0, 22.0, 24.0)),
    (230, (9.0, 10.0, 11.0, 12.0)),
    (230, (15.0, 16.0, 17.0, 22.0)),
)

MAKERS: Final = (
    Maker("made-which-motor-goes-on", "motor", "U7.2a", "single", "analysis", _which_motor, safety=True, family="match", fault="motor-undersized", procedure="p-motor"),
    Maker("made-how-a-swap-ends", "motor", "U7.2d", "single", "analysis", _how_it_ends, family="match", fault="motor-undersized", procedure="p-motor"),
    Maker("made-worst-line-of-a-plate", "motor", "U7.2a", "single", "analysis", _worst_line, family="match", fault="motor-undersized", procedure="p-motor"),
    Maker("made-what-rules-a-motor-out", "motor", "U7.2a", "multiple", "analysis", _what_forbids, family="match", fault="motor-undersized", procedure="p-motor"),
    Maker("made-order-of-motor-sizes", "motor", "U7.2b", "order", "application", _order_of_size, family="half-volts", fault="motor-undersized", procedure="p-motor"),
)  # fmt: skip
