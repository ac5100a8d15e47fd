"""The cycle-resolved cylinder against its own balances and against the laws of the ideal one."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simulator import air, heat
from simulator.cylinder.build import DISCHARGE_FULL_DROP, INTAKE_FULL_DROP, Reeds
from simulator.cylinder.card import NotPeriodic
from tests.simulator.cylinder.machines import ROOM, TURNS, WARM, bore, lossless, settled, turned

LARGEST_LEAK = 7e-6  # flow area, a hole of more than 3 mm [m²]
leaks = st.floats(0.0, LARGEST_LEAK)
ratios = st.floats(1.2, 10.0)
conditions = st.builds(
    Reeds, ring_area=leaks, intake_leak_area=leaks, discharge_leak_area=leaks, gasket_area=leaks
)
few = settings(max_examples=25)


@few
@given(conditions, ratios)
def test_air_and_energy_balance_over_the_turn(reeds, ratio):
    card = turned(bore(reeds=reeds), ratio)

    assert card.mass_error < 1e-9
    assert card.energy_error < 1e-9
    passed = card.drawn + card.blow_back + card.fallen_back + 1e-6
    assert card.drawn - card.delivered - card.ring_leak == pytest.approx(0.0, abs=3e-3 * passed)


@few
@given(conditions, ratios)
def test_pressure_and_volume_stay_what_they_can_be(reeds, ratio):
    card = turned(bore(reeds=reeds), ratio)

    assert card.pressure.min() > 0.2 * ROOM
    assert card.pressure.max() < 1.5 * ratio * ROOM
    assert card.temperature.min() > 150.0
    assert card.mean_effective_pressure > 0.0
    assert card.intake_lift.min() >= 0.0
    assert card.discharge_lift.max() <= 1.0
    assert card.volume.min() == pytest.approx(0.06 * card.swept_volume, rel=1e-9)
    assert card.volume.max() == pytest.approx(1.06 * card.swept_volume, rel=1e-6)


@few
@given(
    ratios, st.floats(2e-7, 4e-6), st.sampled_from(["ring_area", "intake_leak_area", "discharge_leak_area"])
)
def test_a_larger_leak_never_delivers_more(ratio, area, where):
    tight = turned(bore(reeds=replace(bore().reeds, **{where: area})), ratio)
    leaky = turned(bore(reeds=replace(bore().reeds, **{where: 1.5 * area})), ratio)

    # A reed that happens to land a beat later or earlier is worth more than a small leak.
    assert leaky.delivered < tight.delivered + 0.01 * bore().full_flow


@few
@given(ratios)
def test_area_of_the_card_is_the_work_of_the_turn(ratio):
    card = turned(bore(), ratio)

    work = card.indicated_power / (TURNS / (2.0 * math.pi))
    assert card.mean_effective_pressure * card.swept_volume == pytest.approx(work, rel=3e-3)


@pytest.mark.parametrize("ratio", [2.0, 4.0, 6.8, 9.5])
def test_a_lossless_cylinder_takes_the_work_of_the_textbook(ratio):
    """Isentropic work and volumetric efficiency with clearance, n = k: Eastop and McConkey, Applied
    Thermodynamics, reciprocating compressors. What is left over is the pressure drop of the valves."""
    card = turned(lossless(), ratio)

    across = card.discharge_pressure / card.intake_pressure
    filled = heat.volumetric_efficiency(0.06, across, air.GAMMA)
    swept = air.density(card.intake_pressure, card.intake_temperature) * bore().full_flow
    swept /= air.density(ROOM, WARM)
    # What falls back before a reed is shut fills the clearance and is not there to be drawn.
    assert (card.delivered + card.fallen_back) / (swept * filled) == pytest.approx(1.0, abs=0.015)
    # Reeds on their springs ask for some kilopascals; nothing else is lost.
    ideal = card.delivered * heat.compression_work(card.intake_temperature, across)
    lost = (card.indicated_power - ideal) / (card.swept_volume * TURNS / (2.0 * math.pi))
    assert 0.0 < lost < INTAKE_FULL_DROP + DISCHARGE_FULL_DROP
    assert card.discharge_temperature == pytest.approx(
        heat.discharge_temperature(card.intake_temperature, across, air.GAMMA), rel=0.02
    )


@pytest.mark.parametrize("exponent", [1.2, 1.3, 1.4])
@pytest.mark.parametrize("ratio", [2.0, 6.9, 9.5])
def test_area_of_the_closed_ideal_card_is_the_textbook_formula(ratio, exponent):
    """``n/(n - 1)·p1·(Va - Vd)·(r**((n - 1)/n) - 1)``: Eastop and McConkey, as above."""
    clearance, stroke = 0.06, 1.0
    full = stroke + clearance
    squeezed = np.geomspace(1.0, ratio, 4001)
    volume = np.concatenate(
        [full * squeezed ** (-1 / exponent), clearance * (ratio / squeezed[::-1]) ** (1 / exponent), [full]]
    )
    pressure = np.concatenate([squeezed, squeezed[::-1], [1.0]]) * ROOM

    area = -np.trapezoid(pressure, volume)

    taken = heat.volumetric_efficiency(clearance, ratio, exponent) * stroke
    assert area == pytest.approx(heat.polytropic_power(ROOM, taken, ratio * ROOM, 1, exponent), rel=1e-5)


@pytest.mark.parametrize("ratio", [3.0, 8.0])
def test_error_of_the_steps_is_as_stated(ratio):
    """A step's tolerance a thousand times finer moves no figure by more than 0.2 %."""
    usual = settled([bore()], ratio)
    fine = settled([bore()], ratio, tolerance=1e-8)

    for figure in ("delivered", "indicated_power", "ring_leak", "discharge_temperature"):
        assert getattr(usual.cards[0], figure) == pytest.approx(getattr(fine.cards[0], figure), rel=2e-3)


