"""Questions on what else keeps a vessel safe: gauge, pressure switch, tube."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from training.papers.makers import trade
from training.papers.makers.maker import Choice, Draft, Maker
from training.papers.makers.reliefs import STEP, figures_of, vessel_of
from training.papers.makers.trade import Verdict
from training.papers.makers.unsuitable import Unsuitable

if TYPE_CHECKING:
    from random import Random

    from simulator.units import System

SCALES: Final = {
    "us": (
        "0-60 psi",
        "0-100 psi",
        "0-160 psi",
        "0-200 psi",
        "0-300 psi",
        "0-400 psi",
        "0-600 psi",
        "0-1000 psi",
    ),
    "metric": ("0-4 bar", "0-6 bar", "0-10 bar", "0-16 bar", "0-25 bar", "0-40 bar", "0-60 bar", "0-100 bar"),
}


def _which_scale(rng: Random, system: System) -> Draft:
    vessel = vessel_of(rng, system)
    place = {"working": vessel.cut_out, "relief": vessel.mawp, "thread": "1/4 NPT female", "mount": "bottom"}
    choices = []
    for scale in rng.sample(SCALES[system], 4):
        new = {"range": scale, "thread": "1/4 NPT male", "mount": "bottom"}
        reason = trade.verdict_on("gauge", {"new": new, "place": place}, system).by_code("gauge-range")
        if reason is None:
            raise Unsuitable("the scale was not judged")
        fits = reason.verdict is Verdict.FITS
        ends = trade.si(f"{scale.split()[0].split('-')[1]} {scale.split()[1]}", "gauge_pressure")
        short = ends <= trade.si(vessel.mawp, "gauge_pressure") * 1.34
        belief = "scale-just-long-enough" if short and not fits else ""
        choices.append(
            Choice(f"Scale {scale.replace('-', ' to ', 1)}", fits, trade.said(reason, system), belief)
        )
    rule = trade.part_rule("gauge-range")
    return Draft(
        stem=(
            f"A receiver gauge is to be renewed. Cut-out is {vessel.cut_out}, the relief is set at {vessel.mawp}; thread and mount suit. Which of these"
            " scales does the usual advice for gauges choose?"
        ),
        explanation=rule.rule,
        source=f"{rule.source} ({rule.standing.value})",
        drawn=figures_of(vessel),
        choices=tuple(choices),
    )  # fmt: skip


def _which_switch(rng: Random, system: System) -> Draft:
    vessel = vessel_of(rng, system)
    sheets = trade.sheets_of_rig("switch", "twin-60")["place"]
    cut_in = vessel.over(-1.2, vessel.cut_out) if system == "us" else vessel.over(-1.0, vessel.cut_out)
    place = {
        **sheets,
        "cut-out": vessel.cut_out,
        "cut-in": cut_in,
        "mawp": vessel.mawp,
        "relief": vessel.mawp,
    }
    low, unit = vessel.over(
        rng.choice((-4.0, -3.6) if system == "us" else (-3.0, -2.5)), vessel.cut_out
    ).split()
    shelf = (
        (low, rng.choice((vessel.mawp, vessel.over(-0.2))), ""),
        (low, vessel.over(rng.choice((1.0, 2.0))), "raise-the-cut-out"),
        (
            vessel.over(0.4, vessel.cut_out).split()[0],
            vessel.over(rng.choice((1.0, 2.0, 3.0))),
            "raise-the-cut-out",
        ),
        (f"{max(float(low) - STEP[system][0], 1):g}", vessel.over(-0.2, vessel.cut_out), ""),
    )
    choices = []
    for start, end, belief in shelf:
        new = {
            **_SWITCH,
            "range": f"{start}-{end}",
            "differential": "20-40 psi" if system == "us" else "1.4-3 bar",
        }
        judged = trade.verdict_on("switch", {"new": new, "place": place}, system)
        reasons = [
            reason for reason in judged.reasons if reason.code in ("switch-range", "switch-above-vessel")
        ]
        worst = reasons[0]
        if worst.verdict is Verdict.UNANSWERED:
            raise Unsuitable("the range was not judged")
        fits = worst.verdict is Verdict.FITS
        choices.append(
            Choice(f"Cut-out from {start} to {end}", fits, trade.said(worst, system), "" if fits else belief)
        )
    rule = trade.part_rule("switch-above-vessel")
    return Draft(
        stem=(
            f"A pressure switch is to be renewed. The machine's plate says cut-out {vessel.cut_out}; MAWP of the receiver and relief are {vessel.mawp}."
            " Contacts, differential, ports and thread suit. Which range goes on with nothing changed?"
        ),
        explanation=f"{trade.part_rule('switch-range').rule} {rule.rule}",
        source=f"{trade.part_rule('switch-range').source}; {rule.source}",
        drawn={**figures_of(vessel), "low": trade.si(f"{low} {unit}", "gauge_pressure")},
        choices=tuple(choices),
    )  # fmt: skip


_SWITCH: Final = {
    "setting": "adjustable",
    "body pressure": "400 psi",
    "rating": "5 hp 230 V 1 phase",
    "poles": "2",
    "unloader": "fitted",
    "ports": "4",
    "thread": "1/4 NPT female",
}


def _which_tube(rng: Random, system: System) -> Draft:
    vessel = vessel_of(rng, system)
    hot, warm = ("330 °F", "110 °F") if system == "us" else ("165 °C", "45 °C")
    is_head = rng.random() < 0.5
    air = hot if is_head else warm
    rated = vessel.over(rng.choice((3.0, 5.0, 7.0)))
    heat = {"us": ("400 °F", "200 °F", "140 °F"), "metric": ("200 °C", "95 °C", "60 °C")}[system]
    metal = rng.choice(("Copper", "Steel"))
    hose = rng.choice(("Rubber air hose", "Nylon tube"))
    soft = not is_head and rng.random() < 0.5  # the warm line may also be a hose
    low = vessel.over(rng.choice((-1.0, -2.0)))
    shelf = (
        (f"{metal} tube", metal, low if soft else rated, heat[0], ""),
        (
            "Glued plastic pipe",
            "glued plastic pipe",
            vessel.over(rng.choice((4.0, 8.0))),
            heat[rng.choice((1, 2))],
            "plastic-is-rated",
        ),
        (hose, "rubber" if "hose" in hose else "nylon", rated if is_head or soft else low, heat[1], ""),
        ("Aluminium tube", "aluminium", vessel.over(rng.choice((-1.0, -2.0))), heat[0], ""),
    )
    size = (
        {"outside": "0.5 in", "bore": "0.4 in"} if system == "us" else {"outside": "15 mm", "bore": "13 mm"}
    )
    place = {**size, "relief": vessel.mawp, "temperature": air}
    choices = []
    for named, material, pressure, temperature, belief in shelf:
        new = {**size, "material": material, "pressure": pressure, "temperature": temperature}
        judged = trade.verdict_on("tube", {"new": new, "place": place}, system)
        if judged.verdict is Verdict.UNANSWERED:
            raise Unsuitable("a tube was not judged")
        fits = judged.verdict is Verdict.FITS
        codes = ("tube-material", "tube-pressure", "tube-temperature") if fits else (judged.reasons[0].code,)
        said = trade.all_said(judged, codes, system)
        choices.append(
            Choice(f"{named}, up to {pressure} and {temperature}", fits, said, "" if fits else belief)
        )
    rule = trade.part_rule("tube-material")
    line = "head line between pump and check valve" if is_head else "line from receiver to outlet"
    return Draft(
        stem=(
            f"The {line} is to be renewed; diameters of these four suit its fittings. The air there is at {air}, the relief is set at"
            f" {vessel.mawp}. Which may go on?"
        ),
        explanation=f"{rule.rule} {trade.part_rule('tube-temperature').rule} {trade.part_rule('tube-pressure').rule}",
        source=f"{rule.source} ({rule.standing.value})",
        drawn=figures_of(vessel),
        choices=tuple(choices),
    )  # fmt: skip


MAKERS: Final = (
    Maker("made-scale-of-a-gauge", "safety", "U3.2a", "single", "application", _which_scale, family="gauge", fault="tank-gauge-offset", procedure="p-relief"),
    Maker("made-range-of-a-switch", "safety", "U6.2a", "single", "application", _which_switch, family="cut-out", fault="switch-set-too-high", procedure="p-pressure-switch"),
    Maker("made-which-tube", "safety", "U8.3a", "single", "application", _which_tube, safety=True, family="tube", fault="plastic-pipe"),
)  # fmt: skip
