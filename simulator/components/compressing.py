"""What cylinders do to air, averaged over a turn; what leaks meanwhile through rings and reeds comes from `cycle`."""

import math
from typing import NamedTuple

from simulator import air, flow
from simulator.compiled import law
from simulator.components.cycle import DEGREE, LARGEST_RATIO, Polynomial
from simulator.components.pump import BREATHES, SILENT, CylinderParameters, PumpParameters

# Share of the air blown back through an intake reed that the next intake stroke draws in again; the rest is
# lost in the filter housing. Air that comes back keeps a share of its heat and leaves the other in the head.
# Common practice, no source: set so that a head with a badly leaking reed stands 20-40 C above its twin.
REINDUCED_SHARE = 0.85
KEPT_HEAT_SHARE = 0.2
# Fits to the cycle-resolved cylinder, `simulator.cylinder`: how much warmer than the inlet the charge is for each
# unit of pressure ratio, what room redrawn air takes. [-]
CHARGE_WARMING = 0.012
REDRAWN_WARMTH = 0.38
# Share of the way to its wall's temperature that air comes while it is compressed and pushed out. Common practice,
# no source: set so that a warm pump discharges along a polytropic path of about the expansion's exponent.
WALL_EXCHANGE = 0.72
# A reed or ring pressed on its seat by standing pressure passes this share of what it passes while it beats.
# Common practice, no source: a head left charged lets itself down over an hour or more.
STANDING_SEAT_SHARE = 0.02
LOG_LARGEST = math.log(LARGEST_RATIO)


class Compression(NamedTuple):
    """Intake pressure and powers of the pressure ratio, which both cylinders share."""

    inlet_pressure: float  # behind the filter, absolute [Pa]
    log_ratio: float  # natural logarithm of the pressure ratio, at most ln(LARGEST_RATIO)
    expansion: float  # r^(1/n)
    isentropic: float  # r^((k-1)/k)
    pressure_ratio: float  # r


class CylinderFlow(NamedTuple):
    """What one cylinder does, averaged over a turn."""

    taken_in: float  # fresh air through the filter [kg/s]
    delivered: float  # net into the head chamber [kg/s]
    ring_leak: float  # to the crankcase [kg/s]
    blow_back: float  # out through the intake reed [kg/s]
    torque: float  # indicated, at the crank [N·m]
    discharge_temperature: float  # of the delivered air [K]
    heat_to_head: float  # [W]
    lost_heat: float  # carried off by ring leak and blow-back, above the inlet's temperature [W]


@law
def _at(polynomial: Polynomial, log_ratio: float) -> float:
    value = 0.0
    for i in range(DEGREE, -1, -1):
        value = value * log_ratio + polynomial[i]
    return value


@law
def _saturating(ratio: float) -> float:
    """Share of the flow that leaks: grows as the ratio of leak to flow, never past all of it."""
    return ratio / math.sqrt(1.0 + ratio * ratio)


@law
def _saturating_back(ratio: float) -> float:
    """The same for what falls back, which gets hotter the more there is of it."""
    square = ratio * ratio
    return ratio / math.sqrt(math.sqrt(1.0 + square * square))


@law
def _powers(pump: PumpParameters, log_ratio: float, inlet_pressure: float) -> Compression:
    """Powers of a pressure ratio given by its logarithm."""
    limited = min(max(log_ratio, 0.0), LOG_LARGEST)
    expansion = math.exp(limited / pump.expansion_exponent)
    return Compression(
        inlet_pressure,
        limited,
        expansion,
        math.exp(limited * (air.GAMMA - 1.0) / air.GAMMA),
        math.exp(limited),
    )


