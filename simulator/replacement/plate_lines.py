"""The lines of plates: their names, how people abbreviate them, and where on the machine to look."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from simulator.replacement.problems import BadPlate, Problem
from simulator.replacement.writing import is_missing, tidy

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


@dataclass(frozen=True)
class Line:
    """One line of a plate."""

    name: str
    title: str
    look: str
    aliases: tuple[str, ...] = ()
    units: tuple[tuple[str, str], ...] = ()  # alias -> unit it stands for


# What says by itself which line it is.
_SELF_NAMED = (
    (r"[13] ?~", "phase"),
    (r"(?i)IP ?\d{2}.*|ODP|TEFC|TENV|TEAO|XP|drip[- ]?proof", "enclosure"),
    (r"(?i)cont\.?|continuous(?: duty)?|compressor duty|fan duty|air[- ]over", "duty"),
    (r"(?i)reversible|c?cw[ls]e", "rotation"),
    (r"(?i)csir|cscr|psc|split[- ]phase", "start"),
    (r"(?i)(?:im ?)?b(?:3|5|14|34|35)", "mounting"),
)
_BY_RULE = "Lay a rule on the machine."
MOTOR_LINES: dict[str, Line] = {
    line.name: line
    for line in (
        Line(
            "power",
            "power",
            "Look for HP or kW on the motor's own plate, not on the machine's sticker.",
            ("hp", "kw", "output", "rated power", "horsepower", "pn"),
            (("hp", "hp"), ("kw", "kW"), ("horsepower", "hp")),
        ),
        Line(
            "volts",
            "voltage",
            "Look for V on the motor's plate and at the diagram inside the terminal box.",
            ("v", "voltage", "volt", "vac"),
        ),
        Line(
            "amps",
            "full-load current",
            "Look for A, F.L.A. or AMPS; they stand in the order of the volts.",
            ("a", "fla", "f.l.a.", "amp", "current", "full load amps", "full-load amps"),
        ),
        Line(
            "phase",
            "phase",
            "Look for PH or ~; count the live leads: two for one phase, three for three.",
            ("ph", "phases", "ph."),
        ),
        Line(
            "hertz",
            "frequency",
            "Look for HZ or CYCLES.",
            ("hz", "freq", "frequency", "cycles", "cyc"),
        ),
        Line(
            "speed",
            "speed",
            "Look for RPM, or hold a tachometer to the shaft.",
            ("rpm", "r/min", "rev/min", "min-1", "full load speed", "rated speed"),
        ),
        Line(
            "frame",
            "frame",
            "Look for FR or FRAME with all its letters. Worn off: measure from the shaft's centre to the feet.",
            ("fr", "fr.", "size", "iec"),
        ),
        Line(
            "shaft diameter",
            "shaft diameter",
            "Measure the bare shaft with a caliper.",
            ("shaft", "shaft dia", "u", "dia"),
        ),
        Line(
            "shaft length",
            "shaft length",
            "Measure from the shoulder to the end of the shaft.",
            ("n-w", "length", "shaft extension"),
        ),
        Line(
            "key",
            "key",
            "Measure the keyway's width and depth.",
            ("keyway", "keyseat", "key size"),
        ),
        Line(
            "shaft height",
            "shaft height",
            f"{_BY_RULE} From the shaft's centre to the underside of the feet.",
            ("height", "centre height", "center height"),
        ),
        Line(
            "holes across",
            "spacing of the foot holes across the shaft",
            f"{_BY_RULE} Centre to centre of the foot holes, across the shaft (2E, or A).",
            ("2e", "holes wide"),
        ),
        Line(
            "holes along",
            "spacing of the foot holes along the shaft",
            f"{_BY_RULE} Centre to centre of the foot holes, along the shaft (2F, or B).",
            ("2f", "holes long"),
        ),
        Line(
            "mounting",
            "mounting",
            "Look whether it stands on feet, and whether there is a face or flange as well.",
            ("mtg", "im", "mount", "base"),
        ),
        Line(
            "rotation",
            "rotation",
            "Look for the arrow on the flywheel or guard, and at the lead diagram for reversing.",
            ("rot", "rot."),
        ),
        Line(
            "enclosure",
            "enclosure",
            "Look for ENCL, ODP, TEFC or IP; open slots in the end bells are open drip-proof.",
            ("encl", "encl.", "ip", "protection"),
        ),
        Line(
            "service factor",
            "service factor",
            "Look for S.F.; a plate without one is to be taken for 1.0 only by the maker's word.",
            ("sf", "s.f.", "serv factor", "ser. fac."),
        ),
        Line(
            "duty",
            "duty",
            "Look for DUTY, TIME or S1; FAN or AIR OVER is no compressor's motor.",
            ("time rating", "time", "rating", "duty cycle"),
        ),
        Line(
            "code",
            "locked-rotor code",
            "Look for CODE or KVA CODE: one letter. A metric plate gives IA/IN instead.",
            ("kva code", "code letter", "cd", "kva"),
        ),
        Line(
            "starting current",
            "starting current over full-load current",
            "Look for IA/IN or Is/In in the maker's sheet.",
            ("ia/in", "is/in", "starting current ratio"),
        ),
        Line(
            "start",
            "way of starting",
            "Look for TYPE or DESIGN, and for one or two capacitor housings on the shell.",
            ("design", "type", "des", "nema design", "motor type"),
        ),
        Line(
            "start capacitor",
            "start capacitor",
            "With the power locked off and the capacitor bled and proved, read its marking.",
            ("start cap", "start cap."),
        ),
        Line(
            "run capacitor",
            "run capacitor",
            "With the power locked off and the capacitor bled and proved, read its marking.",
            ("run cap", "run cap."),
        ),
        Line(
            "insulation",
            "insulation class",
            "Look for INS, INSUL CLASS or Th.Cl.",
            ("ins", "insul", "ins class", "insul class", "insulation class", "th.cl.", "class", "ins. cl."),
        ),
        Line(
            "ambient",
            "ambient temperature",
            "Look for AMB or MAX AMB.",
            ("amb", "amb.", "max amb", "max. amb."),
        ),
        Line(
            "overload",
            "overload protection",
            "Look for THERMALLY PROTECTED, MANUAL or AUTO, and for a red button.",
            ("thermal protection", "prot", "protector", "thermally protected", "ol"),
        ),
        Line(
            "efficiency",
            "efficiency",
            "Look for EFF or NOM EFF.",
            ("eff", "eff.", "nom eff", "nom. eff."),
        ),
        Line(
            "power factor",
            "power factor",
            "Look for P.F. or cos phi.",
            ("pf", "p.f.", "cos phi", "cosphi", "cos φ"),
        ),
    )
}


def fold(word: str) -> str:
    """One spelling of a line's name."""
    return re.sub(r"[\s_-]+", " ", tidy(word)).casefold().strip(" .:=")


