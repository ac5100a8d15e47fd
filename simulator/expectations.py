"""What an entry of the fault catalogue claims that the simulated machine must show, and whether it does.

A claim names a state of the machine and a figure of the trial, and says what must come out: so many times the sound
machine's figure, so much more or less, a value, a word, or the same as on a sound machine. It is held on the
simulated machine by tests and decides nothing in it.
"""

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

from simulator.components.spec import BadSpec, nearest
from simulator.figures import FIGURES, STATES, Figures, Reading, State, alike

if TYPE_CHECKING:
    from simulator.faults import Fault
    from simulator.rig import Rig

EVERYTHING = "everything"
_RANGES = ("ratio", "change", "value")
_RULES = (*_RANGES, "is", "same")
_KEYS = {"state", "figure", "severity", "rigs", *_RULES}


@dataclass(frozen=True)
class Expectation:
    """One claim.

    Parameters
    ----------
    figure : str
        A figure of `simulator.figures.FIGURES`, or "everything".
    rule : str
        "ratio" or "change" against the sound machine, "value", "is" or "same".
    states : tuple of str
        Where it holds: one state, or every one for "everything" without a state.
    low, high : float
        Limits of the three rules with numbers, both inside. [figure's unit; times for a ratio]
    words : tuple of str
        Any of which satisfies "is".
    severity : tuple of float
        Severities at which the claim is made. [-]
    rigs : tuple of str
        Rigs on which it is made; all that can have the fault if empty.
    """

    figure: str
    rule: str
    states: tuple[State, ...]
    low: float = -math.inf
    high: float = math.inf
    words: tuple[str, ...] = ()
    severity: tuple[float, float] = (0.0, 1.0)
    rigs: tuple[str, ...] = ()

    def is_made(self, rig: str, severity: float | None) -> bool:
        """Whether the claim is made for a rig at a severity; a fault without severity has but one.

        Parameters
        ----------
        rig : str
            Slug of the rig.
        severity : float or None
            [-]

        Returns
        -------
        bool
        """
        low, high = self.severity
        inside = severity is None or low - 1e-9 <= severity <= high + 1e-9
        return inside and (not self.rigs or rig in self.rigs)


def read_expectations(
    tables: Iterable[Mapping[str, Any]], where: str, rigs: Collection[str] = ()
) -> tuple[Expectation, ...]:
    """Read the claims of one entry.

    Parameters
    ----------
    tables : iterable of mapping
        As read from the fixture.
    where : str
        The entry, for the refusal.
    rigs : collection of str
        Rigs that can have the fault; a claim for another is refused if they are given.

    Returns
    -------
    tuple of Expectation
        In their order.

    Raises
    ------
    BadSpec
        With the claim's number, the key, what is wrong and the nearest word that would do.
    """
    return tuple(
        _read(table, rigs, f"{where}: expect {number}") for number, table in enumerate(tables, start=1)
    )


def _read(table: Mapping[str, Any], rigs: Collection[str], where: str) -> Expectation:
    for key in table:
        if key not in _KEYS:
            raise BadSpec(f"{where}: unknown key '{key}'.{nearest(key, _KEYS)}")
    states = _states(table, where)
    figure = _figure(table, states, where)
    rules = [key for key in _RULES if key in table]
    if len(rules) != 1:
        given = ", ".join(rules) or "none"
        raise BadSpec(f"{where}: give one of {', '.join(_RULES)} and no other; there is {given}.")
    rule = rules[0]
    if figure == EVERYTHING and rule != "same":
        raise BadSpec(f"{where}: of 'everything' only same = true can be claimed, not {rule}.")
    low, high, said = _claimed(table, rule, states, figure, where)
    severity = _limits(table.get("severity", (0.0, 1.0)), f"{where}.severity")
    if not 0.0 <= severity[0] <= severity[1] <= 1.0:
        raise BadSpec(f"{where}.severity: {list(severity)} does not lie between 0 and 1.")
    return Expectation(
        figure, rule, states, low, high, said, severity, _slugs(table.get("rigs", ()), rigs, where)
    )


def _claimed(
    table: Mapping[str, Any], rule: str, states: tuple[State, ...], figure: str, where: str
) -> tuple[float, float, tuple[str, ...]]:
    """Limits and words of a claim by its rule."""
    words = () if figure == EVERYTHING else FIGURES[states[0]][figure].words
    if rule == "same":
        if table["same"] is not True:
            raise BadSpec(f"{where}: same is {table['same']!r}; write same = true or leave it out.")
        return -math.inf, math.inf, ()
    if rule == "is":
        return -math.inf, math.inf, _words(table["is"], words, figure, where)
    if words:
        raise BadSpec(f'{where}: {figure} is a word; write is = "{words[0]}" instead of {rule}.')
    return *_limits(table[rule], f"{where}.{rule}"), ()


def _states(table: Mapping[str, Any], where: str) -> tuple[State, ...]:
    if "state" not in table:
        if table.get("figure") == EVERYTHING:
            return STATES
        raise BadSpec(f"{where}: 'state' is missing. Known: {', '.join(STATES)}.")
    state = table["state"]
    if state not in STATES:
        raise BadSpec(f"{where}: no state is called '{state}'.{nearest(str(state), set(STATES))}")
    return (cast("State", state),)


