"""Checks on a machine locked out and opened: valves and cylinders on the bench, oil, the shell's wall.

What is seen or measured here is the machine's own parameters, with the spread of the eye or the instrument; none of
it can be had from a running machine.
"""

from simulator import instruments as seen
from simulator.checks.hand import Job
from simulator.checks.warmth import ZERO_CELSIUS

# What an eye, test liquid or low-pressure air can tell; common practice, no source.
TOUCHABLE = 60.0 + ZERO_CELSIUS  # a head may be worked on bare-handed [K]
COOLING_LIMIT = 5400.0  # [s]
VENTED = 30.0  # bleed cock open before the flywheel is turned [s]
SEEPS, PASSES = 1e-4, 0.03  # reverse leak of a check valve over its forward area [-]
WEEPS = 0.45  # leak of a valve's seat that test liquid shows [mm]
GASKET_TRACKED = 0.3  # leak across a gasket that leaves a track [mm]
CARBON_CHOKES = 0.78  # flow area left by carbon that is seen at once [-]
CARBON_FLAKES = 0.3  # bore left in a line whose carbon comes off in flakes [-]
SOUND_RINGS, DONE_RINGS = 0.5, 1.6  # leak past rings: a little worn from here, worn out [mm]
SCORED = 1.8  # friction of a bore that is scored [-]
PLAY, HEAVY_PLAY = 0.8, 1.6  # knock that a hand finds as play, and as much play [-]
LOW_OIL, HIGH_OIL = 0.8, 1.12  # of the mark [-]
EYE_ON_GLASS = 0.05  # [-]
MILKY = 0.7  # water in oil that clouds it [%]
DARKENS = 0.6  # cooling left at which oil cooks [-]
ULTRASONIC_ERROR = 0.1e-3  # of a thickness gauge on scraped plate [m]
HOLED = 0.08  # leak of the shell that has left its stain [mm]
NEAR_LIMIT = 0.3e-3  # of the retiring thickness [m]


def let_cool(job: Job) -> None:
    """Wait till the heads can be touched."""
    began = job.session.clock
    while job.now("head_temperature") > TOUCHABLE and job.session.clock < began + COOLING_LIMIT:
        job.session.run(300.0)
    job.charge += job.session.clock - began


def turn_by_hand(job: Job) -> str:
    """Vent the head line, then turn the flywheel by its rim."""
    session = job.session
    was_open = session.hands.head_vent_open
    session.operate("vent-head")
    session.run(VENTED)
    if not was_open:
        session.operate("shut-head-vent")
    physical = job.physical
    if physical["pump.locked"] == "yes":
        return "will-not-turn"
    if physical["drive.key_state"] == "loose":
        return "rocks-on-its-shaft"
    if any(_stuck(job, cylinder.slug) for cylinder in session.rig.pump.cylinders):
        return "stops-hard"
    if job.seen("pump.knock_level") > HEAVY_PLAY:
        return "clacks-over-centre"
    return "tight" if seen.pump_is_tight(physical) else "turns-freely"


def _stuck(job: Job, cylinder: str) -> bool:
    return job.in_cylinder("pump.discharge_valve_state", cylinder) == "stuck_shut"


def check_bench(job: Job) -> str:
    """Take the check valve out, look at it, put low-pressure air behind its seat under soap."""
    let_cool(job)
    state, leak = job.physical["check.state"], job.seen("check.reverse_ratio")
    if state == "missing":
        return "body-empty"
    if state == "reversed":
        return "arrow-wrong-way"
    if state == "stuck_shut":
        return "passes-neither-way"
    if leak > PASSES:
        return "passes-both-ways"
    if leak > SEEPS:
        return "bubbles-at-seat"
    return "tight-but-carbon" if _flakes(job) else "tight-one-way"


def _flakes(job: Job) -> bool:
    return (
        job.seen("pump.valve_area_factor") < CARBON_CHOKES or job.seen("headline.area_factor") < CARBON_FLAKES
    )


def _cylinder(job: Job) -> str:
    """Slug of the cylinder under the head that is opened."""
    pump = job.session.rig.pump
    return next(c.slug for c in pump.cylinders if f"head-{pump.head_of(c.slug)}" == job.place)


