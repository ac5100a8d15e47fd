"""From bore, stroke and speed to cylinders, reeds and chambers that can be turned.

Plates give neither port areas nor reeds. They follow from the bore and the speed by the rules below, which are
common practice, no source; `fitted` finds what is left by the plate's delivery and efficiency.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from simulator import air, flow
from simulator.cylinder.records import (
    CHAMBER,
    CHAMBER_COLUMNS,
    COLUMNS,
    COOLER,
    CYLINDER,
    DISCHARGE,
    INTAKE,
    REED,
    Array,
    Outside,
)

ROD_RATIO = 0.25  # a rod twice as long as the stroke
DISCHARGE_PORT_SHARE = 0.6  # discharge over intake port area: denser air needs less room
PORT_COEFFICIENT = 0.8  # of discharge of a port with its reed off the seat
LIFT_SHARE = 0.025  # a stop lets a reed rise by this share of the bore
INTAKE_BEATS = 9.0  # natural frequency of an intake reed over that of the crank
DISCHARGE_BEATS = 12.0
INTAKE_FULL_DROP = 2_500.0  # pressure drop that holds an intake reed at its stop [Pa]
DISCHARGE_FULL_DROP = 8_000.0
PRELOAD_SHARE = 0.05  # of the force that lifts a reed to its stop
DAMPING_RATIO = 0.1  # of a reed on an oil film
BARREL_SHARE = 0.6  # of the warmth of the head that the cylinder's wall has
FIRST_METAL_SHARE = (
    0.5  # guess of the metal's place between the room and the air delivered; the turns mend it
)
CLEAN_DROP = 300.0  # over a clean filter at the flow of full strokes [Pa]
CHAMBER_STROKES = 1.5  # intake chamber and filter housing over the volume swept in a turn from it


@dataclass(frozen=True)
class Throats:
    """What no plate gives; heat passages count over the heat capacity of the full stroke's flow."""

    port_share: float = 0.11  # intake port over piston area
    warming: float = 0.2  # heat passage from the head to the air in the intake chamber
    cooling: float = 2.0  # heat passage from the air in the discharge chamber to the head


@dataclass(frozen=True)
class Reeds:
    """State and leaks of one cylinder's reeds, rings and inner gasket; flow areas in m²."""

    ring_area: float = 0.0
    intake_leak_area: float = 0.0
    discharge_leak_area: float = 0.0
    gasket_area: float = 0.0
    intake_state: str = "ok"  # ok | broken_open | stuck_shut
    discharge_state: str = "ok"
    area_factor: float = 1.0


@dataclass(frozen=True)
class Bore:
    """One cylinder: its size, its place on the crank, its condition."""

    slug: str
    stage: int
    bore: float  # [m]
    stroke: float  # [m]
    clearance_ratio: float
    lead: float = 0.0  # [rad]
    full_flow: float = 0.0  # of strokes filled at the inlet's pressure and temperature [kg/s]
    shed: float = 1.0  # heat to the room for each kelvin [W/K]
    rubbing_heat: float = 0.0  # share of friction that warms this cylinder [W]
    wall_share: float = 1.0  # of the usual heat to the wall; 0 is an adiabatic cylinder
    throats: Throats = Throats()
    reeds: Reeds = Reeds()

    @property
    def piston_area(self) -> float:
        """Area of the piston. [m²]"""
        return flow.disc_area(self.bore)

    @property
    def swept_volume(self) -> float:
        """Volume swept in one stroke. [m³]"""
        return self.piston_area * self.stroke