def _figure(table: Mapping[str, Any], states: tuple[State, ...], where: str) -> str:
    if "figure" not in table:
        raise BadSpec(f"{where}: 'figure' is missing.")
    figure = str(table["figure"])
    if figure == EVERYTHING:
        return figure
    known = set(FIGURES[states[0]])
    if figure not in known:
        raise BadSpec(f"{where}: '{states[0]}' has no figure '{figure}'.{nearest(figure, known)}")
    return figure


def _words(given: Any, known: tuple[str, ...], figure: str, where: str) -> tuple[str, ...]:
    if not known:
        raise BadSpec(
            f"{where}: {figure} is a number; claim a ratio, change or value of it, or that it is the same."
        )
    said = tuple(given) if isinstance(given, list) else (given,)
    for word in said:
        if word not in known:
            raise BadSpec(f"{where}.is: {figure} is never '{word}'.{nearest(str(word), set(known))}")
    return said


def _limits(given: Any, where: str) -> tuple[float, float]:
    numbers = [one for one in given if _is_number(one)] if isinstance(given, list | tuple) else []
    if len(numbers) != 2 or len(given) != 2:
        raise BadSpec(f"{where}: {given!r} is not a pair of numbers. Write it as [1.2, 3.0] or [1.2, inf].")
    low, high = float(given[0]), float(given[1])
    if low > high:
        raise BadSpec(f"{where}: the lower limit {low:g} is above the upper {high:g}.")
    return low, high


def _is_number(one: Any) -> bool:
    return isinstance(one, int | float) and not isinstance(one, bool) and not math.isnan(one)


def _slugs(given: Any, known: Collection[str], where: str) -> tuple[str, ...]:
    if not isinstance(given, list | tuple) or not all(isinstance(one, str) for one in given):
        raise BadSpec(f'{where}.rigs: {given!r} is not a list of slugs. Write it as ["twin-60"].')
    for slug in given:
        if known and slug not in known:
            raise BadSpec(f"{where}.rigs: the fault is not one of rig '{slug}'.{nearest(slug, set(known))}")
    return tuple(given)


def unmet(
    fault: "Fault", rig: "Rig", severity: float | None, figures: Figures, healthy: Figures
) -> list[str]:
    """List the claims of an entry that a trial does not bear out.

    Parameters
    ----------
    fault : Fault
        The entry.
    rig : Rig
        The machine it was put into.
    severity : float or None
        [-]
    figures : Figures
        Of the trial with the fault.
    healthy : Figures
        Of the sound machine's.

    Returns
    -------
    list of str
        One line for each claim that fails: figure, what came out, what the entry expects. A figure that the rig does
        not have is not asked for.
    """
    lines = []
    for claim in fault.expect:
        if claim.is_made(rig.slug, severity):
            for state in claim.states:
                names = healthy[state] if claim.figure == EVERYTHING else (claim.figure,)
                lines += [
                    f"{state} {name}: {miss}"
                    for name in names
                    if name in healthy[state]
                    and (miss := _miss(claim, state, name, figures[state].get(name), healthy[state][name]))
                ]
    return lines


def _miss(claim: Expectation, state: State, name: str, got: Reading | None, sound: Reading) -> str:
    """What is wrong with one figure; empty if nothing is."""
    unit = getattr(FIGURES[state][name].kind, "unit", "")
    if got is None:
        return "could not be read, the machine did not get there"
    if claim.rule == "same":
        if alike(state, name, got, sound):
            return ""
        return f"{_told(got, unit)}, expected as on a sound machine, {_told(sound, unit)}"
    if claim.rule == "is":
        return "" if got in claim.words else f"{_told(got)}, expected {' or '.join(claim.words)}"
    shown = _compared(claim.rule, float(got), float(sound))
    if claim.low <= shown <= claim.high:
        return ""
    return (
        f"{_told(got, unit)} against {_told(sound, unit)} on a sound machine, that is "
        f"{_in_rule(claim.rule, shown, unit)}; expected {_wanted(claim, unit)}"
    )


def _compared(rule: str, got: float, sound: float) -> float:
    """Figure in terms of the rule; not a number for a ratio to nought."""
    if rule == "value":
        return got
    if got == sound:
        return 0.0 if rule == "change" else 1.0
    if rule == "change":
        return got - sound
    return got / sound if sound else math.nan


def _told(value: Reading, unit: str = "") -> str:
    if isinstance(value, str):
        return f"'{value}'"
    figure = "never" if math.isinf(value) else f"{value:.4g}"
    return figure if math.isinf(value) else f"{figure} {unit}".strip()


def _in_rule(rule: str, value: float, unit: str) -> str:
    if math.isnan(value):
        return "a ratio to nought: claim a change or a value instead"
    if rule == "ratio":
        return f"{value:.3g} times"
    return f"{value:+.4g} {unit}" if rule == "change" else f"{value:.4g} {unit}"


def _wanted(claim: Expectation, unit: str) -> str:
    what = "times" if claim.rule == "ratio" else unit
    sign = "+" if claim.rule == "change" else ""
    if math.isinf(claim.high):
        return f"at least {claim.low:{sign}g} {what}"
    if math.isinf(claim.low):
        return f"at most {claim.high:{sign}g} {what}"
    return f"{claim.low:{sign}g} to {claim.high:{sign}g} {what}"
