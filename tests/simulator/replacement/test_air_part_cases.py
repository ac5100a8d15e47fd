"""Worked cases of valves, switches and small parts with the answer known before: how a careful hand decides.

A case takes what a rig has and changes what its lines say. The trap of each is named in its title. Sources: ASME
section VIII UG-134 (set at or below MAWP), 29 CFR 1910.169 (nothing between, no more than 10 per cent above),
NFPA 70 tables 430.248 and 430.250 (currents), and the order of work of the trade (common practice, no source).
"""

import re
from dataclasses import dataclass

import pytest

from simulator import units
from simulator.replacement.air_parts import fitted_on
from simulator.replacement.verdict import Verdict
from tests.simulator.replacement.judging import judge_air_part

UNSAFE, NO, OPEN = Verdict.UNSAFE, Verdict.DOES_NOT_FIT, Verdict.UNANSWERED
CHANGES, FITS = Verdict.FITS_WITH_CHANGES, Verdict.FITS


@dataclass(frozen=True)
class Case:
    """One case: on which rig, what is different from what came on it, the verdict, and the reason that makes it."""

    title: str
    rig: str
    kind: str
    new: dict
    verdict: Verdict
    because: str
    place: dict | None = None
    trap: bool = False
    guards: str = ""


CASES = [
    # Relief valves
    Case("same setting, more capacity", "twin-60", "relief", {"capacity": "60 scfm"}, FITS, "relief-capacity"),
    Case("set a little lower", "twin-60", "relief", {"set": "140 psi"}, FITS, "relief-margin"),
    Case("set higher because the old one popped", "twin-60", "relief", {"set": "175 psi"}, UNSAFE, "relief-set", {"old set": "150 psi"}, trap=True),
    Case("capacity just under free air", "two-stage-80", "relief", {"capacity": "17.4 scfm"}, UNSAFE, "relief-capacity", trap=True),
    Case("11 bar is not 150 psi", "twin-60", "relief", {"set": "11 bar"}, UNSAFE, "relief-set", trap=True),
    Case("water heater's valve of the right setting", "twin-60", "relief", {"medium": "temperature and pressure"}, UNSAFE, "relief-medium", trap=True),
    Case("ball valve under it for servicing", "two-stage-80", "relief", {}, UNSAFE, "relief-between", {"between": "ball valve"}, trap=True),
    Case("so low that it lifts before the switch", "two-stage-80", "relief", {"set": "150 psi", "capacity": "80 scfm"}, NO, "relief-margin"),
    Case("set between cut-out and a tenth above", "twin-60", "relief", {"set": "130 psi"}, CHANGES, "relief-margin"),
    Case("parallel metric thread in a tapered port", "twin-60", "relief", {"thread": "G 1/4 male"}, NO, "relief-thread", trap=True),
    Case("tag without capacity", "twin-60", "relief", {"capacity": "?"}, OPEN, "relief-capacity"),
    Case("tank relief put on the interstage", "two-stage-120", "relief", {"set": "200 psi", "capacity": "150 scfm"}, UNSAFE, "relief-set", trap=True, guards="interstage"),
    Case("head-line relief for the head line", "two-stage-120", "relief", {}, FITS, "relief-temperature", guards="head-line"),
    Case("rated for cool air on the head line", "two-stage-120", "relief", {"temperature": "100 °C"}, NO, "relief-temperature", guards="head-line"),
    Case("raised below MAWP is asked after", "oilfree-6", "relief", {"set": "175 psi"}, OPEN, "relief-raised", {"old set": "165 psi"}),
    # Pressure switches
    Case("same power rated at 230 V on 115 V", "single-20", "switch", {"rating": "2 hp 230 V 1 phase"}, UNSAFE, "switch-rating", trap=True),
    Case("15 A at 230 V for a motor of 20 A at 115 V", "single-20", "switch", {"rating": "15 A 230 V motor"}, UNSAFE, "switch-rating", trap=True),
    Case("rated for more power at these volts", "twin-60", "switch", {"rating": "7.5 hp 230 V 1 phase"}, FITS, "switch-rating"),
    Case("2.2 kW is 3 hp", "twin-60", "switch", {"rating": "2.2 kW 230 V 1 phase"}, FITS, "switch-rating"),
    Case("three-phase rating on one phase", "two-stage-80", "switch", {"rating": "5 hp 230 V 3 phase"}, UNSAFE, "switch-rating", trap=True),
    Case("the rating for these phases counts", "metric-100", "switch", {"rating": "2.2 kW 400 V / 4 kW 400 V 3 phase"}, FITS, "switch-rating"),
    Case("heater's amps are no motor rating", "twin-60", "switch", {"rating": "30 A 230 V"}, OPEN, "switch-rating", trap=True),
    Case("three poles, phases not said", "twin-60", "switch", {"rating": "5 hp 230 V", "poles": "3"}, OPEN, "switch-rating"),
    Case("one pole on 230 V leaves a leg live", "twin-60", "switch", {"poles": "1"}, UNSAFE, "switch-poles", trap=True),
    Case("two poles on three phases", "metric-100", "switch", {"poles": "2"}, UNSAFE, "switch-poles", trap=True),
    Case("pilot duty on the motor itself", "two-stage-80", "switch", {"rating": "pilot duty 600 V"}, UNSAFE, "switch-rating", trap=True),
    Case("no unloader valve where the head vents at the switch", "twin-60", "switch", {"unloader": "none"}, NO, "switch-unloader"),
    Case("no unloader valve where the pump vents itself", "w3-80", "switch", {}, FITS, "switch-unloader"),
    Case("two-stage switch fixed at 175 psi on a 150 psi tank", "twin-60", "switch", {"setting": "fixed", "cut-out": "175 psi", "range": "?"}, UNSAFE, "switch-range", trap=True),
    Case("adjustable past the vessel", "twin-60", "switch", {"range": "40-200 psi"}, CHANGES, "switch-above-vessel"),
    Case("single port for a manifold of four", "single-20", "switch", {"ports": "1"}, CHANGES, "switch-ports"),
    Case("tube to a spare port of the manifold", "twin-60", "switch", {}, NO, "switch-tube", {"unloader tube": "spare port"}, trap=True),
    Case("overload of the old one missing in the new", "metric-100", "switch", {"overload": "no"}, CHANGES, "switch-overload"),
    Case("narrow differential", "two-stage-80", "switch", {"differential": "10-20 psi"}, NO, "switch-differential"),
    # Check valves
    Case("one size larger with an adapter", "twin-60", "check-valve", {"inlet": "5/8 in compression", "bore": "12 mm"}, CHANGES, "check-inlet"),
    Case("side port on the tank's side", "twin-60", "check-valve", {"side port": "tank side"}, NO, "check-side-port", trap=True),
    Case("turned round, the larger thread up", "twin-60", "check-valve", {"direction": "reversed"}, UNSAFE, "check-direction", trap=True),
    Case("water check valve of the right thread", "two-stage-80", "check-valve", {"medium": "water", "temperature": "80 °C"}, UNSAFE, "check-medium", trap=True),
    Case("too narrow for the pump", "two-stage-80", "check-valve", {"bore": "6 mm"}, NO, "check-area"),
    Case("no side port for the tube", "single-20", "check-valve", {"side port": "none"}, CHANGES, "check-side-port"),
    Case("seat for 120 °C air", "metric-100", "check-valve", {"temperature": "120 °C"}, NO, "check-temperature"),
    Case("not said what pressure it bears", "twin-60", "check-valve", {"pressure": "?"}, OPEN, "check-pressure"),
    # Small parts
    Case("scale ends at the relief", "twin-60", "gauge", {"range": "0-140 psi"}, NO, "gauge-range", trap=True),
    Case("scale of 160 psi at 125", "twin-60", "gauge", {"range": "0-160 psi"}, CHANGES, "gauge-range"),
    Case("plastic drain", "twin-60", "drain", {"material": "pvc"}, UNSAFE, "drain-material", trap=True),
    Case("automatic drain alone", "two-stage-80", "drain", {"opening": "timer"}, CHANGES, "drain-opening"),
    Case("regulator that droops", "engine-30", "regulator", {"flow": "20 cfm", "droop": "15 psi"}, NO, "regulator-droop"),
    Case("inlet of 150 psi behind a 200 psi relief", "engine-30", "regulator", {"inlet pressure": "150 psi"}, UNSAFE, "regulator-inlet", trap=True),
    Case("small intake element", "two-stage-80", "filter", {"flow": "15 cfm"}, NO, "filter-flow"),
    Case("plastic water pipe as unloader tube", "twin-60", "tube", {"material": "pvc pipe"}, UNSAFE, "tube-material", trap=True),
    Case("6 mm tube in 1/4 in fittings", "single-20", "tube", {"outside": "6 mm"}, CHANGES, "tube-outside", trap=True),
    Case("plug in place of the breather", "twin-60", "breather", {"kind": "threaded plug"}, UNSAFE, "breather-kind", trap=True),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=[f"{case.kind}: {case.title}" for case in CASES])
