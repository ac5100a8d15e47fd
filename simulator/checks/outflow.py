"""Checks on what leaves the receiver: water at the drain, the regulator, hoses and the shop's line."""

from simulator.checks import senses
from simulator.checks.hand import (
    Job,
    get_pumping,
    known_good,
    need_power,
    no_tool_in_use,
    put_back_outlet,
    shut_outlet,
    wait_for_pressure,
)
from simulator.checks.spread import PSI
from simulator.checks.words import CannotTake

# Limits of a judgement; common practice, no source.
CUPFUL = 0.5  # [kg]
OILY = 2.5  # oil carried over against a sound machine: it floats on the water caught [-]
DRAIN_CRACKED = 3.0  # [s]
CHARGED = 20.0  # outlet open before the line is read [s]
TRIGGER_HELD = 12.0  # [s]
DROOPS, STARVES = 3.0 * PSI, 25.0 * PSI  # at the tool, beyond the droop of a sound machine [Pa]
LOW_AT_REST = 8.0 * PSI  # at the tool with nothing flowing, below a sound machine's [Pa]
CREPT = 4.0 * PSI  # in three minutes without flow [Pa]
FELL = 6.0 * PSI  # likewise [Pa]
NO_FLOW_WATCHED = 180.0  # [s]
BONNET_HEARD = 1.0  # [L/min]
TIGHT_LINE, BAD_LINE = 2.0, 60.0  # leaks found along the shop line [L/min]
SIZED_WITHIN = 0.15  # a leak's size by its sound [-]


def drain_water(job: Job) -> str:
    """Crack the drain and catch the water."""
    if job.now("receiver_gauge_pressure") < PSI:
        return "nothing-comes"
    session = job.session
    before = job.now("receiver_water")
    was_open = session.hands.drain_open
    if not was_open:
        session.operate("open-drain")
    session.run(DRAIN_CRACKED)
    if not was_open:
        session.operate("shut-drain")
    caught = max(before - job.now("receiver_water"), 0.0)
    job.note("water", "Water caught", caught / 1000.0, "water_volume")
    if caught > CUPFUL:
        return "litres"
    return "cupful-with-oil" if job.seen("lube.carryover_factor") > OILY else "cupful"


def _enough_for_the_regulator(job: Job) -> None:
    """Have so much in the receiver that the regulator has something to regulate."""
    wanted = job.session.rig.outlet.regulator_set + 15.0 * PSI
    if job.now("receiver_gauge_pressure") >= wanted:
        return
    need_power(job.session)
    shut_outlet(job)
    if get_pumping(job) == "pumping":
        wait_for_pressure(job, wanted)
    if job.now("receiver_gauge_pressure") < wanted:
        raise CannotTake("There is too little pressure before the regulator. Get the receiver up first.")


def regulator_flow(job: Job) -> str:
    """Read the gauge at the tool at rest, then with the trigger held."""
    _enough_for_the_regulator(job)
    at_rest, held = _read_at_tool(job)
    at_rest = job.note("at_rest", "At the tool, no flow", job.instruments.dial(at_rest), "gauge_pressure")
    held = job.note("held", "At the tool, trigger held", job.instruments.dial(held), "gauge_pressure")
    good_at_rest, good_held = _sheet(job)
    job.note("sheet", "Trigger held, when it was known good", good_held, "gauge_pressure")
    if at_rest < good_at_rest - LOW_AT_REST:
        return "low-at-rest"
    # A leak lowers both readings, a seat that creeps raises the first: only what does both is a restriction.
    short = min((at_rest - held) - (good_at_rest - good_held), good_held - held)
    if short > STARVES:
        return "starves"
    return "droops" if short > DROOPS else "holds"


def _read_at_tool(job: Job) -> tuple[float, float]:
    """Pressure at the tool at rest and with the trigger held; everything is left as it was. [Pa]"""
    session = job.session
    was_open = session.hands.outlet_open
    if not was_open:
        session.operate("open-outlet")
    with no_tool_in_use(session):
        session.run(CHARGED)
        at_rest = job.now("tool_gauge_pressure")
        session.operate("hold-trigger")
        session.run(TRIGGER_HELD)
        held = job.now("tool_gauge_pressure")
        session.operate("release-trigger")
    put_back_outlet(job, was_open)
    return at_rest, held


_sheets: dict[str, tuple[float, float]] = {}


def _sheet(job: Job) -> tuple[float, float]:
    """Both readings, taken in this way when the machine was known good. [Pa]"""
    key = repr(job.session.rig)
    if key not in _sheets:
        good = known_good(job.session.rig, job.check)
        _enough_for_the_regulator(good)
        _sheets[key] = _read_at_tool(good)
    return _sheets[key]


def regulator_creep(job: Job) -> str:
    """Charge the regulated side, let nothing flow, watch its gauge for three minutes."""
    _enough_for_the_regulator(job)
    session = job.session
    was_open = session.hands.outlet_open
    if not was_open:
        session.operate("open-outlet")
    with no_tool_in_use(session):
        session.run(CHARGED)
        first = job.instruments.dial(job.now("regulated_gauge_pressure"))
        job.note("first", "Regulated side, at first", first, "gauge_pressure")
        session.run(NO_FLOW_WATCHED)
    last = job.instruments.dial(job.now("regulated_gauge_pressure"))
    job.note("last", "Three minutes later", last, "gauge_pressure")
    hisses = job.air_at("lp-regulator-bonnet", session.clock - 10.0) > BONNET_HEARD
    put_back_outlet(job, was_open)
    if hisses:
        return "creeps-and-vents"
    if last - first > CREPT:
        return "creeps"
    return "falls" if first - last > FELL else "stands-still"


def downstream_survey(job: Job) -> str:
    """Shut one leg after the other and go along each with the detector."""
    if job.now("receiver_gauge_pressure") < senses.WORTH_A_SURVEY:
        raise CannotTake("There is too little pressure in the line to survey it. Pump up first.")
    session = job.session
    was_open = session.hands.outlet_open
    if not was_open:
        session.operate("open-outlet")
    session.run(CHARGED)
    air = job.air_at("lp-outlet", session.clock - CHARGED / 2.0)
    put_back_outlet(job, was_open)
    sized = max(job.instruments.eye(air, SIZED_WITHIN * air), 0.0)
    job.note("leaks", "All leaks found, free air", sized / 60_000.0, "air_flow")
    if sized < TIGHT_LINE:
        return "tight"
    return "many-and-large" if sized > BAD_LINE else "a-few-small"
