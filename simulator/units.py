"""The one door between what people write and read and the SI floats inside; the only user of pint.

Typed text is read by a pattern and a closed list of unit spellings. It is never given to pint's parser, which takes
`1,5 bar` for 15 bar and does not come back from `9**9**9 m`.
"""

from __future__ import annotations

import difflib
import math
import re
from functools import cache
from typing import TYPE_CHECKING, Literal

import pint

from simulator.quantities import DOLLAR, KILOHM, MEGOHM, OHM, PERCENT, PIECES, QUANTITIES, Quantity, Unit

if TYPE_CHECKING:
    from collections.abc import Mapping

System = Literal["us", "metric"]

MAX_LENGTH = 40  # characters of typed text that are looked at; a reading with its unit is far shorter
MINUS = "\N{MINUS SIGN}"
SECONDS_SHOWN_ALONE = 100.0  # longer durations are shown as minutes and seconds
MINUTE, HOUR, THOUSAND = 60.0, 3600.0, 1000.0


class NotAQuantity(ValueError):
    """Typed text has no meaning as this quantity; the message says how to write it."""


_NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
_TYPED = re.compile(rf"(?P<money>\$ ?)?(?P<number>{_NUMBER})\s*(?P<unit>[^0-9\s.,+-].*)?\Z")
_NUMBER_COMES_FIRST = re.compile(rf"(?P<unit>[^0-9+-].*?)\s*(?P<number>{_NUMBER})\Z")
_SPLIT_NUMBER = re.compile(r"[0-9][ ,'_][0-9]")
_DASHES = str.maketrans({MINUS: "-", "\N{EN DASH}": "-", "\N{HYPHEN}": "-", "\N{NON-BREAKING HYPHEN}": "-"})
_SPACES = re.compile(r"[\s\u00a0\u2007\u2009\u202f]+")


def read(text: str, quantity: str, default_unit: str = "") -> float:
    """Read typed text as a quantity.

    Parameters
    ----------
    text : str
        What was typed, such as "120 psi", "8 bar" or "-40 °F".
    quantity : str
        A name in `QUANTITIES`.
    default_unit : str
        Unit of a number typed without one; none leaves such a number refused unless it is not in doubt.

    Returns
    -------
    float
        The value. [SI; rpm, %, $ and counts as they are]

    Raises
    ------
    NotAQuantity
        With what is wrong and how to write it.

    Examples
    --------
    >>> round(read("120 psi", "gauge_pressure"))
    827371
    """
    kind = _quantity(quantity)
    typed = _SPACES.sub(" ", text).strip().translate(_DASHES)
    number, written = _split(typed, text, kind)
    unit = _written_unit(written, text, kind) if written else _unit_of_bare_number(default_unit, text, kind)
    value = _to_si(float(number), unit)
    if kind.whole and value != int(value):
        raise _refusal(text, kind, "A count is a whole number")
    if value < kind.floor:
        raise _refusal(text, kind, "It is lower than can be")
    return value


def show(value: float, quantity: str, system: System, digits: int | None = None) -> str:
    """Show a quantity with its unit, in a unit system.

    Parameters
    ----------
    value : float
        [SI; rpm, %, $ and counts as they are]
    quantity : str
        A name in `QUANTITIES`.
    system : str
        "us" or "metric".
    digits : int, optional
        Digits after the point; by default as many as the unit's usual instrument gives.

    Returns
    -------
    str
        Such as "118.2 psi"; "no reading" where the value is not a finite number.

    Examples
    --------
    >>> show(815_000.0, "gauge_pressure", "us")
    '118.2 psi'
    >>> show(190.0, "duration", "us")
    '3 min 10 s'
    """
    if not math.isfinite(value):
        return "no reading"
    if quantity == "duration" and digits is None and abs(value) >= SECONDS_SHOWN_ALONE:
        return _minutes_and_seconds(value)
    shown = _shown_unit(quantity, system)
    if shown is OHM and digits is None and abs(value) >= THOUSAND:
        shown = MEGOHM if abs(value) >= THOUSAND**2 else KILOHM
    figure = f"{_from_si(value, shown):.{shown.digits if digits is None else digits}f}"
    if not figure.strip("-0."):
        figure = figure.removeprefix("-")
    figure = figure.replace("-", MINUS)
    if shown is DOLLAR:
        return f"{MINUS}${figure[1:]}" if figure.startswith(MINUS) else f"${figure}"
    return f"{figure}{'' if shown in {PERCENT, PIECES} else ' '}{shown.label}"