@law
def compression(
    pump: PumpParameters,
    drawn: float,
    clearance_ratio: float,
    drop_coefficient: float,
    ambient_pressure: float,
    temperature: float,
    head_pressure: float,
) -> Compression:
    """Pressure behind the filter, and the powers of the pressure ratio that follow from it.

    The drop over the element and what the cylinders then take in must agree: a plugged element lowers the
    pressure, which raises the pressure ratio, which lets the clearance air fill more of the stroke. The balance is
    found by Newton's method, from above, where it cannot overshoot.

    Parameters
    ----------
    pump : PumpParameters
        The air end.
    drawn : float
        Swept by all first-stage cylinders, times the delivery factor. [m³/s]
    clearance_ratio : float
        Clearance volume over swept volume. [-]
    drop_coefficient : float
        Pressure drop over mass flow squared. [Pa·s²/kg²]
    ambient_pressure : float
        [Pa]
    temperature : float
        Of the intake air. [K]
    head_pressure : float
        In the cylinders at the end of compression, absolute. [Pa]

    Returns
    -------
    Compression
        The ratio counts as 1 when the head stands below the inlet. [Pa and -]

    References
    ----------
    Drop of a filter element proportional to flow squared; common practice, no source. Volumetric efficiency as
    in `simulator.heat.volumetric_efficiency`.
    """
    n = pump.expansion_exponent
    mass_per_pascal = drawn / (air.GAS_CONSTANT * temperature)
    a = drop_coefficient * mass_per_pascal * mass_per_pascal
    inlet = ambient_pressure
    log_ratio, expansion = 0.0, 1.0
    for _ in range(12):
        log_ratio = max(math.log(head_pressure / inlet), 0.0)
        expansion = math.exp(log_ratio / n)
        share = max(1.0 - clearance_ratio * (expansion - 1.0), 0.02)
        slope = clearance_ratio * expansion / n if share > 0.02 and log_ratio > 0.0 else 0.0
        taken = a * inlet * share
        excess = inlet + taken * inlet * share - ambient_pressure
        change = excess / (1.0 + 2.0 * taken * (share + slope))
        inlet -= change
        if change < 1e-6 * inlet:  # the last step is small: carry the powers over it by their slopes
            moved = change / inlet if log_ratio > 0.0 else 0.0
            log_ratio += moved
            expansion *= 1.0 + moved / n
            break
    if log_ratio > LOG_LARGEST:
        return _powers(pump, log_ratio, inlet)
    return Compression(
        inlet,
        log_ratio,
        expansion,
        math.exp(log_ratio * (air.GAMMA - 1.0) / air.GAMMA),
        max(head_pressure / inlet, 1.0),
    )


@law
def second_compression(pump: PumpParameters, inlet_pressure: float, head_pressure: float) -> Compression:
    """Powers of the second stage's pressure ratio, whose inlet is the interstage.

    Parameters
    ----------
    pump : PumpParameters
        The air end.
    inlet_pressure : float
        In the interstage, absolute. [Pa]
    head_pressure : float
        In the cylinders at the end of compression, absolute. [Pa]

    Returns
    -------
    Compression
        The ratio counts as 1 when the head stands below the interstage. [Pa and -]

    References
    ----------
    As `compression`, with no filter between.
    """
    ratio: Compression = _powers(pump, math.log(head_pressure / inlet_pressure), inlet_pressure)
    return ratio


