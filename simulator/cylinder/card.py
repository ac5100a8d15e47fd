"""Turn a machine until one turn is like the last, and read the indicator card and its figures."""

import math
from dataclasses import dataclass

import numpy as np

from simulator import air
from simulator.cylinder import laws, records, turning
from simulator.cylinder.build import BARREL_SHARE, Machine
from simulator.cylinder.records import Array

TOLERANCE = 1e-5  # of a step in every mass and energy
ROWS = 720  # of a recorded turn
ALIKE = (
    5e-4  # change of every space's air from turn to turn that counts as none, over the air passed in a turn
)
METAL_ALIKE = 0.1  # what the metal's temperature may miss of its balance [K]
# How much the metal's balance changes for each kelvin of its own: one for what it sheds, the rest for what it then
# takes from the gas. Where the last two turns tell nothing, the first figure is taken; the others are its bounds.
METAL_ANSWER = 2.5
LEAST_ANSWER, MOST_ANSWER = 1.05, 8.0
PATIENCE = 200  # turns after which reeds that beat on without order are taken as they are
MEAN_TURNS = 16  # whose mean is then taken
MOST_UNREST = 0.02  # of the kind of `ALIKE` that this may stand for
FEWEST_TURNS = 4


class NotPeriodic(ArithmeticError):
    """The turns of a machine did not settle."""


@dataclass(frozen=True)
class Card:
    """One cylinder over a settled turn, and what it makes of it; flows are means in kg/s."""

    slug: str
    stage: int
    swept_volume: float  # [m³]
    angle: Array  # of the crank from this cylinder's top dead centre [rad]
    volume: Array  # [m³]
    pressure: Array  # absolute [Pa]
    temperature: Array  # [K]
    intake_lift: Array  # share of the stop
    discharge_lift: Array
    indicated_power: float  # [W]
    heat_to_wall: float  # [W]
    drawn: float  # net through the intake side
    delivered: float  # net through the discharge side
    blow_back: float  # out through the intake side
    intake_leak: float  # of it, what passed a leaking reed
    fallen_back: float  # in through the discharge side
    discharge_leak: float
    ring_leak: float  # to the crankcase, net
    gasket_flow: float
    metal_temperature: float  # of the head [K]
    discharge_temperature: float  # of the air that leaves forward, mean over its mass [K]
    intake_pressure: float  # mean of the chamber it draws from [Pa]
    intake_temperature: float  # [K]
    outlet_temperature: float  # of the chamber it delivers to [K]
    discharge_pressure: float  # mean of the chamber it delivers to [Pa]
    mass_error: float  # what the balance of the last turn misses, over the air passed
    energy_error: float  # what the balance of the last turn misses, over the work

    @property
    def mean_effective_pressure(self) -> float:
        """Indicated work of a turn over swept volume, for a turn of the recorded length. [Pa]"""
        closed = np.append(self.volume, self.volume[0]), np.append(self.pressure, self.pressure[0])
        return float(-np.trapezoid(closed[1], closed[0])) / self.swept_volume


@dataclass(frozen=True)
class Settled:
    """A machine in its settled turn."""

    cards: tuple[Card, ...]
    speed: float  # [rad/s]
    turns: int  # it took to settle
    steps: int  # of the last turn
    unrest: float  # change of any space's air from turn to turn over the air passed in a turn
    drawn_from_room: float  # through the filter [kg/s]
    delivered: float  # by the last stage, gasket and leaks at the head taken off [kg/s]
    chamber_pressure: Array  # absolute, shape (rows, chambers) [Pa]
    mean_pressure: tuple[float, ...]  # of the chambers [Pa]
    interstage_pressure: float  # mean in the intercooler; the room's on one stage [Pa]
    interstage_swing: float  # peak to peak [Pa]

    @property
    def indicated_power(self) -> float:
        """Of all cylinders. [W]"""
        return sum(card.indicated_power for card in self.cards)

    def card(self, slug: str) -> Card:
        """Card of one cylinder."""
        return next(card for card in self.cards if card.slug == slug)