def number(value: float, quantity: str, system: System) -> float:
    """Give the number alone in the unit that a system shows.

    Parameters
    ----------
    value : float
        [SI; rpm, %, $ and counts as they are]
    quantity : str
        A name in `QUANTITIES`.
    system : str
        "us" or "metric".

    Returns
    -------
    float
        [the unit that `unit` names]

    Examples
    --------
    >>> round(number(800_000.0, "gauge_pressure", "metric"), 3)
    8.0
    """
    return _from_si(value, _shown_unit(quantity, system))


def unit(quantity: str, system: System) -> str:
    """Give the label of the unit that a system shows.

    Parameters
    ----------
    quantity : str
        A name in `QUANTITIES`.
    system : str
        "us" or "metric".

    Returns
    -------
    str
        Such as "psi"; empty for a count.

    Examples
    --------
    >>> unit("temperature", "metric")
    '°C'
    """
    return _shown_unit(quantity, system).label


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """Convert between two units of one quantity, named as they are shown.

    "°F", "°C" and "K" are points on a scale here; for a difference use "Δ°F" and "Δ°C".

    Parameters
    ----------
    value : float
        [from_unit]
    from_unit : str
        Label or spelling, such as "psi".
    to_unit : str
        Label or spelling of the same quantity, such as "Pa".

    Returns
    -------
    float
        [to_unit]

    Examples
    --------
    >>> round(convert(100.0, "psi", "Pa"))
    689476
    """
    for kind in QUANTITIES.values():
        spellings = _spellings(kind)
        if from_unit in spellings and to_unit in spellings:
            return _from_si(_to_si(value, spellings[from_unit]), spellings[to_unit])
    raise ValueError(f"No quantity is measured in both {from_unit!r} and {to_unit!r}")


def _quantity(name: str) -> Quantity:
    if name not in QUANTITIES:
        near = difflib.get_close_matches(name, QUANTITIES, n=1)
        raise ValueError(f"No quantity is called {name!r}" + (f"; did you mean {near[0]!r}?" if near else ""))
    return QUANTITIES[name]


def _shown_unit(quantity: str, system: System) -> Unit:
    kind = _quantity(quantity)
    if system not in ("us", "metric"):
        raise ValueError(f"A unit system is 'us' or 'metric', not {system!r}")
    return kind.us if system == "us" else kind.metric


def _split(typed: str, text: str, kind: Quantity) -> tuple[str, str]:
    """Part the number from the unit, or refuse."""
    if not typed:
        raise NotAQuantity(f"Write {_a(kind)}, such as {_examples(kind)}.")
    if len(typed) > MAX_LENGTH:
        raise NotAQuantity(f"That is too long for {_a(kind)}. Write it as {_examples(kind)}.")
    if _SPLIT_NUMBER.search(typed):
        raise _refusal(
            text, kind, "Use a point for decimals, and no comma or space inside a number: 1500 or 1.5"
        )
    found = _TYPED.match(typed)
    if found is None:
        if _NUMBER_COMES_FIRST.match(typed):
            raise _refusal(text, kind, "The number comes first")
        raise _refusal(text, kind, "")
    unit_text = (found["unit"] or "").strip()
    if found["money"]:
        return found["number"], unit_text or "$"
    return found["number"], unit_text


