"""Questions on amps, power and service factor of motors."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from training.papers.makers import trade
from training.papers.makers.maker import Draft, Maker, Miss
from training.papers.makers.signs import TIMES
from training.papers.makers.swaps import (
    CHANGES,
    MACHINES,
    apply,
    horsepower_of,
    like_for_like,
    plate_power,
    power_text,
    step,
)
from training.papers.makers.unsuitable import Unsuitable

if TYPE_CHECKING:
    from random import Random

    from simulator.units import System

USUAL_AMPS: Final = {1.0: (6, 8), 1.5: (8, 10), 2.0: (10, 12), 3.0: (14, 17), 5.0: (21, 26)}  # at 230 V


def amps_of(rng: Random, horsepower: float) -> float:
    """Draw the full-load amps of a single-phase plate at 230 V, in halves."""
    low, high = USUAL_AMPS[horsepower]
    return rng.randint(2 * low, 2 * high) / 2


def _other_straps(rng: Random, system: System) -> Draft:
    horsepower = rng.choice((1.0, 1.5, 2.0, 3.0))
    high = amps_of(rng, horsepower)
    before, after = rng.choice(((115, 230), (230, 115)))
    amps = high if before == 230 else 2 * high
    typed = {"current": f"{amps:g} A", "from_voltage": f"{before} V", "to_voltage": f"{after} V"}
    answer = trade.reckon("amps-at-volts", typed)
    key = answer.figures["current"].value
    shown = trade.shown(key, "current", system)
    return Draft(
        stem=(
            f"A dual-voltage motor of {power_text(horsepower, system)} draws {amps:g} A near cut-out, strapped for {before} V on"
            f" {before} V. It is strapped for {after} V and given {after} V; the load is the same. What current do you expect?"
        ),
        explanation=f"{answer.calculator.formula[0]}: {amps:g} A {TIMES} {before} ÷ {after} = {shown}. {answer.remarks[0]}",
        source=answer.calculator.source,
        drawn={"current": amps, "from": before, "to": after},
        quantity="current",
        key=key,
        misses=(
            Miss(amps, "That is the old current: the power stays, not the amps.", "amps-are-a-size"),
            Miss(
                amps * after / before,
                "The ratio of the volts was turned over.",
                "half-the-volts-half-the-amps",
            ),
        ),
    )


def _same_amps(rng: Random, system: System) -> Draft:
    start = like_for_like(rng)
    amps = float(start.old["amps"])
    offer = CHANGES["half-volts"].apply(rng, start)
    others = rng.choice((-1.0, -0.5, 0.5, 1.0))
    offer = offer.has(amps=f"{amps + others:g}")
    reason = offer.judged(system).by_code("amps")
    if reason is None or not reason.figures:
        raise Unsuitable("the amps were not found wanting")
    key = trade.figure_of(reason, "new over old, volts times amps")
    new = float(offer.new["amps"])
    return Draft(
        stem=(
            f"The burnt motor of {MACHINES[offer.rig]} is marked 230 V, {amps:g} A. One is offered that is marked 115 V, {new:g} A."
            " Both are single-phase, of like efficiency and power factor. What per cent of the old motor's power has the new one?"
        ),
        explanation=f"Volts times amps: 115 {TIMES} {new:g} ÷ (230 {TIMES} {amps:g}) = {trade.shown(key, 'percent', system)}. {reason.rule}",
        source=reason.source,
        drawn={"old amps": amps, "new amps": new},
        quantity="percent",
        key=key,
        misses=(
            Miss(100 * new / amps, "That compares the amps and leaves the volts aside.", "amps-are-a-size"),
            Miss(200 * new / amps, "The volts were turned over.", "half-the-volts-half-the-amps"),
        ),
    )


def _load_on_a_smaller(rng: Random, system: System) -> Draft:
    start = like_for_like(rng)
    offer = apply(rng, start, ["smaller"])
    reason = offer.judged(system).by_code("power")
    if reason is None:
        raise Unsuitable("the power was not compared")
    key = trade.figure_of(reason, "load on the new motor")
    old, new = plate_power(offer.old, system), plate_power(offer.new, system)
    inverse = 10_000.0 / key
    return Draft(
        stem=(
            f"{MACHINES[offer.rig][0].upper()}{MACHINES[offer.rig][1:]} runs at its motor's full {old} near cut-out. That motor is"
            f' burnt, and one of {new} with the same speed and sheave is fitted "until the right one comes". To what per cent of'
            " its rating is it loaded near cut-out?"
        ),
        explanation=f"The pump asks {old} of it just the same: {old} ÷ {new} = {trade.shown(key, 'percent', system)}. {reason.rule}",
        source=reason.source,
        drawn={"old": horsepower_of(offer), "new": float(offer.new["power"].split()[0])},
        quantity="percent",
        key=key,
        tolerance=0.04,
        misses=(
            Miss(100.0, "A full load and a longer fill would be the easy way out.", "smaller-takes-longer"),
            Miss(
                inverse,
                "The ratio was turned over: that is the share of the old rating that the new one has.",
                "smaller-takes-longer",
            ),
        ),
    )


def _service_factor(rng: Random, system: System) -> Draft:
    start = like_for_like(rng)
    factor = rng.choice((1.15, 1.25, 1.3, 1.35))
    horsepower = step(horsepower_of(start), rng.choice((-1, 0, 1)))
    offer = start.has(power=f"{horsepower:g} hp", service_factor=f"{factor:g}", amps="")
    reason = offer.judged(system).by_code("service-factor")
    if reason is None:
        raise Unsuitable("the service factor was not compared")
    key = trade.figure_of(reason, "new power with service factor")
    rated = trade.si(f"{horsepower:g} hp", "power")
    shown = trade.shown(key, "power", system)
    return Draft(
        stem=(
            f"A motor is marked {power_text(horsepower, system)}, service factor {factor:g}. Up to which power does its maker let"
            " it run, hotter and for a shorter life, before it is overloaded?"
        ),
        explanation=f"Power times service factor: {trade.shown(rated, 'power', system)} {TIMES} {factor:g} = {shown}. {reason.rule}",
        source=reason.source,
        drawn={"power": rated, "factor": factor},
        quantity="power",
        key=key,
        tolerance=0.03,
        misses=(
            Miss(
                rated, "That is the plate's power, which the motor may give all day. The factor comes on top."
            ),
            Miss(
                rated / factor,
                "The power was divided by the factor. It multiplies.",
                "service-factor-is-free",
            ),
        ),
    )


def _three_phase_amps(rng: Random, system: System) -> Draft:
    horsepower = rng.choice((3.0, 5.0, 7.5, 10.0))
    volts = rng.choice((208, 230, 460) if system == "us" else (208, 230, 400, 460))
    efficiency, factor = rng.randint(82, 91), rng.randint(78, 88)
    typed = {
        "power": f"{horsepower:g} hp" if system == "us" else power_text(horsepower, system),
        "voltage": f"{volts} V",
        "phase": "three-phase",
        "efficiency": f"{efficiency} %",
        "power_factor": f"{factor} %",
    }
    answer = trade.reckon("amps", typed)
    key = answer.figures["current"].value
    bare = key * efficiency * factor / 10_000
    single = trade.reckon("amps", {**typed, "phase": "single-phase"}).figures["current"].value
    power = trade.si(typed["power"], "power")
    return Draft(
        stem=(
            f"A three-phase motor gives {typed['power']} at its shaft on {volts} V. Its efficiency is {efficiency} %, its power factor"
            f" {factor} %. What current flows in each line?"
        ),
        explanation=(
            f"{answer.calculator.formula[1]}: {power:.0f} W ÷ (0.{efficiency} {TIMES} 0.{factor} {TIMES} {volts} V {TIMES} 1.732)"
            f" = {trade.shown(key, 'current', system)}. {answer.remarks[0]}"
        ),
        source=answer.calculator.source,
        drawn={"power": power, "volts": volts, "efficiency": efficiency, "power factor": factor},
        quantity="current",
        key=key,
        misses=(
            Miss(single, "The root of three was left out: that is the current of a single-phase motor."),
            Miss(
                bare,
                "Efficiency and power factor were left out: the line carries more than the shaft gives.",
                "amps-are-a-size",
            ),
        ),
    )


MAKERS: Final = (
    Maker("made-amps-on-the-other-straps", "motor", "U7.2b", "number", "application", _other_straps, family="half-volts", fault="motor-high-on-low"),
    Maker("made-same-amps-at-half-the-volts", "motor", "U7.2b", "number", "analysis", _same_amps, family="match", fault="motor-undersized", procedure="p-motor"),
    Maker("made-load-on-a-smaller-motor", "motor", "U7.2c", "number", "application", _load_on_a_smaller, family="undersized", fault="motor-undersized", procedure="p-motor"),
    Maker("made-power-with-service-factor", "motor", "U7.2d", "number", "application", _service_factor, family="service-factor", fault="motor-undersized", procedure="p-motor"),
    Maker("made-amps-of-three-phases", "motor", "U2.4a", "number", "application", _three_phase_amps, family="three-phase", fault="single-phasing"),
)  # fmt: skip