@dataclass(frozen=True)
class Surroundings:
    """Room, filter, line and the chambers between; pressures absolute."""

    speed: float  # [rad/s]
    line_pressure: float  # [Pa]
    room_pressure: float = air.STANDARD_PRESSURE
    room_temperature: float = air.FREE_AIR_TEMPERATURE
    drop_coefficient: float = 0.0  # of the filter; 0 for CLEAN_DROP at the flow of full strokes [Pa·s²/kg²]
    approach: float = 18.0  # of the intercooled air above the room [K]
    head_volume: float = 0.0  # last discharge chamber with the head line; 0 for a stroke [m³]
    cooler_volume: float = 0.0  # 0 for four strokes of the second stage [m³]
    cooler_leak_area: float = 0.0  # [m²]
    first_head_leak_area: float = 0.0  # from the first discharge chamber to the room [m²]
    head_leak_area: float = 0.0  # from the last one [m²]
    crankcase_pressure: float = 0.0  # 0 for the room's [Pa]
    cooling_temperature: float = 0.0  # of the air round the heads; 0 for the room's [K]


@dataclass
class Machine:
    """Everything that is turned: records and states."""

    bores: tuple[Bore, ...]
    surroundings: Surroundings
    outside: Outside
    cylinders: Array
    reeds: Array
    chambers: Array
    metal: Array  # temperature of each cylinder's head [K]
    y: Array
    z: Array


def reed_record(bore: Bore, speed: float, *, intake: bool) -> Array:
    """Size one reed.

    Parameters
    ----------
    bore : Bore
        The cylinder.
    speed : float
        Of the crank. [rad/s]
    intake : bool
        Which of the two.

    Returns
    -------
    record
        See `simulator.cylinder.records.REED`.
    """
    one, condition = np.zeros((), REED), bore.reeds
    # The plate's figures fit a port; a fouled one is that much smaller, the reed on it stays what it was.
    port = bore.throats.port_share * bore.piston_area * (1.0 if intake else DISCHARGE_PORT_SHARE)
    stop = LIFT_SHARE * bore.bore
    full = INTAKE_FULL_DROP if intake else DISCHARGE_FULL_DROP
    natural = speed * (INTAKE_BEATS if intake else DISCHARGE_BEATS)
    stiffness = port * full / (stop * (1.0 + PRELOAD_SHARE))
    state = condition.intake_state if intake else condition.discharge_state
    one["port_area"] = port * condition.area_factor
    one["coefficient"] = PORT_COEFFICIENT
    one["stop_lift"] = stop
    one["stiffness"] = stiffness
    one["moving_mass"] = stiffness / natural**2
    one["preload"] = PRELOAD_SHARE * stiffness * stop
    one["damping"] = 2.0 * DAMPING_RATIO * stiffness / natural
    one["fixed_lift"] = {"ok": -1.0, "broken_open": stop, "stuck_shut": 0.0}[state]
    one["leak_area"] = condition.intake_leak_area if intake else condition.discharge_leak_area
    return one


def assemble(bores: Sequence[Bore], around: Surroundings) -> Machine:
    """Join cylinders and chambers, filled with air about as it will be.

    Parameters
    ----------
    bores : sequence of Bore
        The cylinders.
    around : Surroundings
        Room, line and chambers.

    Returns
    -------
    Machine
        Ready to be turned.
    """
    stages = max(bore.stage for bore in bores)
    warm = around.room_temperature
    squeezed = warm * max(around.line_pressure / around.room_pressure, 1.0) ** (0.2 / stages)
    cylinders = np.zeros(len(bores), CYLINDER)
    reeds = np.zeros((len(bores), 2), REED)
    metal = np.array(
        [warm + FIRST_METAL_SHARE * (squeezed - warm) + bore.rubbing_heat / bore.shed for bore in bores]
    )
    for place, bore in enumerate(bores):
        cylinders[place] = (
            bore.bore,
            bore.stroke / 2.0,
            ROD_RATIO,
            bore.clearance_ratio * bore.swept_volume,
            bore.lead,
            INTAKE if bore.stage == 1 else COOLER + 1,
            DISCHARGE if bore.stage == 1 else COOLER + 2,
            bore.reeds.ring_area,
            bore.reeds.gasket_area,
            warm + BARREL_SHARE * (metal[place] - warm),
            bore.wall_share,
        )
        for side, intake in enumerate((True, False)):
            reeds[place, side] = reed_record(bore, around.speed, intake=intake)
    chambers = _chambers(bores, around, stages)
    outside = _outside(bores, around, stages)
    z = _filled(chambers, bores, around, squeezed)
    y = np.zeros((len(bores), COLUMNS))
    for place, bore in enumerate(bores):
        chamber = int(cylinders[place]["intake_chamber"])
        gas = bore.clearance_ratio * bore.swept_volume
        y[place, 0] = gas * z[chamber, 0] / chambers[chamber]["volume"]
        y[place, 1] = gas * z[chamber, 1] / chambers[chamber]["volume"]
        # A crank that starts with its pistons down finds the cylinders full, not squeezed to the clearance.
        depth = (1.0 - math.cos(bore.lead)) / 2.0 / bore.clearance_ratio
        y[place, :2] *= 1.0 + depth
    return Machine(tuple(bores), around, outside, cylinders, reeds, chambers, metal, y, z)


