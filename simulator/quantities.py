"""The quantities people read and write, with the units of each and every accepted spelling: data for `units`."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

STANDARD_ATMOSPHERE = 101_325.0  # [Pa] ISO 2533:1975, clause 2


@dataclass(frozen=True)
class Unit:
    """A unit as shown, as pint knows it, and as people write it."""

    label: str
    pint: str
    digits: int
    spellings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Quantity:
    """A kind of reading: the units it may be written in and those it is shown in.

    `floor` is the least value that can be [SI]; `bare` says that a number alone is not in doubt.
    """

    title: str
    us: Unit
    metric: Unit
    others: tuple[Unit, ...] = ()
    us_example: float = 1.0
    metric_example: float = 1.0
    floor: float = 0.0
    bare: bool = False
    whole: bool = False
    refused: tuple[tuple[str, str], ...] = ()

    @property
    def units(self) -> tuple[Unit, ...]:
        """All units this quantity is written in, those shown first."""
        return tuple(dict.fromkeys((self.us, self.metric, *self.others)))


PSI = Unit(
    "psi", "psi", 1, ("psig", "psi g", "psi gauge", "psi(g)", "lb/in²", "lb/in2", "lbf/in²", "lbf/in2")
)
BAR = Unit("bar", "bar", 2, ("barg", "bar g", "bar gauge", "bar(g)", "bars"))
KPA = Unit("kPa", "kilopascal", 1, ("kPag", "kPa g"))
MPA = Unit("MPa", "megapascal", 3)
PASCAL = Unit("Pa", "pascal", 0)
INCH_WATER = Unit("inH2O", "inch_H2O", 1, ("inH₂O", "in H2O", "inwc", "in wc", "in w.c.", "iwc"))
MILLIBAR = Unit("mbar", "millibar", 1)
FAHRENHEIT = Unit(
    "°F", "degree_Fahrenheit", 1, ("F", "degF", "deg F", "º F", "ºF", "° F", "℉", "degrees F", "Fahrenheit")
)
CELSIUS = Unit(
    "°C", "degree_Celsius", 1, ("C", "degC", "deg C", "º C", "ºC", "° C", "℃", "degrees C", "Celsius")
)
KELVIN = Unit("K", "kelvin", 1, ("kelvin",))
FAHRENHEIT_STEP = Unit("°F", "delta_degree_Fahrenheit", 1, (*FAHRENHEIT.spellings, "Δ°F"))
CELSIUS_STEP = Unit("°C", "delta_degree_Celsius", 1, (*CELSIUS.spellings, "Δ°C"))
GALLON = Unit("gal", "US_liquid_gallon", 1, ("gallon", "gallons", "gals", "US gal"))
LITRE = Unit("L", "liter", 1, ("l", "litre", "litres", "liter", "liters"))
CUBIC_FOOT = Unit("ft³", "foot ** 3", 2, ("ft3", "cu ft", "cf"))
CUBIC_METRE = Unit("m³", "meter ** 3", 4, ("m3",))
FLUID_OUNCE = Unit("fl oz", "US_fluid_ounce", 1, ("floz", "fl. oz", "oz"))
MILLILITRE = Unit("mL", "milliliter", 0, ("ml", "cc", "cm³", "cm3"))
FOOT = Unit("ft", "foot", 2, ("foot", "feet", "'"))
INCH = Unit("in", "inch", 2, ("inch", "inches", '"', "in."))
THOU_INCH = Unit("in", "inch", 4, INCH.spellings)
THOU = Unit("mil", "thou", 1, ("mils", "thou"))
METRE = Unit("m", "meter", 2, ("metre", "metres", "meter", "meters"))
CENTIMETRE = Unit("cm", "centimeter", 1)
MILLIMETRE = Unit("mm", "millimeter", 2, ("millimetre", "millimetres", "millimeter", "millimeters"))
MICROMETRE = Unit("µm", "micrometer", 0, ("μm", "um", "micron", "microns"))
AMPERE = Unit("A", "ampere", 1, ("amp", "amps", "ampere", "amperes"))
MILLIAMPERE = Unit("mA", "milliampere", 1)
VOLT = Unit("V", "volt", 1, ("volt", "volts", "VAC", "V AC"))
MILLIVOLT = Unit("mV", "millivolt", 0)
HORSEPOWER = Unit("hp", "horsepower", 2, ("horsepower",))
KILOWATT = Unit("kW", "kilowatt", 2)
WATT = Unit("W", "watt", 0, ("watt", "watts"))
SECOND = Unit("s", "second", 0, ("sec", "secs", "second", "seconds"))
MINUTES = Unit("min", "minute", 1, ("MIN", "mins", "minute", "minutes"))
HOURS = Unit("h", "hour", 2, ("hr", "hrs", "hour", "hours"))
CFM = Unit("cfm", "foot ** 3 / minute", 1, ("CFM", "ft³/min", "ft3/min", "cu ft/min"))
LITRE_MINUTE = Unit("L/min", "liter / minute", 0, ("l/min", "lpm", "litre/min", "liter/min"))
LITRE_SECOND = Unit("L/s", "liter / second", 2, ("l/s",))
CUBIC_METRE_HOUR = Unit("m³/h", "meter ** 3 / hour", 1, ("m3/h", "m³/hr", "m3/hr"))
CUBIC_METRE_SECOND = Unit("m³/s", "meter ** 3 / second", 5, ("m3/s",))
RPM = Unit("rpm", "", 0, ("r/min", "rev/min", "1/min"))
PERCENT = Unit("%", "", 1, ("percent", "per cent", "pct"))
OHM = Unit("Ω", "ohm", 2, ("Ω", "ohm", "ohms"))
MILLIOHM = Unit("mΩ", "milliohm", 1, ("mΩ", "mohm", "mohms"))
KILOHM = Unit("kΩ", "kiloohm", 2, ("kΩ", "kohm", "kohms"))
MEGOHM = Unit("MΩ", "megaohm", 2, ("MΩ", "Mohm", "Mohms", "megohm", "megohms"))
MICROFARAD = Unit("µF", "microfarad", 1, ("μF", "uF", "mfd", "microfarad", "microfarads"))
FARAD = Unit("F", "farad", 6)
POUND_FOOT = Unit(
    "lbf·ft",
    "pound_force * foot",
    1,
    ("lbf ft", "lb·ft", "lb ft", "lb-ft", "ft·lb", "ft lb", "ft-lb", "ft·lbf", "ft-lbf"),
)
POUND_INCH = Unit(
    "lbf·in",
    "pound_force * inch",
    0,
    ("lbf in", "lb·in", "lb in", "lb-in", "in·lb", "in lb", "in-lb", "in-lbf"),
)
NEWTON_METRE = Unit("N·m", "newton * meter", 1, ("N m", "Nm", "N-m"))
PIECES = Unit("", "", 0, ("times", "off", "pcs"))
DOLLAR = Unit("$", "", 0, ("USD", "dollar", "dollars"))

_ABSOLUTE = "That is an absolute pressure; a gauge reads from the air around it. Write what the gauge shows, such as 120 psi or 8 bar."
_STANDARD_AIR = "That counts air at standard conditions, which vary by source. Write the free air at the intake in cfm or L/min."

QUANTITIES: Mapping[str, Quantity] = {
    "gauge_pressure": Quantity(
        "gauge pressure",
        PSI,
        BAR,
        (KPA, MPA, PASCAL),
        120,
        8,
        -STANDARD_ATMOSPHERE,
        refused=(("psia", _ABSOLUTE), ("psi a", _ABSOLUTE), ("bara", _ABSOLUTE), ("bar a", _ABSOLUTE)),
    ),
    "absolute_pressure": Quantity("absolute pressure", PSI, BAR, (KPA, MPA, PASCAL), 115, 8),
    "pressure_drop": Quantity("pressure drop", PSI, BAR, (KPA, MILLIBAR, PASCAL), 2, 0.15, -math.inf),
    "crankcase_pressure": Quantity(
        "crankcase pressure", INCH_WATER, KPA, (PASCAL, MILLIBAR), 4, 1, -STANDARD_ATMOSPHERE
    ),
    "temperature": Quantity("temperature", FAHRENHEIT, CELSIUS, (KELVIN,), 70, 21),
    "temperature_difference": Quantity(
        "temperature difference", FAHRENHEIT_STEP, CELSIUS_STEP, (KELVIN,), 20, 11, -math.inf
    ),
    "volume": Quantity("volume", GALLON, LITRE, (CUBIC_FOOT, CUBIC_METRE), 60, 227),
    "water_volume": Quantity(
        "volume of water", FLUID_OUNCE, MILLILITRE, (GALLON, LITRE, CUBIC_METRE), 8, 240
    ),
    "length": Quantity("length", FOOT, METRE, (INCH, CENTIMETRE, MILLIMETRE), 6, 2),
    "small_length": Quantity("length", THOU_INCH, MILLIMETRE, (THOU, MICROMETRE, METRE), 0.012, 0.3),
    "current": Quantity("current", AMPERE, AMPERE, (MILLIAMPERE,), 15, 15),
    "voltage": Quantity("voltage", VOLT, VOLT, (MILLIVOLT,), 230, 230),
    "power": Quantity("power", HORSEPOWER, KILOWATT, (WATT,), 3, 2.2),
    "duration": Quantity("time", SECOND, SECOND, (MINUTES, HOURS), 90, 90),
    "air_flow": Quantity(
        "air flow",
        CFM,
        LITRE_MINUTE,
        (LITRE_SECOND, CUBIC_METRE_HOUR, CUBIC_METRE_SECOND),
        10,
        280,
        refused=(("scfm", _STANDARD_AIR), ("nm³/h", _STANDARD_AIR), ("nl/min", _STANDARD_AIR)),
    ),
    "speed_rpm": Quantity("speed", RPM, RPM, (), 900, 900, bare=True),
    "percent": Quantity("percentage", PERCENT, PERCENT, (), 10, 10, -math.inf, bare=True),
    "resistance": Quantity("resistance", OHM, OHM, (MILLIOHM, KILOHM, MEGOHM), 2.5, 2.5),
    "capacitance": Quantity("capacitance", MICROFARAD, MICROFARAD, (FARAD,), 40, 40),
    "torque": Quantity("torque", POUND_FOOT, NEWTON_METRE, (POUND_INCH,), 18, 24),
    "count": Quantity("count", PIECES, PIECES, (), 3, 3, bare=True, whole=True),
    "money": Quantity("sum of money", DOLLAR, DOLLAR, (), 38, 38, bare=True),
}
