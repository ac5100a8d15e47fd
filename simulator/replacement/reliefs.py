"""Does this relief valve protect that vessel? The one part that is never a matter of taste."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator.replacement.comparing import above, below, figures, shown
from simulator.replacement.part_lines import part_lines
from simulator.replacement.part_reading import read_lines
from simulator.replacement.part_rules import part_rule
from simulator.replacement.problems import BadPlate, Problem
from simulator.replacement.tables import words
from simulator.replacement.threads import Thread, goes_into
from simulator.replacement.verdict import Judgement, Reason, judge

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from simulator import units

CAUTIONS = (
    "Never work under pressure: make safe, drain open and blowing stopped, gauge at zero, before a relief is unscrewed.",
    "Never adjust, lap, plug or stretch a relief valve. Outlet clear of people.",
    "Find and cure why the old one lifted: prove the gauge, then the switch.",
    "The vessel's plate, the local rules for pressure vessels and the inspector come before this sheet.",
)

RELIEF_LINES = part_lines("relief", "part")
RELIEF_PLACE_LINES = part_lines("relief", "place")


@dataclass(frozen=True)
class ReliefPlate:
    """What the tag of a relief valve says; None where it says nothing."""

    set: float | None = None  # gauge [Pa]
    capacity: float | None = None  # free air [m³/s]
    reseat: float | None = None  # gauge [Pa]
    stamp: str | None = None
    medium: str | None = None
    seal: str | None = None
    thread: Thread | None = None
    temperature: float | None = None  # [K]


@dataclass(frozen=True)
class ReliefPlace:
    """What a relief valve must protect, and where it sits; None where it is not known."""

    guards: str = "receiver"
    mawp: float | None = None  # gauge [Pa]
    normal: float | None = None  # highest gauge pressure of normal running [Pa]
    free_air: float | None = None  # [m³/s]
    displacement: float | None = None  # [m³/s]
    stamp: str | None = None
    between: str | None = None
    thread: Thread | None = None
    temperature: float | None = None  # [K]
    old_set: float | None = None  # gauge [Pa]


def read_relief(typed: Mapping[str, str] | Iterable[str] | str, which: str = "new valve") -> ReliefPlate:
    """Read a relief valve's tag.

    Parameters
    ----------
    typed : mapping, iterable of str or str
        Line to value, lines such as "set=150 psi", or one string of them parted by semicolons.
    which : str
        Whose, for the refusal.

    Returns
    -------
    ReliefPlate
        Checked against itself.

    Raises
    ------
    BadPlate
        With every line that cannot be read or contradicts another.
    """
    plate = ReliefPlate(**read_lines(typed, RELIEF_LINES, which))
    if plate.set is not None and plate.reseat is not None and plate.reseat >= plate.set:
        why = "it cannot shut at or above the pressure it opens at"
        raise BadPlate([Problem("reseat", why, RELIEF_LINES["reseat"].look)], which)
    return plate


def read_relief_place(typed: Mapping[str, str] | Iterable[str] | str, which: str = "place") -> ReliefPlace:
    """Read what a relief valve must protect.

    Parameters
    ----------
    typed : mapping, iterable of str or str
        As for `read_relief`.
    which : str
        Whose, for the refusal.

    Returns
    -------
    ReliefPlace
        Checked against itself.

    Raises
    ------
    BadPlate
        With every line that cannot be read or contradicts another.
    """
    place = ReliefPlace(**read_lines(typed, RELIEF_PLACE_LINES, which))
    problems = []
    if place.mawp is not None and place.normal is not None and place.normal >= place.mawp:
        why = "normal running reaches the highest pressure allowed: the cut-out is set too high, or one of the two is misread"
        problems.append(Problem("normal", why, "Do not run it. " + RELIEF_PLACE_LINES["mawp"].look))
    if place.free_air is not None and place.displacement is not None and place.free_air > place.displacement:
        why = "a pump cannot deliver more than it displaces"
        problems.append(Problem("free air", why, RELIEF_PLACE_LINES["free air"].look))
    if problems:
        raise BadPlate(problems, which)
    return place


def relieving_pressure(maximum_pressure: float) -> float:
    """Pressure that a vessel may reach while its one relief valve is open.

    Parameters
    ----------
    maximum_pressure : float
        Highest pressure allowed, by the gauge. [Pa]

    Returns
    -------
    float
        By the gauge. [Pa]

    References
    ----------
    ASME section VIII division 1, UG-125: 10 per cent or 3 psi above, whichever is more.

    Examples
    --------
    >>> round(relieving_pressure(689_476.0))
    758424
    """
    rule = part_rule("relief-capacity")
    return maximum_pressure + max(
        rule.limit("accumulation") * maximum_pressure, rule.limit("least_accumulation")
    )


def judge_relief(new: ReliefPlate, place: ReliefPlace, system: units.System = "us") -> Judgement:
    """Judge a relief valve for a place.

    Parameters
    ----------
    new : ReliefPlate
        The valve that is to be fitted.
    place : ReliefPlace
        What it must protect.
    system : str
        Units of the parts card, "us" or "metric"; never of the verdict.

    Returns
    -------
    Judgement
        With every reason, the most dangerous first.
    """
    reasons = [
        _set(new, place),
        _capacity(new, place),
        _stamp(new, place),
        _medium(new),
        _seal(new),
        _between(place),
        goes_into(part_rule("relief-thread"), new.thread, place.thread, adapted="smaller"),
        _margin(new, place),
    ]
    reasons += [reason for reason in (_raised(new, place), _temperature(new, place)) if reason is not None]
    return judge("relief", reasons, parts_card(place, system), CAUTIONS)


def parts_card(place: ReliefPlace, system: units.System) -> list[str]:
    """Say what exactly to ask for: lines for the counter, with what is still to be read left open."""
    flow = place.free_air if place.free_air is not None else place.displacement
    guarded = words("part_words", "guards")[place.guards].title
    stamp = words("part_words", "stamp")[place.stamp].title if place.stamp else "stamp of the vessel's code"
    return [
        f"Safety relief valve for air, to protect {guarded}",
        _settings(place, system),
        f"Capacity: at least {shown(flow, 'air_flow', system)} at that setting",
        f"Marking: {stamp}, air, seal unbroken",
        f"Thread: to suit {place.thread.title if place.thread else '______ (take a thread gauge)'}",
    ]


def _settings(place: ReliefPlace, system: units.System) -> str:
    """Between which pressures it may be set; where there is no room between them, what to do first."""
    margin = part_rule("relief-margin").limit("over_normal")
    least = None if place.normal is None else margin * place.normal
    if place.mawp is not None and least is not None and above(least, place.mawp):
        lowered = shown(place.mawp / margin, "gauge_pressure", system)
        return f"Set: {shown(place.mawp, 'gauge_pressure', system)}, and first lower the cut-out to at most {lowered}"
    return f"Set: at most {shown(place.mawp, 'gauge_pressure', system)}, at least {shown(least, 'gauge_pressure', system)}"


def _set(new: ReliefPlate, place: ReliefPlace) -> Reason:
    rule = part_rule("relief-set")
    known = figures(("set", new.set, "gauge_pressure"), ("highest allowed", place.mawp, "gauge_pressure"))
    if place.mawp is None:
        return rule.asks(
            "The highest pressure allowed in what it protects is not known.",
            "What does the vessel's plate give as MAWP or PS? Without a readable plate the vessel stays out of service until an inspector has seen it.",
            *known,
        )
    if new.set is None:
        return rule.asks("The set pressure of the valve is not known.", RELIEF_LINES["set"].look, *known)
    if above(new.set, place.mawp):
        return rule.warns(
            "It is set above the highest pressure allowed: it would let the vessel pass its limit.", *known
        )
    return rule.fits("It is set at or below the highest pressure allowed.", *known)


def _capacity(new: ReliefPlate, place: ReliefPlace) -> Reason:
    rule = part_rule("relief-capacity")
    known = figures(
        ("capacity", new.capacity, "air_flow"),
        ("free air", place.free_air, "air_flow"),
        ("displacement", place.displacement, "air_flow"),
        (
            "pressure may reach, valve open",
            None if place.mawp is None else relieving_pressure(place.mawp),
            "gauge_pressure",
        ),
    )
    if new.capacity is None:
        return rule.asks("The capacity of the valve is not known.", RELIEF_LINES["capacity"].look, *known)
    if place.free_air is not None:
        if below(new.capacity, place.free_air):
            return rule.warns(
                "It passes less air than the pump delivers: pressure would go on rising with the valve open.",
                *known,
            )
        return rule.fits("It passes at least what the pump delivers.", *known)
    if place.displacement is not None and not below(new.capacity, place.displacement):
        return rule.fits("It passes even the pump's displacement, of which only a part is delivered.", *known)
    return rule.asks(
        "The free air of the pump at that pressure is not known.",
        RELIEF_PLACE_LINES["free air"].look,
        *known,
    )


def _stamp(new: ReliefPlate, place: ReliefPlace) -> Reason:
    rule = part_rule("relief-stamp")
    if new.stamp is None:
        return rule.asks("It is not known whether it is stamped.", RELIEF_LINES["stamp"].look)
    if new.stamp == "none":
        return rule.warns("It carries no stamp: nobody vouches for its setting or its capacity.")
    if place.stamp is None:
        return rule.asks(
            "It is stamped; the vessel's own code is not known.", RELIEF_PLACE_LINES["stamp"].look
        )
    if place.stamp == "none":
        return rule.asks(
            "The vessel itself carries no stamp.",
            "Has an inspector accepted this vessel, and for which pressure? Until then it stays out of service.",
        )
    if new.stamp != place.stamp:
        return rule.asks(
            "It is stamped to another code than the vessel.",
            "Does the local rule for pressure vessels accept this stamp on this vessel? The inspector says.",
        )
    return rule.fits("It is stamped to the vessel's code.")


def _medium(new: ReliefPlate) -> Reason:
    rule = part_rule("relief-medium")
    if new.medium is None:
        return rule.asks("It is not known what it is stamped for.", RELIEF_LINES["medium"].look)
    if new.medium == "air":
        return rule.fits("It is for air.")
    if new.medium == "liquid":
        return rule.warns("It is for liquid: it opens little by little and passes too little air.")
    return rule.refuses("It is stamped for steam: its capacity for air is not vouched for.")


def _seal(new: ReliefPlate) -> Reason:
    rule = part_rule("relief-seal")
    if new.seal is None:
        return rule.asks("It is not known whether its seal is whole.", RELIEF_LINES["seal"].look)
    if new.seal == "broken":
        return rule.warns("Its seal is broken or missing: what it is set to is anybody's guess.")
    return rule.fits("Its seal is whole.")


def _between(place: ReliefPlace) -> Reason:
    rule = part_rule("relief-between")
    if place.between is None:
        return rule.asks(
            "It is not known what stands between valve and vessel.",
            "Is there anything between the vessel and the relief valve: valve, filter, reducer, bend? "
            + RELIEF_PLACE_LINES["between"].look,
        )
    found = words("part_words", "between")[place.between]
    if found.facts["harm"] == "valve":
        return rule.warns(
            f"Between it and what it protects stands {found.title}: shut or blocked, there is no relief."
        )
    if found.facts["harm"] == "narrows":
        return rule.changes(
            f"Between it and what it protects stands {found.title}, which may narrow its way or hold water.",
            "Take out what stands between: the relief goes straight into a port of its own.",
        )
    return rule.fits("Nothing stands between it and what it protects.")


def _margin(new: ReliefPlate, place: ReliefPlace) -> Reason:
    rule = part_rule("relief-margin")
    known = figures(
        ("set", new.set, "gauge_pressure"), ("normal running up to", place.normal, "gauge_pressure")
    )
    if new.set is None or place.normal is None:
        return rule.asks(
            "How far it is set above normal running cannot be said.",
            RELIEF_LINES["set"].look if new.set is None else RELIEF_PLACE_LINES["normal"].look,
            *known,
        )
    if not above(new.set, place.normal):
        return rule.refuses("It would lift in normal running, before the switch stops the pump.", *known)
    if below(new.set, rule.limit("over_normal") * place.normal):
        return rule.changes(
            "It is set so near to normal running that it weeps, and wears its seat.",
            "Lower the cut-out on a proven gauge until the relief is set at least a tenth above it.",
            *known,
        )
    return rule.fits("It is set at least a tenth above normal running.", *known)


def _raised(new: ReliefPlate, place: ReliefPlace) -> Reason | None:
    """A valve set higher than the old one is asked after, even below MAWP."""
    if new.set is None or place.old_set is None:
        return None
    rule = part_rule("relief-raised")
    known = figures(("set", new.set, "gauge_pressure"), ("the old one", place.old_set, "gauge_pressure"))
    if not above(new.set, place.old_set):
        return rule.fits("It is set no higher than the old one.", *known)
    return rule.asks(
        "It is set higher than the old one. That a relief popped is no reason: it was doing its work.",
        "Why was the old one set lower? Prove the gauge and the cut-out first, and look for the weakest part it may have protected.",
        *known,
    )


def _temperature(new: ReliefPlate, place: ReliefPlace) -> Reason | None:
    """Asked only where the air is hot, as on a head line; a receiver's air is cool enough for any air relief."""
    rule = part_rule("relief-temperature")
    if place.temperature is None and place.guards != "receiver":
        return rule.asks("How hot the air is there is not known.", RELIEF_PLACE_LINES["temperature"].look)
    if place.temperature is None or place.temperature <= rule.limit("asked_above"):
        return None
    known = figures(
        ("rated", new.temperature, "temperature"), ("air there", place.temperature, "temperature")
    )
    if new.temperature is None:
        return rule.asks(
            "The air is hot there and the valve's highest temperature is not known.",
            RELIEF_LINES["temperature"].look,
            *known,
        )
    if below(new.temperature, place.temperature):
        return rule.refuses("Its seat does not bear the air's temperature there.", *known)
    return rule.fits("Its seat bears the air's temperature there.", *known)