def _outside(bores: Sequence[Bore], around: Surroundings, stages: int) -> Outside:
    first = sum(bore.throats.port_share * bore.piston_area for bore in bores if bore.stage == 1)
    full = sum(bore.full_flow for bore in bores if bore.stage == 1)
    last = sum(bore.throats.port_share * bore.piston_area for bore in bores if bore.stage == stages)
    return Outside(
        stages,
        around.speed,
        around.room_pressure,
        around.room_temperature,
        around.crankcase_pressure or around.room_pressure,
        around.drop_coefficient or CLEAN_DROP / full**2,
        around.line_pressure,
        2.0 * last,
        first,
        around.room_temperature + around.approach,
    )


def _chambers(bores: Sequence[Bore], around: Surroundings, stages: int) -> Array:
    swept = [sum(bore.swept_volume for bore in bores if bore.stage == stage) for stage in (1, 2)]
    chambers = np.zeros(2 if stages == 1 else 5, CHAMBER)
    chambers["wall_temperature"] = around.room_temperature
    chambers[INTAKE]["volume"] = CHAMBER_STROKES * swept[0]
    chambers[DISCHARGE]["volume"] = 0.5 * swept[0]
    chambers[DISCHARGE]["leak_area"] = around.first_head_leak_area
    if stages == 2:
        chambers[COOLER]["volume"] = around.cooler_volume or 4.0 * swept[1]
        chambers[COOLER]["leak_area"] = around.cooler_leak_area
        chambers[COOLER + 1]["volume"] = 0.5 * swept[1]
    chambers[-1]["volume"] = around.head_volume or swept[stages - 1]
    chambers[-1]["leak_area"] += around.head_leak_area
    for stage, place in ((1, INTAKE), (2, COOLER + 1))[:stages]:
        own = [bore for bore in bores if bore.stage == stage]
        chambers[place]["heat_passage"] = air.CP * sum(bore.throats.warming * bore.full_flow for bore in own)
        chambers[place + 1]["heat_passage"] = air.CP * sum(
            bore.throats.cooling * bore.full_flow for bore in own
        )
    return chambers


def _filled(chambers: Array, bores: Sequence[Bore], around: Surroundings, squeezed: float) -> Array:
    room, line, warm = around.room_pressure, around.line_pressure, around.room_temperature
    stages = 1 if len(chambers) == 2 else 2
    between = room
    if stages == 2:
        swept = [sum(bore.swept_volume for bore in bores if bore.stage == stage) for stage in (1, 2)]
        between = min(max(room * swept[0] / swept[1], room), max(line, room))
    air_in = [(room, warm), (line, squeezed)]
    if stages == 2:
        cooled = warm + around.approach
        air_in = [(room, warm), (between, squeezed), (between, cooled), (between, cooled), (line, squeezed)]
    z = np.zeros((len(chambers), CHAMBER_COLUMNS))
    for place, (pressure, temperature) in enumerate(air_in):
        z[place, 1] = pressure * chambers[place]["volume"] * air.CV / air.GAS_CONSTANT
        z[place, 0] = z[place, 1] / (air.CV * temperature)
    return z
