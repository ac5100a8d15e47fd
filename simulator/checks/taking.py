"""Take a check: refuse it in the wrong state, let the hand do it, charge its minutes."""

from collections.abc import Callable, Mapping

from simulator import hazards
from simulator.checks import (
    balance,
    benchwork,
    dead_circuit,
    drive,
    electrical,
    engine,
    feeling,
    gauging,
    interstage,
    listening,
    outflow,
    sight,
    timing,
    ultrasound,
    warmth,
)
from simulator.checks.catalogue import Check, check_for, find_check
from simulator.checks.hand import Job
from simulator.checks.spread import Instruments
from simulator.checks.words import Finding, SafeState, UnsafeCheck
from simulator.session import Session

PROTOCOLS: Mapping[str, Callable[[Job], str]] = {
    "interview": sight.interview,
    "look": sight.look,
    "nameplates": sight.nameplates,
    "relief-tag": sight.relief_tag,
    "turn-by-hand": benchwork.turn_by_hand,
    "tank-gauge": gauging.tank_gauge,
    "reference-gauge": gauging.reference_gauge,
    "head-line-gauge": gauging.head_line_gauge,
    "interstage-run": interstage.interstage_run,
    "interstage-stopped": interstage.interstage_stopped,
    "oil-pressure": gauging.oil_pressure,
    "relief-ring": gauging.relief_ring,
    "check-bench": benchwork.check_bench,
    "valve-plate-bench": benchwork.valve_plate_bench,
    "cylinder-inspect": benchwork.cylinder_inspect,
    "oil-level": benchwork.oil_level,
    "oil-condition": benchwork.oil_condition,
    "tank-survey": benchwork.tank_survey,
    "regulator-flow": outflow.regulator_flow,
    "regulator-creep": outflow.regulator_creep,
    "downstream-survey": outflow.downstream_survey,
    "head-temps": warmth.head_temps,
    "line-temps": warmth.line_temps,
    "pump-rpm": drive.pump_rpm,
    "belt-tension": drive.belt_tension,
    "alignment": drive.alignment,
    "rotation": drive.rotation,
    "engine-speed": engine.engine_speed,
    "pilot-vent": engine.pilot_vent,
    "ultrasonic": ultrasound.ultrasonic,
    "crankcase-manometer": gauging.crankcase_manometer,
    "drain-water": outflow.drain_water,
    "listen-run": listening.listen_run,
    "listen-stop": listening.listen_stop,
    "listen-settled": listening.listen_settled,
    "vent-time": listening.vent_time,
    "unloader-feel": feeling.unloader_feel,
    "intake-feel": feeling.intake_feel,
    "breather-feel": feeling.breather_feel,
    "head-vent": feeling.head_vent,
    "soap": feeling.soap,
    "drain-feel": feeling.drain_feel,
    "cut-in-out": timing.cut_in_out,
    "pump-up": timing.pump_up,
    "bleed-down": timing.bleed_down,
    "isolate-outlet": timing.isolate_outlet,
    "filter-out": timing.filter_out,
    "duty-log": timing.duty_log,
    "amps-start": electrical.amps_start,
    "amps-run": electrical.amps_run,
    "phase-balance": balance.phase_balance,
    "motor-belt-off": drive.motor_belt_off,
    "volts-idle": electrical.volts_idle,
    "volts-start": electrical.volts_start,
    "volts-run": electrical.volts_run,
    "volt-drop-contact": electrical.volt_drop_contact,
    "prove-dead": dead_circuit.prove_dead,
    "capacitor": dead_circuit.capacitor,
    "winding-ohms": dead_circuit.winding_ohms,
    "megger": dead_circuit.megger,
    "overload-setting": dead_circuit.overload_setting,
    "direct-supply": electrical.direct_supply,
}


def take(session: Session, check: str, place: str = "", key: str = "") -> Finding:
    """Take one check on a machine as a hand would.

    Parameters
    ----------
    session : Session
        The machine being worked on; the check may operate it and moves its clock on.
    check : str
        Slug of the check.
    place : str
        Slug of a place of that check; its first place when empty.
    key : str
        What makes this taking different from another of the same check, such as its number in the log: the
        instruments' errors are drawn from it.

    Returns
    -------
    Finding
        Outcome and readings.

    Raises
    ------
    UnknownCheck
        No such check, or not at that place.
    UnsafeCheck
        It hurts people in this state; the machine is left untouched.
    CannotTake
        It makes no sense in this state or on this machine, which is left untouched.
    """
    entry, at = check_for(session.rig, check, place)
    where = at.slug
    refuse_unsafe(session, entry, where)
    started_at = session.clock
    generator = session.rng(f"check/{check}/{where}/{key}")
    job = Job(session, entry, where, Instruments(generator), charge=60.0 * entry.minutes)
    outcome = PROTOCOLS[check](job)
    if outcome not in entry.outcomes:
        raise KeyError(f"The protocol of '{check}' gave '{outcome}', which its closed list does not hold.")
    left = started_at + job.charge - session.clock
    if left > 0.0:
        session.run(left)
    return Finding(check, where, outcome, tuple(job.readings), started_at, session.clock)


def refuse_unsafe(session: Session, check: Check, place: str) -> None:
    """Refuse a check whose safe state is not there.

    Raises
    ------
    UnsafeCheck
        With the reason and the way to make it safe.
    """
    safe = safe_for(check, place)
    try:
        if check.slug == "soap":
            hazards.check_may_soap(session, place)
        if safe in ("S2", "S3"):
            hazards.check_locked_out(session, check.title)
        if safe == "S3":
            hazards.check_may_open(session, "head")
    except hazards.Prohibited as refusal:
        raise UnsafeCheck(str(refusal)) from refusal
    if safe == "S3" and session.safe_state != "S3":
        raise UnsafeCheck(f"{check.title}: not before zero is proved. {hazards.BLEED}")


def safe_for(check: Check, place: str) -> SafeState:
    """Safe state a check needs at one place: soap on the switch asks for more than soap elsewhere, a plate for less.

    Parameters
    ----------
    check : Check
        The check.
    place : str
        Slug of the place.

    Returns
    -------
    str
        S0 to S4.
    """
    if check.slug == "soap" and place in hazards.LIVE_PLACES:
        return "S2"
    # Only the motor's terminal box is opened to read a plate.
    return "S0" if check.slug == "nameplates" and place == "plates" else check.safe


def words(finding: Finding) -> str:
    """Put a finding in words, without figures.

    Parameters
    ----------
    finding : Finding
        What a check found.

    Returns
    -------
    str
        The words of its outcome.
    """
    return find_check(finding.check).outcomes[finding.outcome]
