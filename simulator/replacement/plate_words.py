"""The words of a motor's plate: enclosures, duties, starts, keys, capacitors, code letters."""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator.replacement.tables import table, words
from simulator.replacement.writing import Unreadable, measure, number, tidy

if TYPE_CHECKING:
    from simulator.replacement.tables import Word

PHASES = {"1": 1, "single": 1, "one": 1, "3": 3, "three": 3, "poly": 3}
MOUNTINGS = ("feet", "face and feet", "face")


@dataclass(frozen=True)
class Key:
    """A key: width and height, or a flat on the shaft. [m]"""

    width: float = 0.0
    height: float = 0.0
    flat: bool = False


@dataclass(frozen=True)
class Capacitor:
    """A capacitor as marked; none fitted, or one that comes with the motor and is not marked on the plate."""

    low: float = 0.0  # [F]
    high: float = 0.0  # [F]
    volts: float = 0.0
    fitted: bool = True


def word(text: str, file: str, name: str, what: str) -> Word:
    """Find an entry of a list by any of its spellings.

    Parameters
    ----------
    text : str
        As typed.
    file : str
        Name of the file of tables.
    name : str
        Of the list in it.
    what : str
        What the line is called, for the refusal.

    Returns
    -------
    Word
        The entry.

    Raises
    ------
    Unreadable
        Naming the nearest spellings.
    """
    known = {spelling: one for one in words(file, name).values() for spelling in one.spellings}
    typed = tidy(text).casefold().strip(" .")
    if typed in known:
        return known[typed]
    bare = re.sub(r"[^a-z0-9%]+", " ", typed).strip()
    loose = {re.sub(r"[^a-z0-9%]+", " ", spelling).strip(): one for spelling, one in known.items()}
    if bare in loose:
        return loose[bare]
    near = difflib.get_close_matches(bare, loose, n=2, cutoff=0.6)
    offered = " or ".join(f"'{one}'" for one in near) if near else ", ".join(words(file, name))
    raise Unreadable(f"'{tidy(text)}' is no {what} known here. Write {offered}")


def enclosure(text: str) -> str:
    """Read an enclosure: ODP, TEFC, IP55. Anything behind a comma is left aside, such as IC411."""
    return word(text.split(",", maxsplit=1)[0], "motors", "enclosure", "enclosure").kind


def duty(text: str) -> str:
    """Read a duty: CONT, S1, compressor duty, 30 min."""
    return word(re.sub(r"\(.*?\)", "", text), "motors", "duty", "duty").kind


def start(text: str) -> str:
    """Read how it starts: CSCR, split phase, design B."""
    return word(text, "motors", "start", "way of starting").kind


def overload(text: str) -> str:
    """Read the overload protection: manual, auto, in the starter, none."""
    return word(text, "motors", "overload", "overload protection").kind


def rotation(text: str) -> str:
    """Read a rotation, always as seen facing the shaft."""
    bare = tidy(text).casefold().strip(" .")
    if bare in ("cw", "ccw", "clockwise", "counterclockwise", "counter-clockwise", "left", "right"):
        raise Unreadable(
            f"'{tidy(text)}' does not say from which end. Write 'CW shaft end' (seen facing the shaft) or 'CW lead end', or 'reversible'"
        )
    return word(text, "motors", "rotation", "rotation").kind


def phases_of(kind: str) -> int | None:
    """Phases that a way of starting needs."""
    return int(words("motors", "start")[kind].facts["phases"]) or None


def phase(text: str) -> int:
    """Read the number of phases: 1, 3~, PH 1, single, three-phase."""
    bare = re.sub(r"(?i)phases?|ph\.?|~|ø|φ|-", " ", tidy(text)).strip().casefold()
    if bare not in PHASES:
        raise Unreadable(f"'{tidy(text)}' is neither one phase nor three. Write 1 or 3")
    return PHASES[bare]