def find_line(word: str, lines: Mapping[str, Line]) -> tuple[str, str] | None:
    """Find a line by its name or an abbreviation.

    Parameters
    ----------
    word : str
        As typed.
    lines : mapping
        The lines of this plate.

    Returns
    -------
    tuple of str, optional
        The line's name and the unit that the abbreviation stands for, if it does; none if nothing is so called.
    """
    wanted = fold(word)
    for line in lines.values():
        unit = _spellings(line).get(wanted)
        if unit is not None:
            return line.name, unit
    return None


@cache
def _spellings(line: Line) -> dict[str, str]:
    """Every way to write a line's name, with the unit that it stands for; folded once, not for each line typed."""
    units = dict(line.units)
    return {fold(alias): units.get(alias, "") for alias in line.aliases} | {
        fold(line.title): "",
        fold(line.name): "",
    }


def split(typed: str, lines: Mapping[str, Line]) -> tuple[str, str]:
    """Part one typed line into its name and its value.

    Parameters
    ----------
    typed : str
        Such as "hp=5", "PH 1", "S.F. 1.15" or "volts: 230".
    lines : mapping
        The lines of this plate.

    Returns
    -------
    tuple of str
        The line's name and what stands on it, with the unit of the name behind it.

    Raises
    ------
    BadPlate
        If the line names nothing a plate has, and the nearest name is offered; or if it names two units.
    """
    for pattern, line in _SELF_NAMED:
        if line in lines and re.fullmatch(pattern, tidy(typed)):
            return line, tidy(typed)
    name, mark, value = re.match(r"([^=:]*)([=:]?)(.*)", typed, re.DOTALL).groups()  # type: ignore[union-attr]  # matches any text
    if mark and (found := find_line(name, lines)):
        return found[0], _with_unit(lines[found[0]], value, found[1])
    if not mark:
        words = typed.split()
        for count in range(min(4, len(words) - 1), 0, -1):
            if found := find_line(" ".join(words[:count]), lines):
                return found[0], _with_unit(lines[found[0]], " ".join(words[count:]), found[1])
        if len(words) > 1 and (found := find_line(words[-1], lines)):
            return found[0], _with_unit(lines[found[0]], " ".join(words[:-1]), found[1])
    raise BadPlate([Problem(tidy(typed)[:40], _unknown(name, lines), "Write it as line=value.")])


