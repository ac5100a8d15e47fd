"""The lines that gauges, drains, regulators, filters, tubes and breathers are read by, and those of their places."""

from __future__ import annotations

from simulator.replacement.part_lines import part_lines

TITLES = {
    "gauge": "Pressure gauge",
    "drain": "Receiver drain",
    "regulator": "Regulator",
    "filter": "Filter",
    "tube": "Tube",
    "breather": "Crankcase breather",
}
PART_LINES = {kind: part_lines(kind, "part") for kind in TITLES}
PLACE_LINES = {kind: part_lines(kind, "place") for kind in TITLES}