def _written_unit(written: str, text: str, kind: Quantity) -> Unit:
    for spelling, reason in kind.refused:
        if written.casefold() == spelling:
            raise NotAQuantity(f"'{_clipped(text)}' is not {_a(kind)}. {reason}")
    spellings = _spellings(kind)
    unit_found = spellings.get(written) or _in_another_case(written, spellings)
    if unit_found is None:
        known = ", ".join(one.label for one in kind.units if one.label)
        raise _refusal(text, kind, f"The unit can be {known}" if known else "It takes no unit")
    return unit_found


def _in_another_case(written: str, spellings: Mapping[str, Unit]) -> Unit | None:
    """Find `PSI` as psi, but never take a milli for a mega: `mPa` is not MPa."""
    found = spellings.get(written.casefold())
    if found is not None and written[0] in "mM" and written[0] != found.label[0] and found.label[0] in "mM":
        return None
    return found


def _unit_of_bare_number(default_unit: str, text: str, kind: Quantity) -> Unit:
    if default_unit:
        spellings = _spellings(kind)
        if default_unit not in spellings:
            raise ValueError(f"{default_unit!r} is no unit of {_a(kind)}")
        return spellings[default_unit]
    if kind.bare:
        return kind.us
    raise _refusal(text, kind, "")


def _refusal(text: str, kind: Quantity, reason: str) -> NotAQuantity:
    why = f" {reason}." if reason else ""
    return NotAQuantity(f"'{_clipped(text)}' is not {_a(kind)}.{why} Write it as {_examples(kind)}.")


def _a(kind: Quantity) -> str:
    """The quantity with its article, such as "an air flow"."""
    return f"{'an' if kind.title[0] in 'aeiou' else 'a'} {kind.title}"


def _clipped(text: str) -> str:
    text = text.strip()
    return text if len(text) <= MAX_LENGTH else text[:MAX_LENGTH] + "…"


def _examples(kind: Quantity) -> str:
    us = _example(kind.us_example, kind.us)
    metric = _example(kind.metric_example, kind.metric)
    return us if us == metric else f"{us} or {metric}"


def _example(figure: float, written: Unit) -> str:
    if written is DOLLAR:
        return f"${figure:g}"
    return f"{figure:g}{'' if written in {PERCENT, PIECES} else ' '}{written.label}"


def _minutes_and_seconds(value: float) -> str:
    sign, seconds = (MINUS if value < 0 else ""), round(abs(value))
    hours, rest = divmod(seconds, int(HOUR))
    minutes, seconds = divmod(rest, int(MINUTE))
    if hours:
        return f"{sign}{hours} h {minutes:02d} min"
    return f"{sign}{minutes} min {seconds:02d} s" if seconds else f"{sign}{minutes} min"


@cache
def _spellings(kind: Quantity) -> dict[str, Unit]:
    """All ways to write this quantity's units: exactly, and in any case where that names one unit only."""
    exact = {spelling: one for one in kind.units for spelling in (one.label, *one.spellings) if spelling}
    folded: dict[str, set[Unit]] = {}
    for spelling, one in exact.items():
        folded.setdefault(spelling.casefold(), set()).add(one)
    loose = {spelling: next(iter(units)) for spelling, units in folded.items() if len(units) == 1}
    return loose | exact


def _to_si(value: float, written: Unit) -> float:
    slope, start = _line(written)
    return value * slope + start


def _from_si(value: float, written: Unit) -> float:
    slope, start = _line(written)
    return (value - start) / slope


@cache
def _line(written: Unit) -> tuple[float, float]:
    """Slope and start of the straight line from a unit to SI, asked of pint once."""
    if not written.pint:
        return 1.0, 0.0
    registry = _registry()
    start = registry.Quantity(0.0, written.pint).to_base_units()
    step_name = (
        written.pint
        if written.pint.startswith("delta_")
        else written.pint.replace("degree_", "delta_degree_")
    )
    return float(registry.Quantity(1.0, step_name).to_base_units().magnitude), float(start.magnitude)


@cache
def _registry() -> pint.UnitRegistry[float]:  # noqa: TID251  this is the door
    """Pint's registry, loaded on the first conversion: it takes a noticeable part of a second."""
    return pint.UnitRegistry()  # noqa: TID251  this is the door
