"""Checks by eye: looking closely, plates, tags, and the flywheel turned by hand."""

from simulator import instruments as seen
from simulator.checks import senses
from simulator.checks.hand import Job
from simulator.checks.spread import PSI

SEEN_BLOWING = 2.0  # watched [s]

_STRAPS = {
    "matched": "plates-agree",
    "low_on_high": "straps-for-lower-voltage",
    "high_on_low": "straps-for-higher-voltage",
}
_ELEMENT = {"clean": "nothing-odd", "dusty": "element-dusty", "sucked-in": "element-sucked-in"}


def look(job: Job) -> str:
    """Look over one place."""
    physical = job.physical
    match job.place:
        case "supply":
            odd = "cord-in-supply" if seen.has_cord(physical) else ""
        case "switch":
            odd = "lever-on" if job.session.hands.lever_on else "lever-off"
        case "belt":
            odd = "belt-dust" if seen.belt_is_dusty(physical) else ""
        case "motor":
            odd = _motor(job)
        case "head-1":
            odd = "fins-dirty" if seen.fins_are_dirty(physical) else ""
        case "lp-intake":
            odd = _ELEMENT[seen.element_looks(physical)]
        case "flywheel":
            odd = "turning" if job.session.running else "standing"
        case _:
            odd = _blowing(job)
    return odd or "nothing-odd"


def _motor(job: Job) -> str:
    if job.session.protector_tripped:
        return "button-out"
    return "vents-blocked" if seen.vents_are_blocked(job.physical) else ""


def _blowing(job: Job) -> str:
    """A blow strong enough to be seen in the dust of the shop."""
    began = job.session.clock
    job.session.run(SEEN_BLOWING)
    return "dust-blown-about" if job.air_at(job.place, began) > senses.BLOW else ""


def nameplates(job: Job) -> str:
    """Read the plates, and how the motor's straps stand against the connection diagram."""
    return _STRAPS[seen.straps(job.physical)]


def relief_tag(job: Job) -> str:
    """Set the relief's tag beside the vessel plate."""
    rig = job.session.rig
    job.note("set", "Set pressure on the tag", rig.relief.set_pressure, "gauge_pressure")
    job.note("plate", "Maximum pressure on the vessel plate", rig.receiver.maximum_pressure, "gauge_pressure")
    above = rig.relief.set_pressure > rig.receiver.maximum_pressure + 0.5 * PSI
    return "tag-above-plate" if above else "tag-suits-plate"


def turn_by_hand(job: Job) -> str:
    """Vent the head line, then turn the flywheel by its rim."""
    job.session.operate("vent-head")
    job.session.run(30.0)
    job.session.operate("shut-head-vent")
    return "tight" if seen.pump_is_tight(job.physical) else "turns-freely"
