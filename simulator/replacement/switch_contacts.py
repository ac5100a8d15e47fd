"""A pressure switch's contacts against motor and supply: rating at the connected volts, poles, overload."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator.replacement.circuit import horsepower, table_current
from simulator.replacement.comparing import below
from simulator.replacement.conductors import NotListed
from simulator.replacement.part_rules import part_rule
from simulator.replacement.problems import Problem
from simulator.replacement.ratings import SAME_VOLTS
from simulator.replacement.verdict import Figure, Reason

if TYPE_CHECKING:
    from simulator.replacement.ratings import Rating
    from simulator.replacement.switches import SwitchPlace, SwitchPlate

LINE_TO_NEUTRAL = (
    150.0  # up to here a single-phase supply has one live leg and a neutral, where nothing else is said [V]
)
CONTRADICTION = (
    1.6  # share by which amps may part from the code's table for the power before they are asked back
)


def poles_needed(place: SwitchPlace) -> int | None:
    """Live legs that the switch must open itself; none if that is not known."""
    if place.carries == "coil":
        return 1
    if place.live_legs is not None:
        return place.live_legs
    if place.phase == 3:
        return 3
    if place.phase == 1 and place.volts is not None:
        return 1 if place.volts <= LINE_TO_NEUTRAL else 2
    return None


def motor_current(place: SwitchPlace) -> float | None:
    """The larger of plate and table current at these volts; none if neither is known. [A]"""
    known = [place.amps] if place.amps is not None else []
    if place.power is not None and place.volts is not None and place.phase is not None:
        listed = _listed(place.power, place.volts, place.phase)
        known += [] if listed is None else [listed]
    return max(known, default=None)


def contradictions(place: SwitchPlace) -> list[Problem]:
    """Amps that so much power at these volts could never draw."""
    if None in (place.power, place.volts, place.phase, place.amps):
        return []
    listed = _listed(place.power, place.volts, place.phase)  # type: ignore[arg-type]  # none of them is none
    if listed is None or place.amps is None or place.amps * CONTRADICTION >= listed:
        return []
    why = f"so much power at these volts draws about {listed:.0f} A, not {place.amps:g} A"
    return [
        Problem(
            "amps", why, "Half the volts is twice the amps: read the amps that belong to the volts in use."
        )
    ]


def _listed(power: float, volts: float, phases: int) -> float | None:
    try:
        return table_current(power, volts, phases)
    except NotListed:
        return None


def reasons(new: SwitchPlate, place: SwitchPlace) -> list[Reason]:
    """Rating, poles, overload."""
    return [_rating(new, place), _poles(new, place), *_overload(new, place)]


def _rating(new: SwitchPlate, place: SwitchPlace) -> Reason:
    rule = part_rule("switch-rating")
    for known, words, question in (
        (
            new.rating,
            "The rating of its contacts is not known.",
            "Which power at which volts and phases stands inside the cover?",
        ),
        (
            place.carries,
            "It is not known what the contacts carry.",
            "Do they carry the motor itself, or the coil of a starter?",
        ),
        (
            place.volts,
            "The volts it is connected to are not known.",
            "How many volts are there at the disconnect? To be measured by one who may.",
        ),
    ):
        if not known:
            return rule.asks(words, question)
    if max(one.volts for one in new.rating) * (1.0 + SAME_VOLTS) < (place.volts or 0.0):
        return rule.warns(
            "It is connected to more volts than its contacts are rated for: the arc may not go out.",
            *_volts(new, place),
        )
    if place.carries == "coil":
        return rule.fits(
            "It carries the coil of a starter, and is rated for as many volts.", *_volts(new, place)
        )
    if all(one.pilot for one in new.rating):
        return rule.warns(
            "It is rated for pilot duty: a motor's current would weld its contacts.", *_volts(new, place)
        )
    return _motor_rating(new, place)


def _motor_rating(new: SwitchPlate, place: SwitchPlace) -> Reason:
    rule = part_rule("switch-rating")
    if place.power is None or place.phase is None:
        return rule.asks(
            "The motor's power and phases are not both known.",
            "Which HP or kW and which PH stand on the motor's plate?",
        )
    drawn = motor_current(place)
    rated = _rated_here(new, place)
    figures = _compared(place, drawn, rated or [one for one in new.rating if not one.pilot])
    if any(_too_small(one, place, drawn) for one in rated) or (
        not rated and _never_enough(new, place, drawn)
    ):
        return rule.warns(
            "The motor draws more at these volts than the contacts are rated for: they weld, and the pump does not stop.",
            *figures,
        )
    if not rated:
        return rule.asks(
            "It has no motor rating for these volts and phases.",
            "For how many HP is it rated at the volts and phases in use? A rating at other volts, or in amps for a heater, says nothing of it.",
            *figures,
        )
    if all(one.power is None for one in rated) and drawn is None:
        return rule.asks(
            "It is rated in amps, and the motor's are not known.",
            "Which A does the motor's plate give at these volts?",
            *figures,
        )
    return rule.fits("It is rated for this motor at these volts.", *figures)


def _rated_here(new: SwitchPlate, place: SwitchPlace) -> list[Rating]:
    """Motor ratings for these volts: those for these phases, or else those that name none.

    On three poles a rating that names no phases may be for three, and does not count for one.
    """
    here = [one for one in new.rating if one.motor and one.is_for(place.volts or 0.0)]
    exact = [one for one in here if one.phases == place.phase]
    for_three = place.phase == 1 and new.poles is not None and new.poles >= 3
    return exact or ([] if for_three else [one for one in here if one.phases is None])


def _too_small(one: Rating, place: SwitchPlace, drawn: float | None) -> bool:
    """Less power, or less current than the motor's plate gives, at these volts."""
    if one.power is not None and place.power is not None and horsepower(one.power) < horsepower(place.power):
        return True
    amps = place.amps if one.power is not None else drawn
    return one.amps is not None and amps is not None and below(one.amps, amps)