def settle(machine: Machine, *, tolerance: float = TOLERANCE, alike: float = ALIKE) -> Settled:
    """Turn until the turns are alike.

    Parameters
    ----------
    machine : Machine
        Its states are changed.
    tolerance : float
        Of a step, relative. [-]
    alike : float
        Change of every space's air that counts as none, over the air passed in a turn. [-]

    Returns
    -------
    Settled
        Cards and figures.

    Raises
    ------
    NotPeriodic
        When the turns stay unlike, or the machine cannot be.
    """
    traces = np.empty((ROWS, *machine.y.shape)), np.empty((ROWS, *machine.z.shape))
    past: list[Array] = []
    metal, unrest = Metal(machine), math.inf
    for number in range(1, PATIENCE + 1):
        steps = _turn(machine, tolerance, traces)
        now = np.concatenate([machine.y[:, 0], machine.z[:, 0]])
        moved = machine.y[:, [records.DRAWN, records.DELIVERED, records.FALLEN_BACK]]
        passed = float(np.max(moved)) + 1e-12
        # A reed may beat otherwise in every second turn: the last turn or the one before must be like this one.
        unrest = min((float(np.max(np.abs(now - then))) / passed for then in past), default=math.inf)
        if number >= FEWEST_TURNS and unrest < alike and metal.missing(machine) < METAL_ALIKE:
            return _read(machine, traces, (number, steps, unrest), _gaps(machine, traces))
        metal.follow(machine)
        past = [*past[-1:], now]
    if unrest > MOST_UNREST:
        raise NotPeriodic(f"The turns are not alike after {PATIENCE} of them.")
    steps, gaps = _mean_turn(machine, tolerance, traces)
    return _read(machine, traces, (PATIENCE + MEAN_TURNS, steps, unrest), gaps)


def _turn(machine: Machine, tolerance: float, traces: tuple[Array, Array]) -> int:
    steps = turning.turn(
        machine.cylinders,
        machine.reeds,
        machine.chambers,
        machine.outside,
        machine.y,
        machine.z,
        tolerance,
        *traces,
    )
    spaces = np.concatenate([machine.y[:, 0], machine.z[:, 0]])
    if not np.all(np.isfinite(spaces)) or np.any(spaces <= 0.0):
        raise NotPeriodic("The air of a cylinder or chamber ran out of bounds; the machine cannot be.")
    return steps


def _gaps(machine: Machine, traces: tuple[Array, Array]) -> Array:
    """What the balances of the last turn miss: air over the air passed and energy over the work, (cylinders, 2)."""
    start, sums = traces[0][0], machine.y
    passed = np.max(sums[:, [records.DRAWN, records.DELIVERED, records.FALLEN_BACK]], axis=1)
    held = sums[:, records.DRAWN] - sums[:, records.BLOWN_BACK] - sums[:, records.RING]
    held += sums[:, records.FALLEN_BACK] - sums[:, records.DELIVERED]
    gained = sums[:, records.ENTHALPY] - sums[:, records.HEAT] + sums[:, records.WORK]
    mass = np.abs(sums[:, records.MASS] - start[:, records.MASS] - held) / (passed + 1e-15)
    energy = np.abs(sums[:, records.ENERGY] - start[:, records.ENERGY] - gained)
    return np.stack([mass, energy / (np.abs(sums[:, records.WORK]) + 1e-9)], axis=1)


def _mean_turn(machine: Machine, tolerance: float, traces: tuple[Array, Array]) -> tuple[int, Array]:
    """Give the sums their mean over several turns, for reeds that never beat alike."""
    y, z = np.zeros_like(machine.y), np.zeros_like(machine.z)
    steps = 0
    for _ in range(MEAN_TURNS):
        steps = _turn(machine, tolerance, traces)
        y += machine.y / MEAN_TURNS
        z += machine.z / MEAN_TURNS
    gaps = _gaps(machine, traces)
    machine.y[:, records.SUMS :] = y[:, records.SUMS :]
    machine.z[:, records.CHAMBER_SUMS :] = z[:, records.CHAMBER_SUMS :]
    return steps, gaps