def test_case_is_decided_as_a_careful_hand_would(case):
    fitted = fitted_on(case.rig, case.kind, case.guards)

    judgement = judge_air_part(
        case.kind, {**fitted.fitted, **case.new}, {**fitted.place, **(case.place or {})}
    )

    reason = judgement.by_code(case.because)
    assert judgement.verdict is case.verdict
    assert reason is not None
    assert reason.verdict is case.verdict


SWAPS = {
    "psi": ("gauge_pressure", "psi", "kPa"),
    "bar": ("gauge_pressure", "bar", "psi"),
    "cfm": ("air_flow", "cfm", "L/min"),
    "L/min": ("air_flow", "L/min", "cfm"),
    "mm": ("small_length", "mm", "in"),
    "°C": ("temperature", "°C", "°F"),
    "hp": ("power", "hp", "kW"),
}
MEASURE = re.compile(
    r"(?<![\d./-])(\d+(?:\.\d+)?)(?:-(\d+(?:\.\d+)?))? (s?cfm|psi|bar|L/min|mm|°C|hp)(?! compression)"
)


def in_other_units(lines):
    """The same lines, every measure written in the other system's unit."""

    def swapped(found):
        _, from_unit, to_unit = SWAPS[found[3].removeprefix("s")]
        ends = [f"{units.convert(float(end), from_unit, to_unit):.9f}" for end in found.groups()[:2] if end]
        return f"{'-'.join(ends)} {to_unit}"

    return {name: MEASURE.sub(swapped, text) for name, text in lines.items()}


