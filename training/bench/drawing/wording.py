"""What is printed on a rig in the picture: plates, scales and settings, in the units the rig is sold in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from simulator.units import number

if TYPE_CHECKING:
    from simulator.rig import Rig

PSI_PER_BAR = 14.5038
US_GALLON = 3.785411784  # [L]; NIST SP 811, appendix B.8
WIDEST = 14  # letters of a slug that still fit the brass plate
SMALL_DIAL = 160.0  # highest cut-out that a dial to 200 psi takes well [psi]


def psi(pressure: float) -> float:
    """Return a gauge pressure in psi."""
    return number(pressure, "gauge_pressure", "us")


def dial_scale(rig: Rig) -> dict[str, Any]:
    """Return scale and ticks of the small gauges on the machine."""
    if rig.display_units == "metric":
        return {"full_scale": 16, "step": 4, "minor": 1, "bar": True}
    if psi(rig.switch.cut_out) <= SMALL_DIAL:
        return {"full_scale": 200, "step": 50, "minor": 10}
    return {"full_scale": 300, "step": 100, "minor": 20}


SMALL_DIALS: dict[str, dict[str, Any]] = {
    "inter": {"full_scale": 160, "step": 20, "minor": 4, "bar_to": 11},
    "oil": {"full_scale": 100, "step": 20, "minor": 4, "bar_to": 6},
}


def large_dial(rig: Rig) -> dict[str, Any]:
    """Return scale and ticks of the dials beside the picture: psi outside, bar inside."""
    if psi(rig.switch.cut_out) <= SMALL_DIAL:
        return {"full_scale": 200, "step": 20, "minor": 4, "bar_to": 14}
    return {"full_scale": 300, "step": 50, "minor": 10, "bar_to": 20}


@dataclass(frozen=True)
class Pens:
    """Scales of the strip chart: pressure above; below, the motor's current or the speed an engine gives the pump."""

    pressure_top: float  # [psi]
    lower: str  # channel
    lower_top: float
    lower_step: int
    unit: str
    title: str


def pens(rig: Rig) -> Pens:
    """Return the chart's scales: they hold what the rig does in sound running, a start's peak runs along the edge."""
    pressure = 160.0 if psi(rig.switch.cut_out) <= SMALL_DIAL - 25 else 240.0
    if rig.has_engine:
        return Pens(pressure, "rpm", 1500.0, 500, "rpm", "Flywheel, rpm")
    full_load = rig.electric_motor.full_load_current
    top, step = next((row for row in ((15.0, 5), (30.0, 10)) if full_load * 1.4 <= row[0]), (60.0, 20))
    return Pens(pressure, "amps", top, step, "A", f"Current, cut off at {top:.0f} A")


def set_words(rig: Rig) -> tuple[str, str]:
    """Return cut-in and cut-out as the switch's plate has them, and their unit."""
    low, high = psi(rig.switch.cut_in), psi(rig.switch.cut_out)
    if rig.display_units == "metric":
        return f"{low / PSI_PER_BAR:.0f}\N{EN DASH}{high / PSI_PER_BAR:.0f}", "bar"
    return f"{low:.0f}\N{EN DASH}{high:.0f}", "psi"


def supply_words(rig: Rig) -> str:
    """Return volts and phases, as on the disconnect's plate."""
    return f"{rig.supply.voltage:.0f} V {3 if rig.motor.kind == 'three-phase' else 1}~"


def plate_lines(rig: Rig, rows: int = 3) -> list[str]:
    """Return the lines of the receiver's brass plate."""
    slug = rig.slug.upper()
    litres, highest = rig.receiver.volume * 1000, psi(rig.receiver.maximum_pressure)
    gallons = litres / US_GALLON
    both = [f"{gallons:.0f} gal", f"{litres:.0f} L"]
    limits = [f"{highest:.0f} psi", f"{highest / PSI_PER_BAR:.1f} bar"]
    if rig.display_units == "metric":
        both.reverse()
        limits.reverse()
    lines = [f"{both[0]} · {both[1]}", f"max {limits[0]} · {limits[1]}"]
    if "450 °F" in rig.plates.get("receiver", ""):
        lines.append("at 450 °F · 232 °C")
    if rows == 1:
        lines = [f"{both[0]}, max {limits[0]}"]
    return [slug if len(slug) <= WIDEST else "RECEIVER", *lines[:rows]]
