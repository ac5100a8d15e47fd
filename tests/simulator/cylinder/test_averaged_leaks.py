"""Leaks of the averaged pump against the cycle-resolved cylinder.

What is compared, at the same pressures and for the same leak: air delivered and torque over those of a sound
cylinder, and the leak's own flow. Leaks are sized to cost about a tenth to a third of the delivery.
"""

import math
from dataclasses import replace

import pytest

from simulator.adjustable import healthy_values
from simulator.components import compressing
from simulator.cylinder import rigs as turned_rigs
from simulator.cylinder.fit import alone
from simulator.machine import from_values
from simulator.rig import load_rigs

RIGS = load_rigs()
PLACES = ("ring_area", "intake_leak_area", "discharge_leak_area")
CASES = [("twin-60", "cyl1", r) for r in (2.0, 5.0, 9.5)]
CASES += [("two-stage-80", "lp1", 3.7), ("two-stage-80", "hp1", 3.48), ("single-20", "cyl1", 5.0)]
CASES += [("oilfree-6", "cyl1", 5.0), ("w3-80", "hp1", 3.5), ("metric-100", "lp1", 3.6)]


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("cost", [0.03, 0.1, 0.25])
@pytest.mark.parametrize(("slug", "cylinder", "ratio"), CASES)
def test_leak_costs_what_the_turned_cylinder_says(slug, cylinder, ratio, cost, place):
    rig = RIGS[slug]
    spec = next(one for one in rig.pump.cylinders if one.slug == cylinder)
    pump = from_values(rig, healthy_values(rig)).pump
    own = pump.first_1 if spec.stage == 1 else pump.second_1
    bore, duty = turned_rigs.sound_bore(rig, spec), turned_rigs.duty_of(rig, spec.stage)
    at = replace(duty, pressure_ratio=ratio)
    sound = alone(bore, at)
    small = 1.6e-7
    lost = (
        1.0
        - alone(replace(bore, reeds=replace(bore.reeds, **{place: small})), at).delivered / sound.delivered
    )
    area = small * cost / lost

    leaking = alone(replace(bore, reeds=replace(bore.reeds, **{place: area})), at)
    level = ratio * leaking.discharge_pressure / sound.discharge_pressure
    beside = alone(bore, replace(at, pressure_ratio=level))  # sound at the pressure the leak leaves

    def averaged(card, cylinder_parameters):
        powers = compressing._powers(
            pump, math.log(leaking.discharge_pressure / duty.inlet_pressure), duty.inlet_pressure
        )
        return compressing.cylinder_flow(
            cylinder_parameters,
            pump,
            duty.speed,
            powers,
            duty.inlet_temperature,
            card.outlet_temperature,
            card.metal_temperature,
        )

    with_leak, without = averaged(leaking, own._replace(**{place: area})), averaged(sound, own)
    delivered = leaking.delivered / beside.delivered
    power = leaking.indicated_power / beside.indicated_power
    assert with_leak.delivered / without.delivered == pytest.approx(delivered, abs=0.03)
    assert with_leak.torque / without.torque == pytest.approx(power, abs=0.03)
    if place == "ring_area":
        assert with_leak.ring_leak == pytest.approx(leaking.ring_leak, rel=0.1)
    if place == "intake_leak_area":
        assert with_leak.blow_back == pytest.approx(leaking.intake_leak, rel=0.06)
