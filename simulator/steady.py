"""What a healthy pump does at rated speed against a steady pressure, from its dimensions alone.

The sums of every compressor handbook: they size friction, demand and filter of a rig, and give its free air wherever
it is needed without running the machine.
"""

from typing import NamedTuple

from simulator import air, heat
from simulator.components.pump import CylinderSpec
from simulator.rig import Rig
from simulator.units import convert

# Second-stage inlet above the room behind a clean intercooler (common practice, no source). [K]
INTERCOOLER_APPROACH = 18.0
# The second stage's reeds both open forward: the interstage stands at most this much above the head. [Pa]
FORWARD_CRACK = convert(2.0, "psi", "Pa")


class Steady(NamedTuple):
    """Healthy pump at rated speed against one pressure."""

    free_air: float  # [m³/s]
    indicated_power: float  # [W]
    interstage_pressure: float  # absolute; the room's on a single-stage pump [Pa]


def steady(rig: Rig, head_pressure: float) -> Steady:
    """Free air, power and interstage pressure of a healthy pump.

    Parameters
    ----------
    rig : Rig
        The rig.
    head_pressure : float
        Against which it delivers, absolute. [Pa]

    Returns
    -------
    Steady
        At rated speed, drawing free air.

    References
    ----------
    Eastop and McConkey, Applied Thermodynamics, reciprocating compressors: volumetric efficiency with clearance,
    isentropic work over an indicated efficiency; both stages pass the same mass.
    """
    room = air.STANDARD_PRESSURE
    if rig.stages == 1:
        free_air = _drawn(rig, rig.first_stage, head_pressure / room)
        return Steady(free_air, _power(rig, room, free_air, head_pressure), room)
    between = _interstage(rig, head_pressure)
    free_air = _drawn(rig, rig.first_stage, between / room)
    second = _drawn(rig, rig.second_stage, head_pressure / between)
    power = _power(rig, room, free_air, between)
    if head_pressure > between:
        power += _power(rig, between, second, head_pressure)
    return Steady(free_air, power, between)


def _interstage(rig: Rig, head_pressure: float) -> float:
    """Absolute interstage pressure at which both stages pass the same mass."""
    room = air.STANDARD_PRESSURE
    warm = air.FREE_AIR_TEMPERATURE + INTERCOOLER_APPROACH
    low, high = room, head_pressure + FORWARD_CRACK
    for _ in range(60):
        between = 0.5 * (low + high)
        first = air.density(room, air.FREE_AIR_TEMPERATURE) * _drawn(rig, rig.first_stage, between / room)
        second = air.density(between, warm) * _drawn(rig, rig.second_stage, head_pressure / between)
        low, high = (between, high) if first > second else (low, between)
    return 0.5 * (low + high)


def _drawn(rig: Rig, cylinders: tuple[CylinderSpec, ...], ratio: float) -> float:
    """Volume drawn at the inlet of a stage at rated speed. [m³/s]"""
    pump = rig.pump
    filled = sum(
        cylinder.swept_volume
        * heat.volumetric_efficiency(cylinder.clearance_ratio, max(ratio, 1.0), pump.expansion_exponent)
        for cylinder in cylinders
    )
    return float(filled * pump.delivery_factor * pump.speed_rpm / 60)


def _power(rig: Rig, inlet_pressure: float, volume_flow: float, discharge_pressure: float) -> float:
    return float(
        heat.adiabatic_power(inlet_pressure, volume_flow, discharge_pressure, 1)
        / rig.pump.indicated_efficiency
    )
