"""Checks by paper strip, soap and bleed cock."""

from simulator import air, flow
from simulator import instruments as seen
from simulator.checks import senses
from simulator.checks.hand import (
    Job,
    Started,
    get_pumping,
    is_pumping,
    let_it_stop,
    need_power,
    piloted,
    put_back_outlet,
    stop_by_lever,
)
from simulator.checks.listening import VENT_WITHIN, feed_shop_line, pump_for_a_while
from simulator.checks.spread import PSI
from simulator.checks.words import CannotTake
from simulator.pumping import pumping

HEAD_SIDE = (
    "lp-head-joint", "lp-head-line", "lp-check-body", "lp-unloader-tube", "lp-intercooler", "lp-interstage-relief",
    "lp-head-line-relief",
)  # fmt: skip
SOAPED = 30.0  # watched [s]
UNDER_PRESSURE = 10.0 * PSI  # least that makes a leak show [Pa]
WEAK_DRAW_SHARE = 0.6  # of what the pump should take in [-]; common practice, no source
SIGHS = 5.0 * PSI  # head pressure that is heard to leave the cock [Pa]
TUBE_BORE = 4.5e-3  # of quarter-inch copper tube [m]; common practice, no source
TUBE_LEFT = 0.35  # bore left in a tube through which the cock still sighs as it should [-]
COCK_OPEN = 20.0  # held open [s]
CHOKED_CASE = 15.0  # crankcase pressure with sound rings, a sixteenth of an inch of water [Pa]
SEAL_WEEPS = 100.0  # crankcase pressure that pushes oil past the seal, hour by hour [Pa]


def unloader_feel(job: Job) -> str:
    """Watch the strip where the machine vents: pumping, at the stop, two minutes after."""
    need_power(job.session)
    began = pump_for_a_while(job)
    if isinstance(began, str):
        return "never-ran"
    pumping = job.air_at(job.place, began, began + 5.0)
    stopped = let_it_stop(job)
    job.session.run(120.0)
    puff = job.peak_air(job.place, stopped, stopped + VENT_WITHIN)
    late = job.air_at(job.place, job.session.clock - 10.0)
    stirs = senses.PAPER_STIRS
    if pumping > stirs:
        return "blows-always" if late > stirs else "blows-while-pumping"
    if late > stirs:
        idles = piloted(job.session) and job.session.running
        return "blows-while-idling" if idles else "keeps-blowing"
    if puff < stirs:
        return "never-stirs"
    return "stirs-weakly" if puff < senses.FEEBLE else "puff-at-stop"


def intake_feel(job: Job) -> str:
    """Watch the strip at a filter while it pumps and at the stop."""
    need_power(job.session)
    began = pump_for_a_while(job)
    if isinstance(began, str):
        return "never-ran"
    outward, inward = _through_filter(job, began)
    expected = job.from_sheet("free_air_L_min", job.mean("receiver_gauge_pressure", began))
    share = inward * job.session.rig.pump.filters / expected
    stop_by_lever(job)
    job.session.run(3.0)
    if job.air_at("lp-intake", job.session.clock - 3.0) > senses.PAPER_STIRS:
        return "breathes-on-after-stop"
    if outward > senses.BLAST:
        return "blasts-in-and-out"
    if outward > senses.PAPER_STIRS:
        return "kicks-outward"
    return "draws-weakly" if share < WEAK_DRAW_SHARE else "draws-in"


def _through_filter(job: Job, began: float) -> tuple[float, float]:
    """Air blown out of and drawn in through one filter; where there are two, each serves one cylinder. [L/min]"""
    if job.session.rig.pump.filters == 1:
        return job.air_at("lp-intake", began), senses.litres_per_minute(job.mean("intake_flow", began))
    session = job.session
    pumped = pumping(session.snapshot.state, session.hands.positions(), session.parameters)
    cylinder = pumped.first_2 if job.place == "lp-intake-2" else pumped.first_1
    return senses.litres_per_minute(cylinder.blow_back), senses.litres_per_minute(cylinder.taken_in)


def breather_feel(job: Job) -> str:
    """Watch the strip at the breather, or at the crank seal, while it pumps."""
    need_power(job.session)
    began = pump_for_a_while(job)
    if isinstance(began, str):
        return "never-ran"
    if job.place == "lp-crank-seal":
        return "oil-creeps-out" if job.mean("crankcase_gauge_pressure", began) > SEAL_WEEPS else "dry"
    air = job.air_at("lp-breather", began)
    if air > senses.puffs(job.session.rig):
        return "strong-puffs"
    # A case that cannot breathe holds its pressure from stroke to stroke: what leaves it no longer flutters.
    choked = job.mean("crankcase_gauge_pressure", began) > CHOKED_CASE
    return "no-puff" if choked or air < senses.FLUTTER else "light-flutter"


