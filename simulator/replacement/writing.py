"""How numbers stand on a plate: fractions, lists, ranges, labels before and units behind."""

from __future__ import annotations

import re

from simulator import units

HALF_READ = re.compile(r"[?_*…]|\.\.\.")
NOT_THERE = frozenset(
    {
        "",
        "-",
        "--",
        "?",
        "??",
        "???",
        "…",
        "...",
        "unknown",
        "illegible",
        "unreadable",
        "not readable",
        "worn",
        "worn off",
        "missing",
        "blank",
        "not given",
        "n/a",
        "na",
    }
)
LONGEST = 120  # characters of one typed line that are looked at

_VULGAR = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅓": "1/3",
    "⅔": "2/3",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅙": "1/6",
    "⅚": "5/6",
}
_MARKS = str.maketrans(
    {
        "\N{MINUS SIGN}": "-",
        "\N{EN DASH}": "-",
        "\N{EM DASH}": "-",
        "\N{NON-BREAKING HYPHEN}": "-",
        "\N{HYPHEN}": "-",
        "\N{FRACTION SLASH}": "/",
        "\N{DIVISION SLASH}": "/",
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{LEFT DOUBLE QUOTATION MARK}": '"',
        "\N{DOUBLE PRIME}": '"',
        "\N{MULTIPLICATION SIGN}": "x",
        "\N{FULLWIDTH QUESTION MARK}": "?",
    }
)
_FRACTION = r"(?:(?P<whole>\d+)[- ]+)?(?P<over>\d+) ?/ ?(?P<under>\d+)"
_DECIMAL = r"(?P<decimal>\d*\.\d+|\d+\.?|\d+,\d{1,2})(?![\d,])"
_MEASURE = re.compile(rf"(?:{_FRACTION}|{_DECIMAL})\s*(?P<unit>\D.*)?\Z")
_PLAIN = re.compile(r"\d*\.\d+|\d+\.?|\d+,\d{1,2}")
_LARGEST_DENOMINATOR = 64


class Unreadable(ValueError):
    """What stands on the line is no such value; the message says why and how to write it."""


def tidy(text: str) -> str:
    """One spelling of dashes, quotes, fractions and spaces."""
    for mark in set(text) & set(_VULGAR):
        text = re.sub(rf"(?<=\d) ?{mark}", f"-{_VULGAR[mark]}", text).replace(mark, _VULGAR[mark])
    text = text.translate(_MARKS).replace("''", '"')
    return re.sub(r"\s+", " ", text).strip()


def is_missing(text: str) -> bool:
    """Whether the line is blank, or says that nothing can be read there."""
    return tidy(text).casefold().strip("().") in NOT_THERE


def check_whole(text: str) -> None:
    """Refuse a line of which only a part was read, and one too long to be a line of a plate."""
    if len(text) > LONGEST:
        raise Unreadable(f"that is longer than a line of a plate ({len(text)} characters)")
    if HALF_READ.search(tidy(text)):
        raise Unreadable(
            f"'{tidy(text)}' is only half read. Clean the plate and read it again, or write ? for the whole line"
        )


def number(text: str) -> float:
    """Read a plain number: 15, 7.5, .5, and the comma of the Continent, 8,2.

    Parameters
    ----------
    text : str
        The number alone.

    Returns
    -------
    float
        Its value. [-]

    Raises
    ------
    Unreadable
        For anything else; `1,725` may be thousand or decimal and is asked back.

    Examples
    --------
    >>> number("8,2")
    8.2
    """
    text = text.strip()
    if re.fullmatch(r"\d+,\d{3}", text):
        raise Unreadable(f"'{text}' may be a thousand or a decimal. Write it without the comma")
    if not _PLAIN.fullmatch(text):
        raise Unreadable(f"'{text}' is not a number")
    return float(text.replace(",", "."))


def measure(text: str, quantity: str, default_unit: str = "") -> float:
    """Read a number with its unit, fractions as people write them.

    Parameters
    ----------
    text : str
        Such as "1-1/2 HP", '5/8"', "1.1 kW" or "28 mm".
    quantity : str
        A name in `simulator.quantities.QUANTITIES`.
    default_unit : str
        Unit of a number typed without one; none leaves such a number refused.

    Returns
    -------
    float
        The value. [SI; rpm as it is]

    Raises
    ------
    Unreadable
        With what is wrong and how to write it.

    Examples
    --------
    >>> round(measure("1-1/2 HP", "power"))
    1119
    >>> round(measure('5/8"', "small_length"), 6)
    0.015875
    """
    typed = tidy(text)
    found = _MEASURE.fullmatch(typed)
    value = _value(found, typed) if found else None
    if found is None or value is None:
        written, unit = typed, ""
    else:
        written, unit = f"{value:.9f}", (found["unit"] or "").strip()
    try:
        return units.read(f"{written} {unit}".strip(), quantity, default_unit)
    except units.NotAQuantity as refusal:
        raise Unreadable(_said(str(refusal), f"{written} {unit}".strip(), typed)) from refusal


def _said(refusal: str, handed: str, typed: str) -> str:
    told = refusal.replace(f"'{handed}'", f"'{typed}'").removesuffix(".")
    return told.replace("0.012 in or 0.3 mm", "5/8 in or 16 mm")  # lengths of plates, not of gaps


def _value(found: re.Match[str], typed: str) -> float | None:
    if found["decimal"] is not None:
        return number(found["decimal"])
    under = int(found["under"])
    if not 1 < under <= _LARGEST_DENOMINATOR or int(found["over"]) >= under:
        raise Unreadable(
            f"'{typed}' is not a fraction of a rule. Write one value, such as 1-1/2 or 5/8; if the plate gives two, the one that will be used"
        )
    return int(found["whole"] or 0) + int(found["over"]) / under


def slots(text: str, marks: str) -> tuple[tuple[float, float], ...]:
    """Read a list of values or ranges parted by strokes, such as `208-230/460`.

    Parameters
    ----------
    text : str
        The list, with or without units.
    marks : str
        Pattern of units and words that may stand behind a number and say nothing more.

    Returns
    -------
    tuple of (float, float)
        First and second end of each slot in the order of the plate; equal where one value stands. [-]

    Raises
    ------
    Unreadable
        Naming the part that is no number.

    Examples
    --------
    >>> slots("208-230/460 V", "v")
    ((208.0, 230.0), (460.0, 460.0))
    """
    bare = re.sub(rf"(?i)(?<![a-z])(?:{marks})(?![a-z])", " ", tidy(text).replace("~", " "))
    return tuple(_slot(part, text) for part in re.split(r"[/;]", bare) if part.strip(" /"))


def _slot(part: str, text: str) -> tuple[float, float]:
    ends = [end for end in re.split(r"-|\bto\b", part) if end.strip()]
    if len(ends) not in (1, 2):
        raise Unreadable(f"'{tidy(text)}' is no list of values such as 115/230 or 208-230/460")
    first, second = number(ends[0]), number(ends[-1])
    return first, second