def _never_enough(new: SwitchPlate, place: SwitchPlace, drawn: float | None) -> bool:
    """Whether even the largest current that any of its ratings stands for is less than the motor draws."""
    if drawn is None:
        return False
    stands_for = [
        amps for one in new.rating if not one.pilot and (amps := _stands_for(one, place)) is not None
    ]
    return bool(stands_for) and below(max(stands_for), drawn)


def _stands_for(one: Rating, place: SwitchPlace) -> float | None:
    if one.amps is not None:
        return one.amps
    return None if one.power is None else _listed(one.power, one.volts, one.phases or place.phase or 1)


def _poles(new: SwitchPlate, place: SwitchPlace) -> Reason:
    rule = part_rule("switch-poles")
    needed = poles_needed(place)
    if needed is None:
        return rule.asks(
            "How many live legs it must open is not known.",
            "How many live legs has the supply, and does the switch break the motor itself?",
        )
    figures: tuple[Figure, ...] = (Figure("live legs", float(needed)),)
    if new.poles is None:
        return rule.asks(
            "How many poles it has is not known.", "Count the pairs of terminals LINE to MOTOR.", *figures
        )
    figures = (*figures, Figure("poles", float(new.poles)))
    if new.poles < needed:
        return rule.warns("It leaves a leg of the motor live when it is off.", *figures)
    return rule.fits("It opens every live leg.", *figures)


def _overload(new: SwitchPlate, place: SwitchPlace) -> list[Reason]:
    if place.carries == "coil" or place.overload == "no":
        return []
    rule = part_rule("switch-overload")
    if place.overload is None and new.overload != "yes":
        return [
            rule.asks(
                "It is not known where the motor's overload sits.",
                "Did the old switch have a dial in amps, or has the motor its own protector or starter?",
            )
        ]
    if new.overload is None:
        return [
            rule.asks(
                "It is not known whether it has the overload that sits in this machine's switch.",
                "Is there a dial in amps and a reset button?",
            )
        ]
    if new.overload == "no":
        return [
            rule.changes(
                "It has no overload, and the motor's sat in the old switch.",
                "Fit an overload for the motor, set to its amps at these volts.",
            )
        ]
    return [rule.fits("It has the overload that sits in this machine's switch.")]


def _volts(new: SwitchPlate, place: SwitchPlace) -> tuple[Figure, ...]:
    rated = Figure("rated up to", max(one.volts for one in new.rating), "voltage")
    return (rated, Figure("connected to", place.volts or 0.0, "voltage"))


def _compared(place: SwitchPlace, drawn: float | None, ratings: list[Rating]) -> tuple[Figure, ...]:
    figures = [
        Figure("connected to", place.volts or 0.0, "voltage"),
        Figure("motor", place.power or 0.0, "power"),
    ]
    if drawn is not None:
        figures.append(Figure("motor draws", drawn, "current"))
    for one in ratings:
        figures.append(Figure("rated at", one.volts, "voltage"))
        if one.power is not None:
            figures.append(Figure("for a motor of", one.power, "power"))
        if one.amps is not None:
            figures.append(Figure("for a current of", one.amps, "current"))
    return tuple(figures)
