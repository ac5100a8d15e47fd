"""Does this pressure switch suit the machine: its pressures, its contacts, its ports, its unloader?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator.replacement import switch_contacts as contacts
from simulator.replacement import switch_pressures as pressures
from simulator.replacement.comparing import BLANK, shown
from simulator.replacement.part_lines import part_lines
from simulator.replacement.part_reading import Span, read_lines
from simulator.replacement.part_rules import part_rule
from simulator.replacement.problems import BadPlate, Problem
from simulator.replacement.tables import words
from simulator.replacement.threads import Thread, goes_into
from simulator.replacement.verdict import Judgement, Reason, judge

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from simulator import units
    from simulator.replacement.ratings import Rating

CAUTIONS = (
    "Make safe first: disconnect, lock and tag, drain open and blowing stopped, gauge at zero; prove dead on both sides of the switch. The lever is no isolator.",
    "LINE to the supply, MOTOR to the motor, every live leg switched, earth first and longest, cover on before power.",
    "Set cut-out on a proven gauge: range first, differential second; relief at least a tenth above it.",
    "Ask why the old one failed: loaded starts, short cycling, low volts or too small a switch.",
    "The local code and a licensed electrician decide about the wiring.",
)

SWITCH_LINES = part_lines("switch", "part")
SWITCH_PLACE_LINES = part_lines("switch", "place")


@dataclass(frozen=True)
class SwitchPlate:
    """What a pressure switch says of itself; None where it says nothing."""

    range: Span | None = None  # of the cut-out, gauge [Pa]
    setting: str | None = None
    cut_out: float | None = None  # as delivered, gauge [Pa]
    differential: Span | None = None  # [Pa]
    body_pressure: float | None = None  # gauge [Pa]
    rating: tuple[Rating, ...] = ()
    poles: int | None = None
    overload: str | None = None
    unloader: str | None = None
    ports: int | None = None
    thread: Thread | None = None


@dataclass(frozen=True)
class SwitchPlace:
    """The machine that a pressure switch must suit; None where it is not known."""

    cut_in: float | None = None  # gauge [Pa]
    cut_out: float | None = None  # gauge [Pa]
    least_differential: float | None = None  # [Pa]
    mawp: float | None = None  # gauge [Pa]
    relief: float | None = None  # gauge [Pa]
    carries: str | None = None
    volts: float | None = None
    phase: int | None = None
    power: float | None = None  # [W]
    amps: float | None = None
    live_legs: int | None = None
    overload: str | None = None
    unloads: str | None = None
    unloader_tube: str | None = None
    ports: int | None = None
    thread: Thread | None = None


def read_switch(typed: Mapping[str, str] | Iterable[str] | str, which: str = "new switch") -> SwitchPlate:
    """Read a pressure switch.

    Parameters
    ----------
    typed : mapping, iterable of str or str
        Line to value, lines such as "range=40-175 psi", or one string of them parted by semicolons.
    which : str
        Whose, for the refusal.

    Returns
    -------
    SwitchPlate
        Checked against itself.

    Raises
    ------
    BadPlate
        With every line that cannot be read or contradicts another.
    """
    plate = SwitchPlate(**read_lines(typed, SWITCH_LINES, which))
    if plate.range and plate.cut_out and not plate.range[0] <= plate.cut_out <= plate.range[1] * (1 + 1e-6):
        why = "it is delivered with a cut-out outside its own range"
        raise BadPlate([Problem("cut-out", why, SWITCH_LINES["cut-out"].look)], which)
    return plate


def read_switch_place(typed: Mapping[str, str] | Iterable[str] | str, which: str = "machine") -> SwitchPlace:
    """Read what a pressure switch must suit.

    Parameters
    ----------
    typed : mapping, iterable of str or str
        As for `read_switch`.
    which : str
        Whose, for the refusal.

    Returns
    -------
    SwitchPlace
        Checked against itself.

    Raises
    ------
    BadPlate
        With every line that cannot be read or contradicts another.
    """
    place = SwitchPlace(**read_lines(typed, SWITCH_PLACE_LINES, which))
    problems = [*pressures.contradictions(place), *contacts.contradictions(place)]
    if place.unloads == "pilot":
        why = "a machine with a pilot valve runs all the time and has no pressure switch"
        problems.append(Problem("unloads", why, "Judge the pilot by the machine's book."))
    if problems:
        raise BadPlate(problems, which)
    return place


def judge_switch(new: SwitchPlate, place: SwitchPlace, system: units.System = "us") -> Judgement:
    """Judge a pressure switch for a machine.

    Parameters
    ----------
    new : SwitchPlate
        The switch that is to be fitted.
    place : SwitchPlace
        The machine.
    system : str
        Units of the parts card, "us" or "metric"; never of the verdict.

    Returns
    -------
    Judgement
        With every reason, the most dangerous first.
    """
    reasons = [
        *pressures.reasons(new, place),
        *contacts.reasons(new, place),
        _unloader(new, place),
        _ports(new, place),
        goes_into(part_rule("switch-thread"), new.thread, place.thread, adapted="either"),
    ]
    if place.unloader_tube is not None:
        reasons.append(_tube(place))
    return judge("switch", reasons, parts_card(place, system), CAUTIONS)


def _unloader(new: SwitchPlate, place: SwitchPlace) -> Reason:
    rule = part_rule("switch-unloader")
    if place.unloads is None:
        return rule.asks("It is not known where the machine unloads.", SWITCH_PLACE_LINES["unloads"].look)
    if words("part_words", "unloading")[place.unloads].facts["needs"] == "no":
        return rule.fits("The machine unloads elsewhere: no unloader valve is needed on the switch.")
    if new.unloader is None:
        return rule.asks("It is not known whether it has an unloader valve.", SWITCH_LINES["unloader"].look)
    if new.unloader == "none":
        return rule.refuses(
            "It has no unloader valve: the head line stays full and the motor starts loaded, hums and trips."
        )
    if new.unloader == "add-on":
        return rule.changes(
            "Its unloader valve comes apart.",
            "Add the unloader valve made for this switch, with the port of the tube.",
        )
    return rule.fits("It has the unloader valve that the machine needs.")


def _tube(place: SwitchPlace) -> Reason:
    rule = part_rule("switch-tube")
    if place.unloader_tube == "port":
        return rule.refuses(
            "The tube would end in a port of the manifold, which is the receiver: it would bleed the receiver into the head line, and never vent it."
        )
    return rule.fits("The tube goes to the unloader valve.")


def _ports(new: SwitchPlate, place: SwitchPlace) -> Reason:
    rule = part_rule("switch-ports")
    if new.ports is None or place.ports is None:
        look = SWITCH_LINES["ports"].look if new.ports is None else SWITCH_PLACE_LINES["ports"].look
        return rule.asks("How many ports there are and are used is not known.", look)
    if new.ports < place.ports:
        return rule.changes(
            f"It has {new.ports} of the {place.ports} ports that are used.",
            "Fit a manifold below it, with a port of its own for the relief and nothing between.",
        )
    if new.ports > place.ports:
        return rule.changes(
            f"It has {new.ports} ports, {place.ports} are used.",
            "Plug the spare ports: all of them are the receiver.",
        )
    return rule.fits(f"It has the {place.ports} ports that are used.")


def parts_card(place: SwitchPlace, system: units.System) -> list[str]:
    """Say what exactly to ask for."""
    load = (
        "pilot duty, for the coil of the starter"
        if place.carries == "coil"
        else f"at least {shown(place.power, 'power', system)} at {shown(place.volts, 'voltage', system)}, "
        f"{'______' if place.phase is None else place.phase} phase, {contacts.poles_needed(place) or '______'} poles"
    )
    vented = (
        place.unloads is not None and words("part_words", "unloading")[place.unloads].facts["needs"] == "yes"
    )
    highest = None if place.relief is None else place.relief / pressures.margin()
    settings = f"Cut-in {shown(place.cut_in, 'gauge_pressure', system)}, cut-out {shown(place.cut_out, 'gauge_pressure', system)}"
    return [
        "Pressure switch for an air compressor",
        f"{settings}, never to be set above {shown(highest, 'gauge_pressure', system)}",
        f"Contacts: {load}",
        f"Unloader valve: {'with, for the tube from the check valve' if vented else 'not needed' if place.unloads else BLANK}",
        f"Ports: {place.ports or '______'}; thread: {place.thread.title if place.thread else BLANK}",
        *(["Overload built in, set to the motor's amps at these volts"] if place.overload == "yes" else []),
    ]
