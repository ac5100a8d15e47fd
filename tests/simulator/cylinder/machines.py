"""Cylinders for the tests: one that loses nothing, and those of the rigs."""

import math
from dataclasses import replace

from simulator import air
from simulator.cylinder.build import Bore, Reeds, Surroundings, Throats, assemble
from simulator.cylinder.card import settle

ROOM = air.STANDARD_PRESSURE
WARM = air.FREE_AIR_TEMPERATURE
TURNS = 1000.0 * math.pi / 30.0  # [rad/s]


def bore(**changed):
    """A middling cylinder, 70 mm by 50 mm, with clearance 6 %."""
    plain = Bore(
        slug="cyl1",
        stage=1,
        bore=0.07,
        stroke=0.05,
        clearance_ratio=0.06,
        shed=3.5,
        rubbing_heat=40.0,
        reeds=Reeds(ring_area=4e-8, intake_leak_area=6e-9, discharge_leak_area=6e-9),
    )
    full = air.density(ROOM, WARM) * plain.swept_volume * TURNS / (2.0 * math.pi)
    return replace(plain, full_flow=full, **changed)


def lossless(**changed):
    """One of no leaks, no heat to anything and wide, quick valves."""
    return bore(
        wall_share=0.0,
        rubbing_heat=0.0,
        throats=Throats(port_share=0.25, warming=0.0, cooling=0.0),
        reeds=Reeds(),
        **changed,
    )


def turned(one, ratio, *, speed=TURNS, **around):
    """The settled card of one cylinder against a pressure ratio."""
    return settled([one], ratio, speed=speed, **around).cards[0]


def settled(bores, ratio, *, speed=TURNS, tolerance=1e-5, **around):
    place = Surroundings(speed=speed, line_pressure=ROOM * ratio, **around)
    return settle(assemble(bores, place), tolerance=tolerance)