def _with_unit(line: Line, value: str, unit: str) -> str:
    """Put the unit of the line's name behind a bare number; two units on one line cannot both be true."""
    value = value.strip()
    written = re.search(r"[A-Za-z]+(?=\W*\Z)", value)
    other = {fold(alias): one for alias, one in line.units}.get(fold(written[0])) if written else None
    if unit and other and other != unit:
        why = f"its name says {unit}, what stands on it, '{tidy(value)}', says {other}"
        raise BadPlate([Problem(line.name, why, line.look)])
    bare = value and not re.search(r"[A-Za-z?]", value)
    return f"{value} {unit}" if unit and bare else value


def _unknown(name: str, lines: Mapping[str, Line]) -> str:
    spellings = {fold(one): line.name for line in lines.values() for one in (line.name, *line.aliases)}
    near = difflib.get_close_matches(fold(name), spellings, n=1, cutoff=0.5)
    if near:
        return f"no line of a plate is called so; did you mean '{spellings[near[0]]}'?"
    return f"no line of a plate is called so. Known are {', '.join(lines)}"


def parted(typed: Mapping[str, str] | Iterable[str] | str) -> list[str]:
    """Part what was typed into lines: a table, lines, or one text parted by semicolons or line ends."""
    if isinstance(typed, str):
        return re.split(r"[;\n]", typed)
    if hasattr(typed, "items"):
        return [f"{name}={value}" for name, value in typed.items()]
    return list(typed)


def gather(typed: Iterable[str], lines: Mapping[str, Line], which: str = "plate") -> dict[str, str]:
    """Read typed lines into a table of line to value.

    Parameters
    ----------
    typed : iterable of str
        One line of the plate each; blank lines and lines that begin with # are passed over.
    lines : mapping
        The lines of this plate.
    which : str
        Whose plate, for the refusal.

    Returns
    -------
    dict of str to str
        Name of the line to what stands on it.

    Raises
    ------
    BadPlate
        For lines of no known name and for a line that stands twice with two values.
    """
    found: dict[str, str] = {}
    problems: list[Problem] = []
    for one in typed:
        if not one.strip() or one.lstrip().startswith("#"):
            continue
        try:
            name, value = split(one, lines)
        except BadPlate as refusal:
            problems += refusal.problems
            continue
        if name in found and tidy(found[name]).casefold() != tidy(value).casefold():
            problems.append(_twice(lines[name], found[name], value))
        if name not in found or is_missing(found[name]):
            found[name] = value
    if problems:
        raise BadPlate(problems, which)
    return found


def _twice(line: Line, first: str, second: str) -> Problem:
    why = f"it stands there twice, as '{tidy(first)}' and as '{tidy(second)}'; only one can be true"
    return Problem(line.name, why, line.look)