def valve_plate_bench(job: Job) -> str:
    """Lift the head, lay the valve plate on the bench, test liquid over each seat."""
    let_cool(job)
    cylinder = _cylinder(job)
    states = [str(job.in_cylinder(f"pump.{side}_valve_state", cylinder)) for side in ("intake", "discharge")]
    for side, state in zip(("intake", "discharge"), states, strict=True):
        if state == "broken_open":
            return f"{side}-valve-broken"
        if state == "stuck_shut":
            return f"{side}-port-covered"
    gaskets = [
        float(job.in_cylinder(f"pump.head_gasket_{side}_d_mm", cylinder)) for side in ("inner", "outer")
    ]
    if max(gaskets) > GASKET_TRACKED:
        return "gasket-tracked-across" if gaskets[0] >= gaskets[1] else "gasket-tracked-outwards"
    weeps = [
        float(job.in_cylinder(f"pump.{side}_valve_leak_d_mm", cylinder)) > WEEPS
        for side in ("intake", "discharge")
    ]
    if job.seen("pump.valve_area_factor") < CARBON_CHOKES:
        return "caked-with-carbon"
    return {
        (False, False): "both-hold",
        (True, False): "intake-weeps",
        (False, True): "discharge-weeps",
        (True, True): "both-weep",
    }[weeps[0], weeps[1]]


def cylinder_inspect(job: Job) -> str:
    """Head off: bore, crown, rock of the piston on its rings or seal, play of the rod."""
    let_cool(job)
    cylinder = _cylinder(job)
    if job.physical["pump.locked"] == "yes":
        return "seized-in-bore"
    if "broken_open" in (job.in_cylinder(f"pump.{s}_valve_state", cylinder) for s in ("intake", "discharge")):
        return "pieces-on-crown"
    if job.seen("pump.friction_factor") > SCORED and job.seen("pump.knock_level") < PLAY:
        return "bore-scored"
    leak = float(job.in_cylinder("pump.ring_leak_d_mm", cylinder))
    if leak > SOUND_RINGS:
        return "rings-done" if leak > DONE_RINGS else "rings-worn"
    return "rod-has-play" if job.seen("pump.knock_level") > PLAY else "bore-and-rings-good"


def oil_level(job: Job) -> str:
    """Stop it, let the oil run down, read glass or dipstick."""
    session = job.session
    if session.hands.lever_on:
        session.operate("stop")
    session.run_until("stopped", 60.0)
    level = job.instruments.eye(job.seen("lube.level_fraction"), EYE_ON_GLASS)
    if level < LOW_OIL:
        return "below-mark"
    return "above-mark" if level > HIGH_OIL else "at-mark"


def oil_condition(job: Job) -> str:
    """Draw a sample: a drop on white paper, rubbed and smelt, and a jar left to settle."""
    grade = job.physical["lube.grade"]
    if job.seen("lube.water_pct") > MILKY:
        return "milky"
    if job.seen("pump.knock_level") > PLAY:
        return "glitters"
    if grade != "ok":
        return {"detergent": "engine-oil", "thin": "thin", "thick": "thick"}[str(grade)]
    cooked = (
        job.seen("cooling.surface_factor") < DARKENS or job.seen("pump.valve_area_factor") < CARBON_CHOKES
    )
    return "dark-and-burnt" if cooked else "clean"


def tank_survey(job: Job) -> str:
    """Scrape and look inch by inch, borescope through the plug, thickness at bottom, ends and welds."""
    receiver = job.session.rig.receiver
    wall = job.instruments.eye(job.seen("receiver.wall_mm") / 1000.0, ULTRASONIC_ERROR)
    job.note("thinnest", "Thinnest place", wall, "small_length")
    job.note("new", "When new, by the data sheet", receiver.wall_new, "small_length")
    job.note("retire", "Retiring thickness of the data sheet", receiver.wall_retire, "small_length")
    if seen.shell_is_patched(job.physical):
        return "patched"
    if job.seen("receiver.leak_d_mm") > HOLED:
        return "holed"
    if wall < receiver.wall_retire:
        return "below-retiring-thickness"
    return "near-retiring-thickness" if wall < receiver.wall_retire + NEAR_LIMIT else "sound"
