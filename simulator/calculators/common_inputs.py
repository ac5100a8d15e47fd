"""Inputs that several calculators share, each with the limits it makes sense within."""

from __future__ import annotations

from simulator.calculators.asking import Input

PSI = 6894.757293168361  # [Pa]
HIGHEST_GAUGE_PRESSURE = 5e6  # well above any shop compressor [Pa]
LITRE, FOOT, INCH = 1e-3, 0.3048, 0.0254
CFM = FOOT**3 / 60.0
COPPER_TEMPERATURE = 348.15  # of a loaded conductor, 75 °C, as the code's tables have it [K]

ALTITUDE = Input("altitude", "height of the place above the sea", "altitude", "0 ft", -500.0, 4500.0)


def receiver(default: str = "60 gal") -> Input:
    """Ask for a receiver's volume."""
    return Input(
        "receiver", "receiver's volume", "volume", default, 0.5 * LITRE, 100.0, hint="on the vessel's plate"
    )


def gauge(name: str, title: str, default: str, low: float = 0.0) -> Input:
    """Ask for a pressure by the gauge."""
    return Input(name, title, "gauge_pressure", default, low, HIGHEST_GAUGE_PRESSURE)


def duration(name: str, title: str, default: str) -> Input:
    """Ask for a time, above nothing and at most a week."""
    return Input(name, title, "duration", default, 0.1, 7.0 * 86_400.0)


def free_air(default: str, title: str = "free air delivered by the pump") -> Input:
    """Ask for a flow of free air."""
    return Input("free_air", title, "air_flow", default, 0.01 * CFM, 10_000.0 * CFM)


def percent(name: str, title: str, default: str, low: float, high: float) -> Input:
    """Ask for a percentage within limits."""
    return Input(name, title, "percent", default, low, high)
