"""Questions on relief valves: which goes on, how it ends, what rules it out, and the pressures round it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from training.papers.makers import trade
from training.papers.makers.beliefs import truth
from training.papers.makers.endings import ENDINGS, endings
from training.papers.makers.maker import Choice, Draft, Maker, Miss
from training.papers.makers.trade import Verdict
from training.papers.makers.unsuitable import Unsuitable

if TYPE_CHECKING:
    from collections.abc import Mapping
    from random import Random

    from simulator.units import System
    from training.papers.makers.trade import Judgement

ORDER: Final = "Prove the gauge, then the switch, then renew like for like. A relief is never adjusted, lapped or plugged."
PLATES: Final = {  # MAWP, cut-out, free air of the pump that goes with it
    "us": (("135 psi", "110 psi", 6), ("150 psi", "125 psi", 10), ("165 psi", "135 psi", 12), ("200 psi", "175 psi", 18), ("200 psi", "165 psi", 26)),
    "metric": (("8 bar", "7 bar", 200), ("10 bar", "8.5 bar", 280), ("11 bar", "10 bar", 530), ("12 bar", "10 bar", 420), ("15 bar", "13 bar", 640)),
}  # fmt: skip
STEP: Final = {"us": (25, "psi"), "metric": (2, "bar")}
FLOW: Final = {"us": "cfm", "metric": "L/min"}


@dataclass(frozen=True)
class Vessel:
    """A receiver with its pump, as plates and a proven gauge have them, and units to write in."""

    mawp: str
    cut_out: str
    free_air: int
    system: System

    @property
    def air(self) -> str:
        """Free air of the pump with its unit."""
        return f"{self.free_air} {FLOW[self.system]}"

    def flow(self, share: float) -> str:
        """A capacity as a tag has it: a share of the pump's free air, rounded."""
        step = 1 if self.system == "us" else 10
        return f"{round(self.free_air * share / step) * step} {FLOW[self.system]}"

    def over(self, steps: float, base: str = "") -> str:
        """A pressure so many usual steps above the MAWP, or another."""
        by, unit = STEP[self.system]
        return f"{float((base or self.mawp).split()[0]) + steps * by:g} {unit}"

    def judged(self, tag: Mapping[str, str], **place: str) -> Judgement:
        """What the verdict engine says of a relief valve here."""
        known = {
            "guards": "receiver",
            "mawp": self.mawp,
            "normal": self.cut_out,
            "free air": self.air,
            "stamp": "UV",
            "between": "nothing",
            "thread": "1/4 NPT female",
        }
        return trade.verdict_on("relief", {"new": tag, "place": {**known, **place}}, self.system)

    def tag(self, set_at: str, capacity: str, **other: str) -> dict[str, str]:
        """A tag with nothing wrong but what is said."""
        whole = {"stamp": "UV", "medium": "air", "seal": "unbroken", "thread": "1/4 NPT male"}
        return {**whole, "set": set_at, "capacity": capacity, **other}

    def told(self) -> str:
        """The plate, the cut-out and the pump in one sentence."""
        return (
            f"A receiver's plate gives a MAWP of {self.mawp}. Cut-out is {self.cut_out} on a proven gauge; the pump delivers"
            f" {self.air} of free air at that pressure."
        )


