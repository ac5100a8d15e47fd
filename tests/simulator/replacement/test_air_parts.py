"""What holds of every valve, switch and small part: it fits itself, a gap never fits, a tighter limit is never milder."""

import itertools
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simulator import air, flow, replacement, units
from simulator.replacement.air_parts import (
    AIR_PARTS,
    NoSuchPart,
    find_air_part,
    fitted_on,
    rig_parts,
)
from simulator.replacement.check_valves import least_bore, pressure_drop, read_check_valve_place
from simulator.replacement.part_rules import part_rules
from simulator.replacement.problems import BadPlate
from simulator.replacement.reliefs import relieving_pressure
from simulator.replacement.verdict import Verdict
from simulator.rig import load_rigs
from tests.simulator.replacement.judging import judge_air_part

FOLDER = Path(replacement.__file__).parent
ROOMS = [
    "reliefs.py",
    "switches.py",
    "switch_pressures.py",
    "switch_contacts.py",
    "check_valves.py",
    "small_fittings.py",
    "small_supply.py",
    "small_common.py",
]

PARTS = rig_parts()
IDS = [" ".join([one.rig, one.kind, one.place.get("guards", "")]).strip() for one in PARTS]

# Lines that may be missing: what they say follows from another line, or only makes the judgement finer.
DISPENSABLE = {
    "relief": {"displacement", "free air", "guards"},
    "check-valve": {"form"},
    "switch": {"amps", "live legs", "least differential"},
    "regulator": {"droop"},
}


def dispensable(part):
    """Lines of a place that may be missing on this very machine."""
    lines = set(DISPENSABLE.get(part.kind, ()))
    if part.kind == "relief" and part.place["guards"] == "receiver":
        lines |= {"temperature"}
    if part.kind == "switch" and part.place["carries"] == "coil":
        lines |= {"power", "phase", "overload"}
    if part.kind == "switch" and part.fitted.get("overload") == "yes":
        lines |= {"overload"}
    return lines


@pytest.mark.parametrize("part", PARTS, ids=IDS)
def test_part_fits_itself(part):
    assert judge_air_part(part.kind, part.fitted, part.place).verdict is Verdict.FITS


@pytest.mark.parametrize("part", PARTS, ids=IDS)
def test_missing_line_of_the_part_never_fits(part):
    for line in set(part.fitted) - {"setting", "form"}:
        known = {name: value for name, value in part.fitted.items() if name != line}
        dispensed = line == "temperature" and part.kind == "relief" and "temperature" not in part.place
        pumped_elsewhere = line in {"unloader", "side port"} and "pump" in part.place.get("unloads", "")
        if not (dispensed or pumped_elsewhere or (line == "valve" and part.place["valve"] == "no")):
            assert judge_air_part(part.kind, known, part.place).verdict.danger > Verdict.FITS.danger, line


@pytest.mark.parametrize("part", PARTS, ids=IDS)
def test_missing_line_of_the_place_never_makes_a_verdict_milder(part):
    for line in part.place:
        known = {name: value for name, value in part.place.items() if name != line}
        found = judge_air_part(part.kind, part.fitted, known).verdict
        if line not in dispensable(part):
            assert found is not Verdict.FITS, line


@pytest.mark.parametrize("kind", AIR_PARTS)
def test_nothing_known_is_an_open_question(kind):
    judgement = judge_air_part(kind, "", "")

    assert judgement.verdict.danger >= Verdict.UNANSWERED.danger
    assert judgement.questions


@pytest.mark.parametrize("part", PARTS, ids=IDS)
def test_every_reason_names_rule_source_and_standing(part):
    for reason in judge_air_part(part.kind, part.fitted, part.place).reasons:
        assert reason.code in part_rules()
        assert reason.rule
        assert reason.source
        assert reason.standing


def test_every_rule_is_used():
    everything = "\n".join((FOLDER / room).read_text(encoding="utf-8") for room in ROOMS)
    small = {f"{kind}-thread" for kind in ("gauge", "drain", "regulator", "filter", "breather")}

    assert {code for code in part_rules() if f'"{code}"' not in everything} <= small


