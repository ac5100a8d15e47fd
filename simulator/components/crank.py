"""Crankcase: what the crank asks of the drive, and the pressure under the pistons."""

import math

from simulator import air
from simulator.compiled import law
from simulator.components.pump import PumpParameters

# Breakaway friction is higher than running friction. Common practice, no source.
BREAKAWAY_EXCESS = 1.5
# What the crank's seals let out beside the breather. Common practice, no source. [m²]
SEAL_AREA = 0.4e-6
# Angle over which one compression peak is carried by the flywheel. [rad]
PEAK_ANGLE = 0.35


@law
def load_torque(mean_torque: float, speed: float, pump: PumpParameters, inertia_at_crank: float) -> float:
    """Torque the crank asks of the drive, compression peaks and breakaway included.

    At rest the drive must push through the peak of a compression stroke by itself; at speed the flywheel
    carries it. The speed where that changes is where the flywheel's energy equals the work of the peak.

    Parameters
    ----------
    mean_torque : float
        Indicated torque averaged over a turn. [N·m]
    speed : float
        Of the crank. [rad/s]
    pump : PumpParameters
        The air end.
    inertia_at_crank : float
        Of everything that turns, seen at the crank. [kg·m²]

    Returns
    -------
    float
        Torque against the motion, zero at rest. [N·m]

    References
    ----------
    Common practice, no source; the peak-to-mean ratio is the rig's.
    """
    excess = pump.peak_to_mean_torque - 1.0
    carried = 2.0 * excess * mean_torque * PEAK_ANGLE / inertia_at_crank + 1e-6
    square = speed * speed
    peak = mean_torque * excess * carried * carried / (carried * carried + square * square)
    friction = pump.friction_torque * (1.0 + BREAKAWAY_EXCESS / (1.0 + speed * speed))
    return (mean_torque + peak + friction) * speed / math.sqrt(speed * speed + 0.01)


@law
def crankcase_pressure(
    ring_leak: float, breather_area: float, temperature: float, ambient_pressure: float
) -> float:
    """Gauge pressure in the crankcase when ring leakage leaves by the breather.

    Parameters
    ----------
    ring_leak : float
        Air past the rings of all cylinders. [kg/s]
    breather_area : float
        Flow area of the breather. [m²]
    temperature : float
        Of the air leaving. [K]
    ambient_pressure : float
        [Pa]

    Returns
    -------
    float
        Gauge pressure. [Pa]

    References
    ----------
    Bernoulli's equation for a small pressure drop.
    """
    density = ambient_pressure / (air.GAS_CONSTANT * temperature)
    velocity_head = ring_leak / (breather_area + SEAL_AREA)
    return velocity_head * velocity_head / (2.0 * density)