class Metal:
    """The metal of each cylinder and its head, which goes to where it sheds what it takes up from the gas."""

    def __init__(self, machine: Machine) -> None:
        self._last: tuple[Array, Array] | None = None
        self._room = machine.surroundings.cooling_temperature or machine.surroundings.room_temperature

    def _gaps(self, machine: Machine) -> Array:
        """Kelvins by which each metal would have to be warmer to shed what it takes up."""
        rate = machine.outside.speed / (2.0 * math.pi)
        chambers = machine.cylinders["intake_chamber"]
        warmed = machine.z[chambers, 3] + machine.z[chambers + 1, 3]
        sharing = np.array([np.count_nonzero(chambers == chamber) for chamber in chambers])
        shed = np.array([bore.shed for bore in machine.bores])
        rubbed = np.array([bore.rubbing_heat for bore in machine.bores])
        taken = (machine.y[:, records.HEAT] - warmed / sharing) * rate + rubbed
        return np.asarray(taken / shed - (machine.metal - self._room))

    def missing(self, machine: Machine) -> float:
        """Largest of the gaps. [K]"""
        return float(np.max(np.abs(self._gaps(machine))))

    def follow(self, machine: Machine) -> None:
        """Step towards the balance, by the secant of the last two turns."""
        gaps, metal = self._gaps(machine), machine.metal.copy()
        answer = np.full(len(gaps), METAL_ANSWER)
        if self._last is not None:
            moved = metal - self._last[0]
            told = np.abs(moved) > 1e-3
            answer[told] = np.clip((self._last[1] - gaps)[told] / moved[told], LEAST_ANSWER, MOST_ANSWER)
        machine.metal = metal + gaps / answer
        machine.cylinders["wall_temperature"] = self._room + BARREL_SHARE * (machine.metal - self._room)
        self._last = metal, gaps
        for chamber in set(machine.cylinders["intake_chamber"].tolist()):
            own = machine.cylinders["intake_chamber"] == chamber
            mean = float(np.mean(machine.metal[own]))
            machine.chambers["wall_temperature"][[chamber, chamber + 1]] = mean


def _read(
    machine: Machine, traces: tuple[Array, Array], effort: tuple[int, int, float], gaps: Array
) -> Settled:
    y_trace, z_trace = traces
    volumes = machine.chambers["volume"]
    pressures = (air.GAMMA - 1.0) * z_trace[:, :, 1] / volumes
    means = tuple(float(p) for p in pressures.mean(axis=0))
    temperatures = (z_trace[:, :, 1] / (air.CV * z_trace[:, :, 0])).mean(axis=0)
    cards = tuple(
        _card(machine, place, y_trace, (means, temperatures), gaps[place])
        for place in range(len(machine.cylinders))
    )
    rate = machine.outside.speed / (2.0 * math.pi)
    stages = machine.outside.stages
    last = [card for card in cards if card.stage == stages]
    two = stages == 2
    return Settled(
        cards,
        machine.outside.speed,
        *effort,
        float(machine.z[records.INTAKE, 2]) * rate,
        sum(card.delivered - card.gasket_flow for card in last),
        pressures,
        means,
        means[records.COOLER] if two else machine.surroundings.room_pressure,
        float(np.ptp(pressures[:, records.COOLER])) if two else 0.0,
    )


def _card(
    machine: Machine, place: int, y_trace: Array, chambers: tuple[tuple[float, ...], Array], gaps: Array
) -> Card:
    means, temperatures = chambers
    bore, cylinder, sums = machine.bores[place], machine.cylinders[place], machine.y[place]
    angle = 2.0 * math.pi * np.arange(ROWS) / ROWS
    travel = np.array(
        [laws.piston_travel(a + bore.lead, bore.stroke / 2.0, cylinder["rod_ratio"])[0] for a in angle]
    )
    own = y_trace[:, place]
    volume = cylinder["clearance_volume"] + bore.piston_area * travel
    order = np.argsort((angle + bore.lead) % (2.0 * math.pi), kind="stable")
    stop = machine.reeds[place]["stop_lift"]
    rate = machine.outside.speed / (2.0 * math.pi)
    drawn = sums[records.DRAWN] - sums[records.BLOWN_BACK]
    delivered = sums[records.DELIVERED] - sums[records.FALLEN_BACK]
    a, b = int(cylinder["intake_chamber"]), int(cylinder["discharge_chamber"])
    return Card(
        bore.slug,
        bore.stage,
        bore.swept_volume,
        ((angle + bore.lead) % (2.0 * math.pi))[order],
        volume[order],
        ((air.GAMMA - 1.0) * own[:, 1] / volume)[order],
        (own[:, 1] / (air.CV * own[:, 0]))[order],
        (own[:, records.INTAKE_LIFT] / stop[0])[order],
        (own[:, records.DISCHARGE_LIFT] / stop[1])[order],
        float(sums[records.WORK]) * rate,
        float(sums[records.HEAT]) * rate,
        float(drawn) * rate,
        float(delivered) * rate,
        float(sums[records.BLOWN_BACK]) * rate,
        float(sums[records.INTAKE_LEAK]) * rate,
        float(sums[records.FALLEN_BACK]) * rate,
        float(sums[records.DISCHARGE_LEAK]) * rate,
        float(sums[records.RING]) * rate,
        float(sums[records.GASKET]) * rate,
        float(machine.metal[place]),
        float(sums[records.HOT] / max(sums[records.DELIVERED], 1e-15)),
        means[a],
        float(temperatures[a]),
        float(temperatures[b]),
        means[b],
        float(gaps[0]),
        float(gaps[1]),
    )