def code_letter(text: str) -> str:
    """Read a locked-rotor code: one letter, A to V without I, O and Q."""
    known = [letter for letter in table("circuit")["locked_rotor"] if len(letter) == 1]
    letter = re.sub(r"(?i)^(?:kva )?code\s*", "", tidy(text)).upper()
    if letter not in known:
        hint = {"I": "J or L", "O": "D or C", "Q": "P or R"}.get(letter, f"one of {' '.join(known)}")
        raise Unreadable(f"there is no code letter '{tidy(text)}'; look again for {hint}")
    return letter


def insulation(text: str) -> str:
    """Read an insulation class."""
    known = [row[0] for row in table("motors")["insulation"]["rows"]]
    letter = re.sub(r"(?i)^class\s*", "", tidy(text)).upper()
    if letter not in known:
        raise Unreadable(f"'{tidy(text)}' is no insulation class. Write {', '.join(known)}")
    return letter


def mounting(text: str) -> str:
    """Read a mounting: feet, face, or both; IEC codes such as B3 and B14 too."""
    typed = tidy(text).upper().removeprefix("IM").strip()
    entry = next((one for one in table("frames")["mounting"] if one["code"] == typed), None)
    if entry:
        return "face" if not entry["feet"] else "feet" if typed == "B3" else "face and feet"
    bare = typed.casefold()
    face = bool(re.search(r"face|flange", bare))
    feet = bool(re.search(r"\bfoot\b|\bfeet\b|rigid|resilient|cradle|\bbase\b", bare))
    if re.search(r"no (?:feet|foot|base)|less base|footless|round body", bare):
        feet, face = False, True
    if not (face or feet):
        raise Unreadable(f"'{tidy(text)}' is no mounting known here. Write {', '.join(MOUNTINGS)} or B3, B14")
    return MOUNTINGS[1] if face and feet else MOUNTINGS[2] if face else MOUNTINGS[0]


def key(text: str) -> Key:
    """Read a key: 3/16 in square, 8 x 7 mm, flat, none."""
    typed = tidy(text).casefold()
    if typed in ("flat", "none (flat)", "d flat", "flat on shaft"):
        return Key(flat=True)
    bare = re.sub(r"\bsquare\b|\bsq\.?|\bkey(?:way)?\b|\bwide\b", " ", typed).strip()
    parts = [part.strip() for part in re.split(r"(?<=[\d\"m n])x(?=[\d ])", bare)]
    if not 1 <= len(parts) <= 3:
        raise Unreadable(f"'{tidy(text)}' is no key. Write 3/16 in square, 8 x 7 mm or flat")
    unit = re.sub(r"[\d.,/ -]", "", parts[-1])
    sizes = [
        measure(part if re.search(r"[a-z\"]", part) else f"{part} {unit}", "small_length") for part in parts
    ]
    return Key(sizes[0], sizes[1] if len(sizes) > 1 else sizes[0])


def capacitor(text: str) -> Capacitor:
    """Read a capacitor's marking: 270-324 uF 250 VAC, 35 MFD; fitted; none."""
    typed = tidy(text).casefold()
    if typed in ("none", "no", "without"):
        return Capacitor(fitted=False)
    if typed in ("fitted", "included", "with the motor", "on the motor", "yes"):
        return Capacitor()
    pattern = r"(?:two )?(?P<low>[\d.,]+)(?: ?- ?(?P<high>[\d.,]+))? ?(?:u|µ|μ)?(?:mfd|fd|f)(?P<rest>.*)"
    found = re.fullmatch(pattern, typed)
    if found is None:
        raise Unreadable(f"'{tidy(text)}' is no capacitor. Write 270-324 uF 250 VAC, fitted or none")
    low, high = number(found["low"]), number(found["high"] or found["low"])
    volts = re.search(r"(\d+) ?v", found["rest"])
    if not low <= high or not math.isfinite(high):
        raise Unreadable(f"'{tidy(text)}' runs from more to less microfarads")
    pair = 2.0 if typed.startswith("two ") else 1.0
    return Capacitor(pair * low * 1e-6, pair * high * 1e-6, float(volts[1]) if volts else 0.0)