@law
def cylinder_flow(
    cylinder: CylinderParameters,
    pump: PumpParameters,
    speed: float,
    ratio: Compression,
    inlet_temperature: float,
    back_temperature: float,
    head_temperature: float,
) -> CylinderFlow:
    """What one cylinder takes in, delivers, loses and costs, averaged over a turn.

    Parameters
    ----------
    cylinder : CylinderParameters
        The cylinder, faults included.
    pump : PumpParameters
        The air end it belongs to.
    speed : float
        Of the crank. [rad/s]
    ratio : Compression
        Intake pressure, and powers of head over intake pressure. [Pa and -]
    inlet_temperature : float
        Of the air it draws. [K]
    back_temperature : float
        Of the air behind its discharge reed, which leaks back. [K]
    head_temperature : float
        Of its head and walls. [K]

    Returns
    -------
    CylinderFlow
        Flows in kg/s, torque in N·m, temperatures in K, heat in W.

    References
    ----------
    Volumetric efficiency with clearance and isentropic work over an indicated efficiency: Eastop and
    McConkey, Applied Thermodynamics, chapter on reciprocating compressors.
    """
    if cylinder.swept_volume <= 0.0:
        return CylinderFlow(0.0, 0.0, 0.0, 0.0, 0.0, inlet_temperature, 0.0, 0.0)
    if cylinder.dead > 0.5:
        return _dead_flow(cylinder, pump, speed, ratio, inlet_temperature)
    log_ratio, inlet_pressure = ratio.log_ratio, ratio.inlet_pressure
    choked = 0.04041840 * inlet_pressure  # sqrt(k/R)·(2/(k+1))^((k+1)/(2(k-1))) of air, times pressure
    turning = speed * speed / (speed * speed + 4.0)  # standing seats are the machine's business, below
    pressure_ratio = ratio.pressure_ratio
    leak_heat = max(_at(cylinder.averages.leak_heat, log_ratio), 1.0)
    efficiency = pump.delivery_factor * (1.0 - cylinder.clearance_ratio * (ratio.expansion - 1.0))
    per_radian = max(efficiency, 0.0) * cylinder.swept_volume / (2.0 * math.pi)
    cold_flow = inlet_pressure / (air.GAS_CONSTANT * inlet_temperature) * per_radian * speed + 1e-9
    warm = inlet_temperature * (1.0 + CHARGE_WARMING * (pressure_ratio - 1.0))
    per_area = turning * choked / math.sqrt(warm)
    ring = per_area * cylinder.ring_area
    intake = per_area * cylinder.intake_leak_area
    ring_out = ring * max(_at(cylinder.averages.ring_out, log_ratio), 0.0)
    intake_out = intake * max(_at(cylinder.averages.leak_out, log_ratio), 0.0)
    missed = ring * max(_at(cylinder.averages.ring_lost, log_ratio), 0.0)
    missed += intake * max(_at(cylinder.averages.leak_lost, log_ratio), 0.0)
    # What is blown back is drawn in again hot, and takes the room of more cold air than it is.
    missed += intake_out * REDRAWN_WARMTH * (1.0 - 1.0 / ratio.expansion)
    leak_share = _saturating(missed / cold_flow)
    bounded = leak_share * cold_flow / (missed + 1e-15)

    back = turning * choked * cylinder.discharge_leak_area / math.sqrt(back_temperature) / cold_flow
    drawing = max(_at(cylinder.averages.back_drawing, log_ratio), 0.0) * back_temperature / inlet_temperature
    expanding = max(_at(cylinder.averages.back_expanding, log_ratio), 0.0)
    back_share = _saturating_back(back * (drawing + expanding))
    fallen = _saturating(back * max(_at(cylinder.averages.leak_back, log_ratio), 0.0))

    blown = min(bounded * intake_out / cold_flow, 1.0)
    again = REINDUCED_SHARE * blown
    kept = KEPT_HEAT_SHARE * again
    charge_temperature = inlet_temperature * (1.0 - kept) / (1.0 - kept * leak_heat) + 0.5 * back_share * (
        back_temperature - inlet_temperature
    )
    work = air.CP * inlet_temperature * (ratio.isentropic - 1.0) / pump.indicated_efficiency
    # Rings and intake reed spare some of the work, what falls back costs more of it: fits to `simulator.cylinder`.
    spared = leak_share * (0.06 + 0.25 / pressure_ratio + 0.2 * leak_share * leak_share)
    added = (0.22 + 0.2 / pressure_ratio) * fallen * (1.0 - 0.35 * fallen)
    power = cold_flow * (1.0 - spared) * (1.0 + added) * work
    delivered = cold_flow * (1.0 - leak_share) * (1.0 - back_share)
    charge = cold_flow * inlet_temperature / charge_temperature
    ring_leak = bounded * ring_out
    blow_back = cold_flow * blown
    # What falls back through a leaking discharge reed, or is drawn in again through an intake reed, has had work
    # done on it and stays: the head keeps the heat that does not leave with the air.
    lost = (
        air.CP
        * (ring_leak + (1.0 - REINDUCED_SHARE) * blow_back)
        * (leak_heat * charge_temperature - inlet_temperature)
    )
    # All the work warms the air; on its way out the air comes near the temperature of the metal round it.
    unshed = charge_temperature + power / (air.CP * charge + 1e-9)
    discharge = unshed - WALL_EXCHANGE * (unshed - head_temperature)
    carried = air.CP * delivered * (discharge - inlet_temperature) + lost
    return CylinderFlow(
        delivered + ring_leak + (1.0 - REINDUCED_SHARE) * blow_back,
        delivered,
        ring_leak,
        blow_back,
        power / max(speed, 1e-3),
        discharge,
        power - carried,
        lost,
    )


