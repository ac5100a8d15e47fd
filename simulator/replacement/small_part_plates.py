"""The lines that gauges, drains, regulators, filters, tubes and breathers are read by, and those of their places."""

from __future__ import annotations

from simulator.replacement import part_reading as read
from simulator.replacement.part_reading import Asked, lines_of

_THREAD = Asked("thread", "thread", "Take a thread gauge to it.", ("connection", "size"), (), read.thread)
_MAWP = Asked("mawp", "highest pressure allowed in the vessel", "Look for MAWP or PS on the vessel's plate.", ("ps",), (), read.pressure)  # fmt: skip
_RELIEF = Asked("relief", "set pressure of the relief", "Look at the relief's tag.", ("relief set",), (), read.pressure)  # fmt: skip
_PRESSURE = Asked("pressure", "highest pressure", "Look for MAX PSI, BAR or PN on the body.", ("max pressure", "rating"), (), read.pressure)  # fmt: skip
_TEMPERATURE = Asked("temperature", "highest temperature", "In the maker's sheet or printed on it.", ("temp", "max temp"), (), read.temperature)  # fmt: skip
_AIR_TEMPERATURE = Asked("temperature", "air temperature there", "Thermometer on the fitting while pumping at cut-out.", ("temp",), (), read.temperature)  # fmt: skip
_MATERIAL = Asked("material", "material", "Look at it: metal or plastic, and what is printed on it.", (), (), read.words("material", "material"))  # fmt: skip
_BORE = Asked("bore", "bore", "Measure the narrowest way through.", ("inside diameter", "id", "way"), (), read.length)  # fmt: skip

PART_LINES = {
    "gauge": lines_of(
        Asked("range", "scale", "Look at the ends of the scale.", ("scale",), (), read.pressures),
        Asked("mount", "where it is connected", "Look whether the stem is at the bottom or the back.", ("stem",), (), read.words("mount", "way to connect a gauge")),
        _THREAD,
    ),
    "drain": lines_of(
        Asked("opening", "kind", "Look how it is opened.", ("kind", "type"), (), read.words("opening", "kind of drain")),
        _BORE,
        _PRESSURE,
        _MATERIAL,
        _THREAD,
    ),
    "regulator": lines_of(
        Asked("inlet pressure", "highest inlet pressure", "Look for MAX INLET on the body.", ("max inlet", "supply pressure"), (), read.pressure),
        Asked("range", "range of the outlet", "Look for OUTLET or RANGE on the body.", ("outlet",), (), read.pressures),
        Asked("flow", "rated flow", "In the maker's sheet, with the droop it is given for.", ("rated flow",), (), read.flow),
        Asked("droop", "droop at that flow", "In the maker's sheet.", ("fall",), (), read.pressure_step),
        _THREAD,
    ),
    "filter": lines_of(
        Asked("flow", "rated flow", "In the maker's sheet or on the element.", ("rated flow",), (), read.flow),
        Asked("guard", "guard round a clear bowl", "Look whether the bowl is metal or has a metal guard.", ("bowl guard",), (), read.words("yes_no", "yes or no")),
        _PRESSURE,
        _TEMPERATURE,
        _THREAD,
    ),
    "tube": lines_of(
        _MATERIAL,
        Asked("outside", "outside diameter", "Caliper on the tube.", ("od", "outside diameter"), (), read.length),
        _BORE,
        _PRESSURE,
        _TEMPERATURE,
    ),
    "breather": lines_of(
        Asked("kind", "kind", "Look whether air passes at all.", ("type",), (), read.words("breather_kind", "kind of breather")),
        Asked("valve", "valve in it", "Shake it or look through: a disc lets air out only.", ("check disc", "valved"), (), read.words("yes_no", "yes or no")),
        _BORE,
        _THREAD,
    ),
}  # fmt: skip

PLACE_LINES = {
    "gauge": lines_of(
        Asked("working", "working pressure", "Cut-out by the machine's plate; the usual pressure for a line.", ("cut-out", "cut out", "normal"), (), read.pressure),
        Asked("mount", "where it is connected", "Look at the port and where one stands.", ("stem",), (), read.words("mount", "way to connect a gauge")),
        _RELIEF,
        _THREAD,
    ),
    "drain": lines_of(_MAWP, _THREAD),
    "regulator": lines_of(
        Asked("wanted", "pressure wanted", "On the tool's plate.", ("outlet", "set"), (), read.pressure),
        Asked("flow", "flow wanted", "Add up the tools in use at once.", ("demand",), (), read.flow),
        Asked("droop", "fall that the tools bear", "On the tool's plate: least pressure while running.", ("fall",), (), read.pressure_step),
        _RELIEF,
        _THREAD,
    ),
    "filter": lines_of(
        Asked("place", "where it sits", "At the pump's intake or in the shop line.", ("where",), (), read.words("place", "place of a filter")),
        Asked("flow", "flow that it must pass", "The displacement at the intake; what is drawn in a line.", ("displacement", "demand"), (), read.flow),
        _RELIEF,
        _AIR_TEMPERATURE,
        _THREAD,
    ),
    "tube": lines_of(
        Asked("outside", "outside diameter that the fittings take", "Caliper on the old tube.", ("od", "outside diameter"), (), read.length),
        _BORE,
        _RELIEF,
        _AIR_TEMPERATURE,
    ),
    "breather": lines_of(
        Asked("valve", "valve in the old one", "Shake it or look through.", ("check disc", "valved"), (), read.words("yes_no", "yes or no")),
        _BORE,
        _THREAD,
    ),
}  # fmt: skip

TITLES = {
    "gauge": "Pressure gauge",
    "drain": "Receiver drain",
    "regulator": "Regulator",
    "filter": "Filter",
    "tube": "Tube",
    "breather": "Crankcase breather",
}