def vessel_of(rng: Random, system: System) -> Vessel:
    """Draw a receiver that is met in the trade, with its pump."""
    mawp, cut_out, free_air = rng.choice(PLATES[system])
    spread = free_air // 6 or 1
    step = 1 if system == "us" else 10
    return Vessel(mawp, cut_out, free_air + step * rng.randint(-spread // step, spread // step), system)


def _tags(rng: Random, vessel: Vessel) -> list[tuple[str, str, str]]:
    """Set, capacity and belief of tags: right ones first, then wrong ones."""
    right = [(vessel.mawp, vessel.flow(rng.choice((1.1, 1.5, 2.0, 3.0))), "")]
    lower = vessel.over(-0.2)
    right.append((lower, vessel.flow(rng.choice((1.2, 1.6, 2.5, 4.0))), ""))
    wrong = [
        (vessel.over(rng.choice((0.6, 1.0, 2.0))), vessel.flow(rng.choice((1.5, 2.0, 4.0))), "higher-relief-stays-shut"),
        (rng.choice((vessel.mawp, lower)), vessel.flow(rng.choice((0.5, 0.6, 0.8))), "any-relief-flow-will-do"),
        (vessel.over(rng.choice((-0.4, -0.2, 0.0)), vessel.cut_out), vessel.flow(rng.choice((1.5, 2.0, 3.0))), "lower-relief-is-safer"),
        (vessel.over(1.0, vessel.cut_out), vessel.flow(rng.choice((0.7, 2.0))), "higher-relief-stays-shut"),
    ]  # fmt: skip
    return [*right, *wrong]


def _offered(vessel: Vessel, tags: list[tuple[str, str, str]]) -> list[Choice]:
    choices = []
    for set_at, capacity, belief in tags:
        judged = vessel.judged(vessel.tag(set_at, capacity))
        fits = judged.verdict is Verdict.FITS
        codes = ("relief-set", "relief-capacity", "relief-margin") if fits else (judged.reasons[0].code,)
        said = trade.all_said(judged, codes, vessel.system)
        choices.append(Choice(f"Set {set_at}, capacity {capacity}", fits, said, "" if fits else belief))
    return choices


def figures_of(vessel: Vessel) -> dict[str, float]:
    """What was drawn, in SI."""
    return {
        "mawp": trade.si(vessel.mawp, "gauge_pressure"),
        "cut-out": trade.si(vessel.cut_out, "gauge_pressure"),
        "free air": trade.si(vessel.air, "air_flow"),
    }


def _which_relief(rng: Random, system: System) -> Draft:
    vessel = vessel_of(rng, system)
    tags = _tags(rng, vessel)
    choices = _offered(vessel, [rng.choice(tags[:2]), *rng.sample(tags[2:], 3)])
    return Draft(
        stem=(
            f"{vessel.told()} The relief has popped and is to be renewed. All four valves carry the vessel's stamp, are for air, sealed"
            " and of its thread. Which goes on with nothing else changed?"
        ),
        explanation=f"{trade.part_rule('relief-set').rule} {trade.part_rule('relief-capacity').rule} {ORDER}",
        source=trade.part_rule("relief-capacity").source + "; set: " + trade.part_rule("relief-set").source,
        drawn=figures_of(vessel),
        choices=tuple(choices),
    )  # fmt: skip


def _every_relief(rng: Random, system: System) -> Draft:
    vessel = vessel_of(rng, system)
    tags = _tags(rng, vessel)
    choices = _offered(vessel, [*tags[: rng.choice((1, 2))], *rng.sample(tags[2:], 3)])
    return Draft(
        stem=(
            f"{vessel.told()} These relief valves are on the shelf, all for air, sealed, of the vessel's stamp and thread. Which may go on"
            " with nothing else changed? Choose every one."
        ),
        explanation=f"{trade.part_rule('relief-set').rule} {trade.part_rule('relief-margin').rule} {trade.part_rule('relief-capacity').rule}",
        source=trade.part_rule("relief-capacity").source + "; set: " + trade.part_rule("relief-set").source,
        drawn=figures_of(vessel),
        choices=tuple(choices),
    )  # fmt: skip


def _defects(rng: Random, vessel: Vessel) -> tuple[str, Judgement, str]:
    """Draw what is other on an offered valve: how it is told, what the engine says, the belief that misses it."""
    good = vessel.flow(rng.choice((1.5, 2.0, 3.0)))
    small = vessel.flow(rng.choice((0.5, 0.6, 0.8)))
    high = vessel.over(rng.choice((0.6, 1.0)))
    weeps = vessel.over(0.12 if vessel.system == "us" else 0.15, vessel.cut_out)
    lifts = vessel.over(-0.2, vessel.cut_out)
    kinds = (
        (f"set {vessel.mawp}, capacity {good}", vessel.judged(vessel.tag(vessel.mawp, good)), ""),
        (f"set {weeps}, capacity {good}", vessel.judged(vessel.tag(weeps, good)), "lower-relief-is-safer"),
        (f"set {vessel.mawp}, capacity {good}, screwed on an elbow", vessel.judged(vessel.tag(vessel.mawp, good), between="elbow"), "set-pressure-is-all"),
        (f"set {lifts}, capacity {good}", vessel.judged(vessel.tag(lifts, good)), "lower-relief-is-safer"),
        (f"set {vessel.mawp}, capacity {good}, stamped for steam", vessel.judged(vessel.tag(vessel.mawp, good, medium="steam")), "set-pressure-is-all"),
        (f"set {high}, capacity {good}", vessel.judged(vessel.tag(high, good)), "higher-relief-stays-shut"),
        (f"set {vessel.mawp}, capacity {small}", vessel.judged(vessel.tag(vessel.mawp, small)), "any-relief-flow-will-do"),
        (f"set {vessel.mawp}, capacity {good}, its wire seal broken", vessel.judged(vessel.tag(vessel.mawp, good, seal="broken")), "set-pressure-is-all"),
        (f"set {vessel.mawp}, capacity {good}, with a ball valve under it", vessel.judged(vessel.tag(vessel.mawp, good), between="ball valve"), "valve-under-a-relief-is-handy"),
    )  # fmt: skip
    wanted = rng.choice(tuple(ENDINGS))
    found = [one for one in kinds if one[1].verdict is wanted]
    if not found:
        raise Unsuitable("no such verdict on this vessel")
    return rng.choice(found)


def _how_a_relief_ends(rng: Random, system: System) -> Draft:
    vessel = vessel_of(rng, system)
    told, judged, belief = _defects(rng, vessel)
    worst = judged.reasons[0]
    choices = endings(judged.verdict, trade.said(worst, system), belief)
    return Draft(
        stem=(
            f"{vessel.told()} The relief on offer carries the vessel's stamp, is sealed, for air and of its thread unless said otherwise:"
            f" {told}. How does the comparison end?"
        ),
        explanation=f"The worst reason decides. {worst.rule} {ORDER}",
        source=worst.source,
        drawn=figures_of(vessel),
        choices=choices,
    )  # fmt: skip


_LINES: Final[
    tuple[tuple[str, str, str, dict[str, str], dict[str, str]], ...]
] = (  # line on the sheet, what stands there, the code that judges it, on the tag or at the place
    ("Seal", "wire seal broken", "relief-seal", {"seal": "broken"}, {}),
    ("Seal", "wire seal whole", "relief-seal", {}, {}),
    ("Stamp", "no stamp on it", "relief-stamp", {"stamp": "none"}, {}),
    ("Stamp", "as the vessel's", "relief-stamp", {}, {}),
    ("Medium", "for liquid", "relief-medium", {"medium": "liquid"}, {}),
    ("Medium", "for steam", "relief-medium", {"medium": "steam"}, {}),
    ("Medium", "for air", "relief-medium", {}, {}),
    ("Under it", "a ball valve, open", "relief-between", {}, {"between": "ball valve"}),
    ("Under it", "an elbow", "relief-between", {}, {"between": "elbow"}),
    ("Under it", "the vessel's port", "relief-between", {}, {}),
)


def _what_rules_a_relief_out(rng: Random, system: System) -> Draft:
    vessel = vessel_of(rng, system)
    set_at = rng.choice((vessel.mawp, vessel.mawp, vessel.over(1.0)))
    capacity = vessel.flow(rng.choice((0.6, 0.8, 1.5, 2.0)))
    others = [
        rng.choice([line for line in _LINES if line[0] == title])
        for title in ("Seal", "Stamp", "Medium", "Under it")
    ]
    others = rng.sample(others, 3)
    tag, place = vessel.tag(set_at, capacity), dict[str, str]()
    for _, _, _, on_tag, at_place in others:
        tag |= on_tag
        place |= at_place
    judged = vessel.judged(tag, **place)
    lines = [
        (f"Set: {set_at}", "relief-set"),
        (f"Capacity: {capacity}", "relief-capacity"),
        *((f"{title}: {says}", code) for title, says, code, _, _ in others),
    ]
    beliefs = {
        "relief-set": "higher-relief-stays-shut",
        "relief-capacity": "any-relief-flow-will-do",
        "relief-between": "valve-under-a-relief-is-handy",
    }
    choices = []
    for text, code in lines:
        reason = judged.by_code(code)
        if reason is None or reason.verdict is Verdict.UNANSWERED:
            raise Unsuitable("a line was not judged")
        forbids = reason.verdict.danger >= Verdict.DOES_NOT_FIT.danger
        choices.append(
            Choice(
                text,
                forbids,
                f"{reason.verdict.title}. {trade.said(reason, system)}",
                beliefs.get(code, "set-pressure-is-all") if forbids else "",
            )
        )
    return Draft(
        stem=f"{vessel.told()} A relief valve is offered. Which of its lines rule it out, whatever is changed around it? Choose every one.",
        explanation=f"{judged.reasons[0].rule} {ORDER}",
        source=judged.reasons[0].source,
        drawn=figures_of(vessel),
        choices=tuple(choices),
    )  # fmt: skip


def _while_it_blows(rng: Random, system: System) -> Draft:
    mawp = rng.choice(
        ("125 psi", "135 psi", "150 psi", "165 psi", "175 psi", "200 psi", "250 psi")
        if system == "us"
        else ("8 bar", "9 bar", "10 bar", "11 bar", "12 bar", "15 bar", "16 bar")
    )
    limit = trade.si(mawp, "gauge_pressure")
    key = trade.relieving_pressure(limit)
    rule = trade.part_rule("relief-capacity")
    more = trade.shown(rule.limit("least_accumulation"), "pressure_drop", system)
    return Draft(
        stem=(
            f"A receiver of MAWP {mawp} has one relief valve, set at the MAWP and large enough. The switch has welded and the pump runs on."
            " Which pressure may the vessel reach at the most while the relief blows?"
        ),
        explanation=f"A tenth over the MAWP, or {more} if that is more: {trade.shown(key, 'gauge_pressure', system)}. {rule.rule}",
        source=rule.source,
        drawn={"mawp": limit},
        quantity="gauge_pressure",
        key=key,
        tolerance=0.015,
        misses=(
            Miss(limit, "That is where it begins to open.", "nothing-passes-the-limit"),
            Miss(0.9 * limit, "A tenth was taken off. It is allowed on top, and only while the relief blows.", "nothing-passes-the-limit"),
            Miss(1.25 * limit, "A quarter over is far past what the code allows.", "higher-relief-stays-shut"),
        ),
    )  # fmt: skip


def _highest_cut_out(rng: Random, system: System) -> Draft:
    relief = rng.choice(
        ("135 psi", "140 psi", "150 psi", "165 psi", "175 psi", "200 psi", "220 psi")
        if system == "us"
        else ("8 bar", "9 bar", "10 bar", "11 bar", "12 bar", "14 bar", "15 bar")
    )
    rule = trade.part_rule("relief-margin")
    set_at = trade.si(relief, "gauge_pressure")
    key = set_at / rule.limit("over_normal")
    return Draft(
        stem=(
            f"The receiver's relief is set at {relief}, its MAWP. The customer wants \"all the pressure there is\". Up to which cut-out may the"
            " switch be set on a proven gauge, if the pump's plate allows it, so that the relief neither weeps nor pops?"
        ),
        explanation=f"{rule.rule} {relief} ÷ {rule.limit('over_normal'):g} = {trade.shown(key, 'gauge_pressure', system)}. {truth('raise-the-cut-out')}",
        source=f"{rule.source} (common practice)",
        drawn={"set": set_at},
        quantity="gauge_pressure",
        key=key,
        tolerance=0.02,
        misses=(
            Miss(set_at, "There the relief lifts in every cycle.", "raise-the-cut-out"),
            Miss(set_at * rule.limit("over_normal"), "A tenth was added: that is over the vessel's limit.", "higher-relief-stays-shut"),
            Miss(0.97 * set_at, "So near to its setting a relief weeps and wears its seat.", "raise-the-cut-out"),
        ),
    )  # fmt: skip


MAKERS: Final = (
    Maker("made-which-relief", "safety", "U8.1a", "single", "analysis", _which_relief, safety=True, family="relief", fault="relief-wrong-rating", procedure="p-relief"),
    Maker("made-every-relief-that-may-go-on", "safety", "U8.1a", "multiple", "analysis", _every_relief, safety=True, family="relief", fault="relief-wrong-rating", procedure="p-relief"),
    Maker("made-how-a-relief-ends", "safety", "U8.1a", "single", "analysis", _how_a_relief_ends, safety=True, family="relief", fault="relief-wrong-rating", procedure="p-relief"),
    Maker("made-what-rules-a-relief-out", "safety", "U8.1a", "multiple", "analysis", _what_rules_a_relief_out, family="relief", fault="relief-wrong-rating", procedure="p-relief"),
    Maker("made-pressure-while-a-relief-blows", "safety", "U8.1a", "number", "recall", _while_it_blows, family="relief", fault="relief-wrong-rating", procedure="p-relief"),
    Maker("made-highest-cut-out", "safety", "U8.1a", "number", "application", _highest_cut_out, family="cut-out", fault="switch-set-too-high", procedure="p-pressure-switch"),
)  # fmt: skip