@pytest.mark.parametrize("slug", sorted(slug for slug, rig in load_rigs().items() if not rig.has_engine))
def test_places_agree_with_the_rig(slug):
    """What the simulator's rig says and what the counter reads must be the same machine."""
    rig = load_rigs()[slug]
    relief, switch, check = (fitted_on(slug, kind) for kind in ("relief", "switch", "check-valve"))
    place = find_air_part("relief").read_place(relief.place)
    valve = find_air_part("relief").read_part(relief.fitted)
    machine = find_air_part("switch").read_place(switch.place)

    assert place.mawp == pytest.approx(rig.receiver.maximum_pressure, rel=1e-3)
    assert valve.set == pytest.approx(rig.relief.set_pressure, rel=1e-3)
    assert valve.capacity == pytest.approx(rig.relief.capacity, rel=1e-3)
    assert (machine.cut_in, machine.cut_out) == pytest.approx(
        (rig.switch.cut_in, rig.switch.cut_out), rel=1e-3
    )
    assert machine.volts == rig.electric_motor.rated_voltage
    assert machine.amps == rig.electric_motor.full_load_current
    assert find_air_part("check-valve").read_part(check.fitted).bore == pytest.approx(
        rig.check_valve.forward_diameter, rel=1e-3
    )


# Tighter is never milder -----------------------------------------------------------------------------------------

# Kind of part, whose line, which line, its quantity, whether more of it is the tighter, and the rule where only one
# is tightened: a lower MAWP asks less of a switch's body and more of its settings.
LIMITS = [
    ("relief", "place", "mawp", "gauge_pressure", False, ""),
    ("relief", "place", "normal", "gauge_pressure", True, ""),
    ("relief", "place", "free air", "air_flow", True, ""),
    ("relief", "new", "capacity", "air_flow", False, ""),
    ("switch", "place", "mawp", "gauge_pressure", False, "switch-above-vessel"),
    ("switch", "place", "mawp", "gauge_pressure", True, "switch-body"),
    ("switch", "place", "relief", "gauge_pressure", False, "switch-range"),
    ("switch", "place", "power", "power", True, ""),
    ("check-valve", "place", "mawp", "gauge_pressure", True, ""),
    ("check-valve", "place", "temperature", "temperature", True, ""),
    ("check-valve", "new", "bore", "small_length", False, ""),
    ("check-valve", "new", "pressure", "gauge_pressure", False, ""),
    ("drain", "place", "mawp", "gauge_pressure", True, ""),
    ("drain", "new", "bore", "small_length", False, ""),
    ("regulator", "place", "flow", "air_flow", True, ""),
    ("regulator", "place", "droop", "pressure_drop", False, ""),
    ("regulator", "place", "relief", "gauge_pressure", True, ""),
    ("filter", "place", "flow", "air_flow", True, ""),
    ("tube", "place", "temperature", "temperature", True, ""),
    ("tube", "place", "bore", "small_length", True, ""),
    ("breather", "place", "bore", "small_length", True, ""),
]


def judged(part, whose, line, quantity, value, code):
    """Verdict with one line of part or place at a value [SI]; none where the place contradicts itself."""
    written = f"{units.number(value, quantity, 'metric'):.9f} {units.unit(quantity, 'metric')}"
    new, place = dict(part.fitted), dict(part.place)
    (new if whose == "new" else place)[line] = written
    try:
        judgement = judge_air_part(part.kind, new, place)
    except BadPlate:
        return None
    return judgement.by_code(code).verdict if code else judgement.verdict


@pytest.mark.parametrize(("kind", "whose", "line", "quantity", "more_is_tighter", "code"), LIMITS)
@settings(max_examples=25)
@given(data=st.data(), share=st.floats(0.3, 2.0), further=st.floats(1.0, 1.5))
def test_tighter_limit_never_makes_a_verdict_milder(
    kind, whose, line, quantity, more_is_tighter, code, data, share, further
):
    part = data.draw(st.sampled_from([one for one in PARTS if one.kind == kind]))
    room = find_air_part(kind)
    read = room.read_part(part.fitted) if whose == "new" else room.read_place(part.place)
    base = read[line] if isinstance(read, dict) else getattr(read, re.sub(r"[ -]", "_", line))
    if quantity == "temperature":
        share = 0.8 + 0.2 * share
    tighter = share * (further if more_is_tighter else 1.0 / further)

    loose = judged(part, whose, line, quantity, base * share, code)
    tight = judged(part, whose, line, quantity, base * tighter, code)

    if loose is not None and tight is not None:
        assert tight.danger >= loose.danger


@given(st.floats(50.0, 250.0), st.floats(1.0, 60.0), st.floats(60.0, 200.0))
def test_unit_system_never_changes_a_verdict(set_psi, cfm, mawp_psi):
    place = {**fitted_on("twin-60", "relief").place, "normal": "50 psi"}
    fitted = fitted_on("twin-60", "relief").fitted

    us = judge_air_part(
        "relief",
        {**fitted, "set": f"{set_psi:.9f} psi", "capacity": f"{cfm:.9f} cfm"},
        {**place, "mawp": f"{mawp_psi:.9f} psi"},
        "us",
    )
    metric = judge_air_part(
        "relief",
        {
            **fitted,
            "set": f"{units.convert(set_psi, 'psi', 'bar'):.9f} bar",
            "capacity": f"{units.convert(cfm, 'cfm', 'L/min'):.9f} L/min",
        },
        {**place, "mawp": f"{units.convert(mawp_psi, 'psi', 'kPa'):.9f} kPa"},
        "metric",
    )

    assert [reason.verdict for reason in us.reasons] == [reason.verdict for reason in metric.reasons]


