"""Checks by eye: looking closely, plates and tags."""

from collections.abc import Callable, Mapping

from simulator import instruments as seen
from simulator.checks import senses
from simulator.checks.hand import Job
from simulator.checks.spread import PSI
from simulator.components.petrol_engine import EngineSpec

SEEN_BLOWING = 2.0  # watched [s]
SAME_FIGURE = 0.1  # two plates that differ by less belong together [-]

_STRAPS = {
    "matched": "plates-agree",
    "low_on_high": "straps-for-lower-voltage",
    "high_on_low": "straps-for-higher-voltage",
}
_ELEMENT = {"clean": "", "dusty": "element-dusty", "sucked-in": "element-sucked-in"}
_STOP_VALVE = {"none": "", "open": "valve-in-line", "closed": "valve-in-line-shut"}


def interview(_job: Job) -> str:
    """Ask when it began, what was done just before, and what it does cold, hot and at cut-in."""
    return "told"


def look(job: Job) -> str:
    """Look over one place."""
    eye = _EYES.get(job.place)
    return (eye(job) if eye else "") or _blowing(job) or "nothing-odd"


def _blowing(job: Job) -> str:
    """A blow strong enough to be seen in the dust of the shop."""
    if not job.place.startswith("lp-"):
        return ""
    began = job.session.clock
    job.session.run(SEEN_BLOWING)
    return "dust-blown-about" if job.air_at(job.place, began) > senses.BLOW else ""


def _supply(job: Job) -> str:
    return "cord-in-supply" if seen.has_cord(job.physical) else ""


def _switch(job: Job) -> str:
    return "lever-on" if job.session.hands.lever_on else "lever-off"


def _belt(job: Job) -> str:
    if job.session.hands.belt_off:
        return "belt-off"
    return "belt-dust" if seen.belt_is_dusty(job.physical) else ""


def _motor(job: Job) -> str:
    if job.happened("winding-burnt", 0.0) is not None:
        return "smells-burnt"
    if job.session.protector_tripped:
        return "button-out"
    if not seen.motor_fits(job.physical):
        return "packed-up"
    return "vents-blocked" if seen.vents_are_blocked(job.physical) else ""


def _flywheel(job: Job) -> str:
    if seen.hub_is_rusty(job.physical):
        return "rust-at-hub"
    if not job.session.running:
        return "standing"
    return "turning-against-arrow" if seen.turns_against_arrow(job.physical) else "turning"


def _relief(job: Job) -> str:
    if not seen.relief_is_fitted(job.physical):
        return "no-relief"
    return "tag-above-plate" if _tag(job) > _vessel(job) + 0.5 * PSI else ""


def _tag(job: Job) -> float:
    """Set pressure on the tag of the relief valve that is fitted. [Pa]"""
    return seen.relief_tag(job.physical, job.session.rig.relief.set_pressure)


def _vessel(job: Job) -> float:
    return job.session.rig.receiver.maximum_pressure


_EYES: Mapping[str, Callable[[Job], str]] = {
    "supply": _supply,
    "switch": _switch,
    "belt": _belt,
    "motor": _motor,
    "head-1": lambda job: "fins-dirty" if seen.fins_are_dirty(job.physical) else "",
    "flywheel": _flywheel,
    "lp-intake": lambda job: _ELEMENT[seen.element_looks(job.physical)],
    "lp-breather": lambda job: "stopped-up" if seen.breather_is_stopped_up(job.physical) else "",
    "lp-head-line": lambda job: _STOP_VALVE[seen.stop_valve(job.physical)],
    "lp-unloader-tube": lambda job: "tube-at-receiver" if seen.tube_starts_at_receiver(job.physical) else "",
    "lp-tank-relief": _relief,
    "lp-shell": lambda job: "patched-shell" if seen.shell_is_patched(job.physical) else "",
    "lp-outlet": lambda job: "plastic-line" if seen.line_is_plastic(job.physical) else "",
}


def nameplates(job: Job) -> str:
    """Read the plates at one place: the motor's with its straps, or machine, vessel and relief valve."""
    if job.place == "plates":
        return _machine_plates(job)
    motor = job.session.rig.motor
    if isinstance(motor, EngineSpec):
        job.note("power", "Engine plate, continuous power", motor.rated_power, "power")
        job.note("speed", "Engine plate, speed", motor.rated_speed_rpm, "speed_rpm")
        return "plates-agree"
    plate = seen.motor_plate(job.physical, motor)
    job.note("power", "Motor plate, power", plate.power, "power")
    job.note("power_asked", "The sheet asks for", motor.rated_power, "power")
    job.note("volts", "Motor plate, volts", plate.voltage, "voltage", f"supply {motor.rated_voltage:g} V")
    job.note("amps", "Motor plate, full-load amps", plate.current, "current")
    job.note("speed", "Motor plate, speed", plate.speed_rpm, "speed_rpm")
    job.note("speed_asked", "The sheet asks for", motor.rated_speed_rpm, "speed_rpm")
    if plate.power < (1.0 - SAME_FIGURE) * motor.rated_power:
        return "less-power"
    if abs(plate.speed_rpm / motor.rated_speed_rpm - 1.0) > SAME_FIGURE:
        return "other-speed"
    if not seen.motor_fits(job.physical):
        return "other-frame"
    return _STRAPS[seen.straps(job.physical)]


def _machine_plates(job: Job) -> str:
    """Machine, vessel and relief valve against each other."""
    rig = job.session.rig
    job.note("pump_speed", "Machine plate, pump speed", rig.pump.speed_rpm, "speed_rpm")
    job.note("cut_out", "Machine plate, highest pressure", rig.switch.cut_out, "gauge_pressure")
    return _against_vessel(job, "plates-agree")


def relief_tag(job: Job) -> str:
    """Set the relief's tag beside the vessel plate."""
    return _against_vessel(job, "tag-suits-plate")


def _against_vessel(job: Job, sound: str) -> str:
    """Relief valve's tag against the vessel plate; gives `sound` where they go together."""
    job.note("plate", "Maximum pressure on the vessel plate", _vessel(job), "gauge_pressure")
    if not seen.relief_is_fitted(job.physical):
        return "no-relief"
    tag = job.note("set", "Set pressure on the tag", _tag(job), "gauge_pressure")
    return "tag-above-plate" if tag > _vessel(job) + 0.5 * PSI else sound