@law
def _dead_flow(
    cylinder: CylinderParameters,
    pump: PumpParameters,
    speed: float,
    ratio: Compression,
    inlet_temperature: float,
) -> CylinderFlow:
    """What a cylinder does that delivers nothing: breathes through its open intake, or squeezes what leaks out."""
    per_second = cylinder.swept_volume * speed / (2.0 * math.pi)
    charge = ratio.inlet_pressure / (air.GAS_CONSTANT * inlet_temperature) * per_second
    if cylinder.dead == BREATHES:
        blown = pump.delivery_factor * charge
        again = (1.0 - REINDUCED_SHARE) * blown
        return CylinderFlow(again, 0.0, 0.0, blown, 0.0, inlet_temperature, 0.0, 0.0)
    if cylinder.dead == SILENT:
        return CylinderFlow(0.0, 0.0, 0.0, 0.0, 0.0, inlet_temperature, 0.0, 0.0)
    # Shut in, the charge is squeezed into the clearance as far as the leaks let it; they carry off half the heat.
    top = math.log(1.0 + 1.0 / cylinder.clearance_ratio)
    leak_area = cylinder.ring_area + cylinder.intake_leak_area
    choked = 0.04041840 * ratio.inlet_pressure / math.sqrt(inlet_temperature)
    leak = choked * leak_area * max(_at(cylinder.averages.leak_out, min(top, LOG_LARGEST)), 0.0)
    escape = leak / (charge + 1e-9)  # what could leave under full pressure, over what there is
    lost = _saturating(escape)
    work = air.CP * inlet_temperature * (math.exp(0.5 * top * (air.GAMMA - 1.0) / air.GAMMA) - 1.0)
    power = charge * lost * work / (1.0 + escape * escape)  # no pressure builds up over a wide opening
    blown = charge * lost * cylinder.intake_leak_area / (leak_area + 1e-15)
    ring_leak = charge * lost - blown
    return CylinderFlow(
        ring_leak + (1.0 - REINDUCED_SHARE) * blown,
        0.0,
        ring_leak,
        blown,
        power / max(speed, 1e-3),
        inlet_temperature,
        0.5 * power,
        0.5 * power,
    )


@law
def standing_leak_area(through: float, outward: float) -> float:
    """Flow area through a cylinder at rest, whose reeds and rings are pressed on their seats.

    Parameters
    ----------
    through : float
        Flow area of the leaking discharge reed. [m²]
    outward : float
        Flow area of what leads on: rings, or the intake reed. [m²]

    Returns
    -------
    float
        [m²]

    References
    ----------
    Openings in series, `simulator.flow.series_area`; the share of the seat is common practice, no source.
    """
    return STANDING_SEAT_SHARE * flow.series_area(through, outward)