def soap(job: Job) -> str:
    """Brush soap on one place; on the head side with the machine pumping, if it has power."""
    session = job.session
    was_open = session.hands.outlet_open
    has_power = not (session.hands.isolated or session.hands.locked)
    if job.place in HEAD_SIDE and has_power:
        pump_for_a_while(job)
    elif job.place == "lp-outlet":
        feed_shop_line(job)
    elif max(job.now("receiver_gauge_pressure"), job.now("head_line_gauge_pressure")) < UNDER_PRESSURE:
        raise CannotTake(
            "There is no pressure, so soap shows nothing. Pump up first, then take this check again."
        )
    outcome = _film(_soaped(job))
    put_back_outlet(job, was_open)
    return "bubbles-from-plate" if job.place == "lp-shell" and outcome == "bubbles" else outcome


def _soaped(job: Job) -> float:
    """Watch a soaped place; while it pumps, only as long as it pumps: what vents at the stop is no leak. [L/min]"""
    began = job.session.clock
    if not is_pumping(job):
        job.session.run(SOAPED)
        return job.air_at(job.place, began)
    pumped = began
    while is_pumping(job) and pumped < began + SOAPED:
        pumped = job.session.clock
        job.session.run(1.0)
    return job.air_at(job.place, began, pumped)


def drain_feel(job: Job) -> str:
    """Brush soap on the drain."""
    session = job.session
    if session.hands.drain_open:
        raise CannotTake("The drain stands open. Shut it, then soap its seat.")
    if job.now("receiver_gauge_pressure") < UNDER_PRESSURE:
        raise CannotTake(
            "The receiver is empty, so soap shows nothing. Pump up first, then take this check again."
        )
    began = session.clock
    session.run(SOAPED)
    return _film(job.air_at("lp-drain", began))


def _film(air: float) -> str:
    """What a soap film does over so much air. [L/min]"""
    if air > senses.FOAM_BLOWN:
        return "foam-blown-off"
    return "bubbles" if air > senses.BUBBLES else "no-bubbles"


def head_vent(job: Job) -> str:
    """Try a start; if it fails, vent the head at the cock and try once more."""
    need_power(job.session)
    session = job.session
    began = session.clock
    first = _try_restart(job)
    if first == "pumping":
        let_it_stop(job)
        stop_by_lever(job)
        session.run(VENT_WITHIN)
        return "starts-charged" if _sigh(job) else "starts-unaided"
    if first == "stays-off" or (first == "dead-silent" and not session.protector_tripped):
        return first
    stop_by_lever(job)
    sighed = _sigh(job)
    if job.place != "lp-check-body" and not sighed:
        return "no-air-this-end"
    session.operate("vent-head")
    session.run(COCK_OPEN)
    session.operate("shut-head-vent")
    again = get_pumping(job)
    job.note("tries", "Time for both tries", session.clock - began, "duration")
    if again == "pumping":
        return "sighs-then-starts"
    return "sighs-still-stalls" if sighed else "no-sigh-still-stalls"


def _try_restart(job: Job) -> Started:
    """Try a start; if it goes, let it run to its stop and try the restart at cut-in, where a charged head shows."""
    first = get_pumping(job, fresh=True)
    if first != "pumping":
        return first
    let_it_stop(job)
    return get_pumping(job)


def _sigh(job: Job) -> bool:
    """Say whether air would leave the cock at this end: the switch end is fed through the tube."""
    pressure = job.now("head_line_gauge_pressure")
    if job.place == "lp-check-body":
        return pressure > SIGHS
    tube = seen.tube_area(job.physical, flow.LEAK_COEFFICIENT * flow.disc_area(TUBE_BORE))
    passes = flow.orifice_mass_flow(
        tube, pressure + air.STANDARD_PRESSURE, air.FREE_AIR_TEMPERATURE, air.STANDARD_PRESSURE
    )
    clean = seen.tube_area(job.physical, 1.0) > TUBE_LEFT
    return pressure > SIGHS and clean and senses.litres_per_minute(passes) > senses.PAPER_STIRS
