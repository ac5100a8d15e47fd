"""Checks of motor, belt and shafts: tension, alignment, speeds, turning sense, and the motor run alone."""

from simulator import instruments as seen
from simulator.checks.hand import (
    NO_CURRENT,
    START_WATCHED,
    STARTED_SPEED_SHARE,
    TRIP_WAITED,
    Job,
    bleed_until_called,
    called_for,
    need_power,
    reset_protector,
    restore,
    stop_by_lever,
)
from simulator.checks.listening import pump_for_a_while

# Limits of a judgement; common practice, no source.
SLIPS = 0.03  # [-]
OFF_SPEED, FAR_OFF_SPEED = 0.04, 0.12  # [-]
SLACK, VERY_SLACK = 1.25, 2.0  # deflection over the rule [-]
OUT_OF_LINE, FAR_OUT_OF_LINE = (
    2.6e-3,
    8e-3,
)  # gap under the straightedge: half a degree, a degree and a half [m]
HIGH_ALONE, LOW_ALONE = 1.15, 0.7  # of the current the motor should take alone [-]
ALONE_WATCHED = 10.0  # run alone, once it is up to speed [s]
BUMP = 1.5  # the flywheel is let turn so long [s]
READ = 2.0  # of steady pumping, on each shaft [s]
SPEEDS = ("pump_speed_rpm", "motor_speed_rpm")
MOVED = 20.0  # a flywheel that got so far is seen to have turned [rpm]


def belt_tension(job: Job) -> str:
    """Press the belt at mid-span with the section's force."""
    rule = job.session.rig.drive.deflection
    deflection = job.instruments.rule(seen.belt_deflection(job.physical, rule))
    job.note("deflection", "Deflection at mid-span", deflection, "small_length")
    job.note("rule", "Deflection by the rule", rule, "small_length")
    if deflection > VERY_SLACK * rule:
        return "very-slack"
    return "slack" if deflection > SLACK * rule else "as-the-rule"


def alignment(job: Job) -> str:
    """Lay a straightedge over both sheaves' faces and look for four contacts."""
    gap = job.instruments.rule(seen.straightedge_gap(job.physical))
    job.note("gap", "Widest gap under the straightedge", gap, "small_length")
    if gap > FAR_OUT_OF_LINE:
        return "far-out"
    return "out-of-line" if gap > OUT_OF_LINE else "touches-all-four"


def pump_rpm(job: Job) -> str:
    """Read flywheel and motor speed while it pumps, or as far as they got if it trips on the way."""
    need_power(job.session)
    before = job.session.clock
    began = pump_for_a_while(job)
    rig = job.session.rig
    settled = not isinstance(began, str)
    if isinstance(began, str):
        turned = [job.peak(channel, before) for channel in SPEEDS]
        if turned[1] < STARTED_SPEED_SHARE * rig.motor.rated_speed_rpm:
            return "not-turning"
    else:
        turned = [job.mean(channel, began, began + READ) for channel in SPEEDS]
    pump = job.note("flywheel", "Flywheel", job.instruments.tachometer(turned[0]), "speed_rpm")
    motor = job.note("motor", "Motor", job.instruments.tachometer(turned[1]), "speed_rpm")
    as_cut = pump * rig.drive.ratio / motor  # for the motor's speed, whatever it is
    if as_cut < 1.0 - SLIPS:
        return "belt-slips"
    if as_cut > 1.0 + OFF_SPEED:
        return "flywheel-fast"
    return _against_plate(motor / rig.motor.rated_speed_rpm, settled)


def _against_plate(speed: float, settled: bool) -> str:
    """Name the motor's speed over its plate's, of a motor that runs steadily or trips before it does."""
    if speed > 1.0 + FAR_OFF_SPEED:
        return "motor-off-speed"
    if not settled:
        return "trips-running-up"
    if speed < 1.0 - FAR_OFF_SPEED:
        return "motor-off-speed"
    return "both-slow" if speed < 1.0 - OFF_SPEED else "on-plate"


def rotation(job: Job) -> str:
    """Bump the motor and watch the flywheel against its arrow."""
    need_power(job.session)
    session = job.session
    stop_by_lever(job)
    if session.protector_tripped and not reset_protector(session):
        return "does-not-turn"
    session.operate("start")
    session.run(0.5)
    if not called_for(job):
        bleed_until_called(job)
    if not called_for(job):
        return "stays-off"
    session.run(BUMP)
    turned = job.now("pump_speed_rpm") > MOVED
    stop_by_lever(job)
    if not turned:
        return "does-not-turn"
    return "against-the-arrow" if seen.turns_against_arrow(job.physical) else "with-the-arrow"


def motor_belt_off(job: Job) -> str:
    """Take the belt off, put the guard back, run the motor alone, and leave it locked out with the belt on again."""
    session = job.session
    session.operate("belt-off")
    restore(job)
    outcome = _alone(job)
    session.operate("stop")
    session.operate("isolate")
    session.operate("lock")
    session.run(ALONE_WATCHED)
    session.operate("belt-on")
    return outcome


def _alone(job: Job) -> str:
    """Start the motor without its belt and read it."""
    session = job.session
    if session.protector_tripped and not reset_protector(session):
        return "dead-silent"
    session.operate("start")
    session.run(0.5)
    if not called_for(job):
        bleed_until_called(job)
    if not called_for(job):
        return "stays-off"
    began = session.clock
    session.run(START_WATCHED)
    if job.peak("motor_current", began) < NO_CURRENT:
        return "dead-silent"
    if job.now("motor_speed_rpm") < STARTED_SPEED_SHARE * session.rig.motor.rated_speed_rpm:
        session.run_until("trip", TRIP_WAITED)
        return "will-not-start-alone"
    return _running_alone(job)


def _running_alone(job: Job) -> str:
    """Clamp and listen to the motor that drives nothing."""
    motor = job.session.rig.electric_motor
    began = job.session.clock
    job.session.run(ALONE_WATCHED)
    amps = job.instruments.clamp(job.mean("motor_current", began))
    job.note("alone", "Motor alone", amps, "current")
    idle = motor.full_load_current * motor.no_load_current_fraction
    job.note("sheet", "The sheet's figure for the motor alone", idle, "current")
    if amps > HIGH_ALONE * idle:
        return "amps-high-alone"
    if amps < LOW_ALONE * idle:
        return "amps-low-alone"
    return "rumbles-alone" if seen.motor_rumbles(job.physical) else "quiet-alone"