@pytest.mark.parametrize("case", CASES, ids=[f"{case.kind}: {case.title}" for case in CASES])
def test_units_of_the_plates_change_no_reason(case):
    fitted = fitted_on(case.rig, case.kind, case.guards)
    new, place = {**fitted.fitted, **case.new}, {**fitted.place, **(case.place or {})}

    here = judge_air_part(case.kind, new, place)
    there = judge_air_part(case.kind, in_other_units(new), in_other_units(place), "metric")

    assert in_other_units(place) != place or not MEASURE.search(" ".join(place.values()))
    assert [(one.code, one.verdict) for one in there.reasons] == [
        (one.code, one.verdict) for one in here.reasons
    ]


def test_there_are_enough_cases_and_traps():
    kinds = {case.kind for case in CASES}

    assert len(CASES) >= 16
    assert sum(case.trap for case in CASES) >= 10
    assert {"relief", "switch", "check-valve"} < kinds


def test_answer_says_what_to_ask_for_in_both_unit_systems():
    fitted = fitted_on("twin-60", "relief")

    us = judge_air_part("relief", fitted.fitted, fitted.place, "us").parts_card
    metric = judge_air_part("relief", fitted.fitted, fitted.place, "metric").parts_card

    assert us[1] == "Set: at most 150.0 psi, at least 137.5 psi"
    assert metric[1] == "Set: at most 10.34 bar, at least 9.48 bar"


def test_parts_card_leaves_a_blank_for_what_is_not_known():
    card = judge_air_part("relief", "set=150 psi", "mawp=150 psi").parts_card

    assert "______" in " ".join(card)
    assert "at most 150.0 psi" in card[1]


def test_parts_card_says_what_to_do_where_no_setting_is_right():
    card = judge_air_part("relief", "set=150 psi", "mawp=150 psi; cut-out=145 psi").parts_card

    assert card[1] == "Set: 150.0 psi, and first lower the cut-out to at most 136.4 psi"
