"""The pump that the engine runs, against the laws and the handbook's rows that those laws are held to."""

import functools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulator import air, heat
from simulator.components.compressing import compression, cylinder_flow
from simulator.faults import load_faults
from simulator.machine import parameters
from simulator.rig import load_rigs
from simulator.units import convert

ROOM = convert(14.7, "psi", "Pa")
SIXTY_F = convert(60.0, "°F", "K")


@functools.cache
def _twin():
    return parameters(load_rigs()["twin-60"], load_faults()).pump


def _ideal(rig, faults):
    """The rig's pump without leaks and losses, its walls as warm as the air."""
    pump = parameters(rig, faults).pump
    tight = {"ring_area": 0.0, "intake_leak_area": 0.0, "discharge_leak_area": 0.0}
    return pump._replace(
        first_1=pump.first_1._replace(**tight),
        first_2=pump.first_2._replace(**tight),
        delivery_factor=1.0,
        indicated_efficiency=1.0,
    )


def _one_cylinder(pump, gauge_pressure, *, temperature=SIXTY_F, drop=0.0, head_temperature=None):
    speed = pump.rated_speed
    drawn = 2 * pump.first_1.swept_volume * speed / (2 * math.pi) * pump.delivery_factor
    ratio = compression(
        pump, drawn, pump.first_1.clearance_ratio, drop, ROOM, temperature, ROOM + gauge_pressure
    )
    walls = temperature if head_temperature is None else head_temperature
    return ratio, cylinder_flow(pump.first_1, pump, speed, ratio, temperature, temperature, walls)


@pytest.mark.parametrize(
    ("psig", "horsepower_per_100_cfm"),
    # Machinery's Handbook, 31st edition, table 36, p. 2816 (theoretical adiabatic compression, one stage,
    # 14.7 psia and 60 °F in): mean effective pressure times 0.43636.
    [(50, 11.88), (75, 15.27), (100, 18.01), (120, 19.94), (130, 20.82), (150, 22.46)],
)
def test_work_of_the_running_pump_against_the_handbook(rig, faults, psig, horsepower_per_100_cfm):
    pump = _ideal(rig, faults)

    _, cylinder = _one_cylinder(pump, convert(psig, "psi", "Pa"))

    watts = cylinder.torque * pump.rated_speed
    cfm = convert(cylinder.delivered / air.density(ROOM, SIXTY_F), "m³/s", "cfm")
    assert watts / 745.69987 / cfm * 100 == pytest.approx(horsepower_per_100_cfm, rel=0.01)


@pytest.mark.parametrize("psig", [0.0, 20.0, 60.0, 125.0, 150.0])
def test_the_running_pump_obeys_the_laws_of_heat(rig, faults, psig):
    pump = _ideal(rig, faults)

    pressures = (ROOM + convert(psig, "psi", "Pa")) / ROOM
    hot = heat.discharge_temperature(SIXTY_F, pressures, air.GAMMA)

    ratio, cylinder = _one_cylinder(pump, convert(psig, "psi", "Pa"), head_temperature=hot)

    swept = pump.first_1.swept_volume * pump.rated_speed / (2 * math.pi)
    filled = heat.volumetric_efficiency(pump.first_1.clearance_ratio, pressures, pump.expansion_exponent)
    assert cylinder.delivered == pytest.approx(swept * filled * air.density(ROOM, SIXTY_F), rel=1e-5)
    # Between walls as hot as itself the air keeps all the work.
    assert cylinder.discharge_temperature == pytest.approx(hot, rel=1e-4)
    assert cylinder.heat_to_head == pytest.approx(0.0, abs=0.5)
    assert air.CP * SIXTY_F * (ratio.isentropic - 1) == pytest.approx(
        heat.compression_work(SIXTY_F, pressures), rel=1e-9, abs=1e-6
    )


def test_clearance_against_a_textbook_machine(rig, faults):
    """Volumetric efficiency 0.829: 1.013 to 7 bar, clearance 5 %, n = 1.3, 288 K in.

    Source: Eastop and McConkey, Applied Thermodynamics, chapter on reciprocating compressors (from memory).
    """
    pump = _ideal(rig, faults)._replace(expansion_exponent=1.3)
    pump = pump._replace(first_1=pump.first_1._replace(clearance_ratio=0.05))
    speed = pump.rated_speed

    ratio = compression(pump, 0.01, 0.05, 0.0, 101_300.0, 288.0, 700_000.0)
    cylinder = cylinder_flow(pump.first_1, pump, speed, ratio, 288.0, 288.0, 288.0)

    swept = pump.first_1.swept_volume * speed / (2 * math.pi)
    assert cylinder.delivered / (swept * air.density(101_300.0, 288.0)) == pytest.approx(0.829, abs=0.0005)


@pytest.mark.parametrize("area_factor", [1.0, 0.35, 0.1, 0.03])
def test_filter_drop_and_what_the_cylinders_take_agree(rig, faults, area_factor):
    """Pressure behind the element, plus its drop at the flow that then passes, is the room's."""
    pump = _ideal(rig, faults)
    clean = parameters(rig, faults).intake.drop_coefficient
    drop = clean / area_factor**2
    drawn = 2 * pump.first_1.swept_volume * pump.rated_speed / (2 * math.pi)
    head = ROOM + convert(100.0, "psi", "Pa")

    ratio = compression(pump, drawn, pump.first_1.clearance_ratio, drop, ROOM, SIXTY_F, head)

    filled = 1 - pump.first_1.clearance_ratio * (ratio.expansion - 1)
    flow = ratio.inlet_pressure / (air.GAS_CONSTANT * SIXTY_F) * drawn * filled
    assert ratio.inlet_pressure + drop * flow**2 == pytest.approx(ROOM, rel=1e-6)


SICK = st.fixed_dictionaries(
    {
        "ring_area": st.floats(0.0, 4e-6),
        "intake_leak_area": st.floats(0.0, 2e-5),
        "discharge_leak_area": st.floats(0.0, 1e-5),
    }
)


@given(leaks=SICK, psig=st.floats(0.0, 180.0), walls=st.floats(290.0, 520.0))
def test_no_cylinder_beats_the_second_law(leaks, psig, walls):
    """Sound or sick: never less work than slow cooled compression takes, air between walls and work, heat downhill."""
    pump = _twin()
    pump = pump._replace(first_1=pump.first_1._replace(**leaks))
    head = ROOM + convert(psig, "psi", "Pa")

    ratio, cylinder = _one_cylinder(pump, head - ROOM, temperature=293.15, head_temperature=walls)

    least = cylinder.delivered * air.GAS_CONSTANT * 293.15 * math.log(head / ratio.inlet_pressure)
    assert cylinder.torque * pump.rated_speed >= least - 1e-6
    assert cylinder.discharge_temperature >= min(walls, 293.15) - 1e-6
    for flow in (cylinder.taken_in, cylinder.delivered, cylinder.ring_leak, cylinder.blow_back):
        assert flow >= 0.0


@given(leaks=SICK, psig=st.floats(20.0, 180.0), walls=st.floats(290.0, 520.0))
def test_a_hotter_head_takes_less_heat_and_a_cold_one_always_some(leaks, psig, walls):
    pump = _twin()
    pump = pump._replace(first_1=pump.first_1._replace(**leaks))
    head = convert(psig, "psi", "Pa")

    cold, warm, hotter = (
        _one_cylinder(pump, head, head_temperature=t)[1] for t in (SIXTY_F, walls, walls + 20.0)
    )

    assert cold.heat_to_head > 0.0
    assert hotter.heat_to_head < warm.heat_to_head
    assert hotter.torque == warm.torque