def test_broken_intake_reed_breathes_and_delivers_nothing():
    whole = turned(bore(), 8.0)
    broken = turned(bore(reeds=replace(bore().reeds, intake_state="broken_open")), 8.0)

    assert abs(broken.delivered) < 0.01 * whole.delivered
    assert broken.blow_back > 0.8 * bore().full_flow
    assert broken.indicated_power < 0.2 * whole.indicated_power
    assert broken.metal_temperature < whole.metal_temperature


def test_stuck_intake_reed_lets_nothing_in():
    stuck = turned(bore(reeds=replace(bore().reeds, intake_state="stuck_shut", intake_leak_area=0.0)), 8.0)

    assert stuck.drawn == 0.0
    assert abs(stuck.delivered) < 0.002 * bore().full_flow


def test_broken_discharge_reed_turns_the_same_air_round():
    broken = turned(bore(reeds=replace(bore().reeds, discharge_state="broken_open")), 4.0)

    assert broken.delivered < 0.05 * bore().full_flow
    assert broken.fallen_back > 0.9 * bore().full_flow


def test_inner_gasket_takes_from_what_is_delivered_and_warms_the_intake():
    sound = turned(bore(), 6.0)
    blown = turned(bore(reeds=replace(bore().reeds, gasket_area=4e-6)), 6.0)

    assert blown.gasket_flow > 0.0
    assert blown.delivered - blown.gasket_flow < 0.8 * sound.delivered
    assert blown.intake_temperature > sound.intake_temperature + 10.0


def test_plugged_filter_lowers_the_intake_and_costs_air_and_power():
    free = settled([bore()], 8.0)
    plugged = settled([bore()], 8.0, drop_coefficient=2.0e9)

    assert plugged.mean_pressure[0] < 0.9 * ROOM
    assert plugged.delivered < 0.9 * free.delivered
    assert plugged.indicated_power < free.indicated_power


def test_fouled_valves_cost_power():
    clean = turned(bore(), 6.0)
    fouled = turned(bore(reeds=replace(bore().reeds, area_factor=0.4)), 6.0)

    assert fouled.indicated_power / fouled.delivered > 1.05 * clean.indicated_power / clean.delivered


def test_a_machine_that_cannot_be_is_refused():
    with pytest.raises(NotPeriodic):
        turned(bore(bore=1e-9), 8.0)
