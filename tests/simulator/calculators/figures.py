"""Figures of a calculator's answer, in a unit as it is shown or in SI."""

from simulator import units
from simulator.calculators import calculate


def figure(slug, name, unit, **typed):
    """One figure of an answer, in a unit as it is shown."""
    found = calculate(slug, typed).figures[name]
    return units.convert(found.value, SI[unit], unit)


SI = {
    "cfm": "m³/s",
    "L/min": "m³/s",
    "gal": "m³",
    "ft³": "m³",
    "m³": "m³",
    "min": "s",
    "s": "s",
    "in": "m",
    "psia": "Pa",
    "°F": "K",
    "kPa": "Pa",
}


def plain(slug, name, **typed):
    return calculate(slug, typed).figures[name].value