@pytest.mark.parametrize(
    ("line", "spellings"),
    [
        ("thread", ["1/4 NPT male", '1/4" npt m', "NPT 1/4 MALE", "1/4 MPT"]),
        ("capacity", ["40 scfm", "40 cfm", "40 SCFM", "1132.674 L/min"]),
        ("set", ["150 psi", "150 PSIG", "10.342136 bar", "1034.2136 kPa"]),
        ("stamp", ["UV", "ASME UV", "code-stamped"]),
        ("seal", ["unbroken", "Intact", "whole"]),
    ],
)
def test_spelling_never_changes_a_verdict(line, spellings):
    part = fitted_on("twin-60", "relief")

    found = {judge_air_part("relief", {**part.fitted, line: one}, part.place).verdict for one in spellings}

    assert found == {Verdict.FITS}


@pytest.mark.parametrize(("mawp", "relieving"), [(100.0, 110.0), (200.0, 220.0), (30.0, 33.0), (15.0, 18.0)])
def test_relieving_pressure_is_that_of_the_code(mawp, relieving):
    """ASME section VIII, UG-125 and its worked figure: MAWP 100 psi gives 110 psi whether set at 80 or at 100 psi."""
    reached = relieving_pressure(units.convert(mawp, "psi", "Pa"))

    assert units.convert(reached, "Pa", "psi") == pytest.approx(relieving)


# The check valve's loss ------------------------------------------------------------------------------------------


@given(st.floats(1e-4, 0.05), st.floats(1e-6, 1e-3), st.floats(250.0, 500.0), st.floats(1e5, 2e6))
def test_loss_is_what_the_nozzle_law_needs(mass_flow, flow_area, temperature, downstream):
    loss = pressure_drop(mass_flow, flow_area, temperature, downstream)

    assert flow.orifice_mass_flow(flow_area, downstream + loss, temperature, downstream) == pytest.approx(
        mass_flow, rel=1e-5
    )


def test_small_loss_is_that_of_bernoulli():
    """By hand: dp = (m/(C·A))²/(2·rho) while the loss is small against the pressure."""
    area, mass_flow, temperature, pressure = 0.8 * 70.88e-6, 0.0058, 423.15, 756_000.0
    density = air.density(pressure, temperature)

    assert pressure_drop(mass_flow, area, temperature, pressure) == pytest.approx(
        (mass_flow / area) ** 2 / (2.0 * density), rel=2e-3
    )


@given(st.floats(0.001, 0.05), st.floats(1.0, 3.0))
def test_wider_valve_never_loses_more(bore, wider):
    losses = [pressure_drop(0.01, 0.8 * flow.disc_area(width), 423.15, 8e5) for width in (bore, bore * wider)]

    assert losses[1] <= losses[0] * (1.0 + 1e-9)


@pytest.mark.parametrize("part", [one for one in PARTS if one.kind == "check-valve"], ids=lambda one: one.rig)
def test_least_bore_of_the_parts_card_is_just_enough(part):
    """A valve as wide as the card asks fits; one a twentieth narrower loses more than the card allows for."""
    least = least_bore(read_check_valve_place(part.place))
    wide = {**part.fitted, "bore": f"{1000.0 * least * 1.001:.6f} mm"}
    narrow = {**part.fitted, "bore": f"{1000.0 * least * 0.95:.6f} mm"}

    assert judge_air_part("check-valve", wide, part.place).verdict is Verdict.FITS
    assert judge_air_part("check-valve", narrow, part.place).verdict is Verdict.DOES_NOT_FIT


def test_unknown_kind_and_rig_name_what_there_is():
    with pytest.raises(NoSuchPart, match="relief"):
        find_air_part("releif")
    with pytest.raises(NoSuchPart, match="twin-60"):
        fitted_on("twin-6", "relief")
    with pytest.raises(NoSuchPart, match="It has: relief receiver"):
        fitted_on("engine-30", "switch")
    with pytest.raises(NoSuchPart, match="no relief at the interstage"):
        fitted_on("twin-60", "relief", "interstage")


def test_kinds_are_held_for_every_rig():
    held = {(one.rig, one.kind) for one in PARTS}
    rigs = {one.rig for one in PARTS}

    assert len(rigs) == 8
    assert {
        (rig, kind) for rig, kind in itertools.product(rigs, ("relief", "check-valve", "gauge", "drain"))
    } <= held
