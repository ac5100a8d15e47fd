"""What was typed, turned into quantities, faults and deeds, or refused with the way to mend it."""

import argparse
import json
import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Protocol

from simulator import units
from simulator.adjustable import ADJUSTABLE
from simulator.components.spec import nearest
from simulator.faults import BadFault, Effect, Fault, Injected

LONGEST_RUN = 24.0 * 3600.0  # [s]
MOST_ROWS = 200_000
LARGEST_LOG = 1_000_000  # [bytes]
LARGEST_SEED = 2**63 - 1


# How a parameter's name ends -> the quantity it is and the unit it is kept in; other names are bare numbers.
UNIT_BY_ENDING = {
    "_d_mm": ("small_length", "mm"),
    "_ohm": ("resistance", "Ω"),
    "_psi": ("pressure_drop", "psi"),
    "_pct": ("percent", "%"),
    "_c": ("temperature", "°C"),
    "_m": ("length", "m"),
}


class Commands(Protocol):
    """Where a room adds its commands."""

    def add_parser(self, name: str, *, help: str) -> argparse.ArgumentParser:  # noqa: A002  argparse's word
        """Add one command."""


class BadInput(ValueError):
    """Something typed has no meaning here; the message says what and how to write it."""


@dataclass(frozen=True)
class Deed:
    """One line of a log: when on the rig's clock [s], and what is done."""

    at: float
    do: str


def quantity(text: str, kind: str, option: str, default_unit: str = "") -> float:
    """Read a quantity of an option through the one door to units. [SI]."""
    try:
        return units.read(text, kind, default_unit)
    except units.NotAQuantity as refusal:
        raise BadInput(f"{option}: {refusal}") from refusal


def duration(text: str, option: str) -> float:
    """Read how long or how often: above zero, at most a day. [s]."""
    seconds = quantity(text, "duration", option)
    if not 0.0 < seconds <= LONGEST_RUN:
        raise BadInput(f"{option}: '{text}' must be above zero and at most 24 h.")
    return seconds


def seed(text: str) -> int:
    """Read a seed: a whole number from 0 up."""
    if not (text.isascii() and text.isdigit()) or len(text) > 19 or int(text) > LARGEST_SEED:
        raise BadInput(f"--seed: '{text[:40]}' is not a seed. Write a whole number such as 7.")
    return int(text)


def sample_times(length: float, every: float) -> list[float]:
    """Times of the rows, from the start to the end of the run. [s]."""
    rows = length / every
    if rows > MOST_ROWS:
        raise BadInput(
            f"--every: that makes {rows:.0f} rows, at most {MOST_ROWS} are written. Choose a longer --every."
        )
    count = math.floor(rows + 1e-9)
    times = [step * every for step in range(count + 1)]
    return times if length - times[-1] <= 1e-9 * length else [*times, length]


def fault(text: str) -> Injected:
    """Read SLUG, SLUG=SEVERITY or SLUG@PLACE=SEVERITY."""
    name, equals, severity = text.partition("=")
    slug, at, location = name.strip().partition("@")
    if not slug or (at and not location):
        raise BadInput(
            f"--fault: '{text}' is not a fault. Write it as ring-wear, ring-wear=0.6 or ring-wear@cyl1=0.6."
        )
    try:
        return Injected(slug, _severity(severity, text) if equals else None, location or None)
    except BadFault as refusal:
        raise BadInput(f"--fault: {refusal}") from refusal


def setting(text: str, rig: str) -> Fault:
    """Read PARAM=VALUE as a fault of this rig that does nothing but set that parameter."""
    name, equals, value = text.partition("=")
    name = name.strip()
    plain = name.partition("@")[0]
    if not equals or not plain:
        raise BadInput(f"--set: '{text}' sets nothing. Write it as intake.area_factor=0.2.")
    if plain not in ADJUSTABLE:
        raise BadInput(f"--set: no parameter is called '{plain}'.{nearest(plain, set(ADJUSTABLE))}")
    effect = Effect(name, state=_setting_value(plain, value.strip()))
    return Fault(
        slug=f"set {text}",
        system="set",
        title=text,
        rigs=(rig,),
        hazard_level=1,
        base_rate=0.0,
        mechanism="",
        effects=(effect,),
        repair="",
        wrong_repair="",
        hazard="",
        prohibited="",
    )


def _setting_value(name: str, text: str) -> float | str:
    """Take a state's word, a number in the unit of the name, or a quantity with its unit."""
    if ADJUSTABLE[name].states:
        return text
    value = plain_number(text)
    if value is not None:
        return value
    for ending, (kind, unit) in UNIT_BY_ENDING.items():
        if name.endswith(ending):
            return _kept_in(quantity(text, kind, f"--set {name}", unit), kind, unit)
    raise BadInput(f"--set: '{text}' is not a value of {name}. Write a number, such as {name}=0.5.")


def _kept_in(value: float, kind: str, unit: str) -> float:
    if kind == "percent":
        return value
    standard = {
        "small_length": "m",
        "resistance": "Ω",
        "pressure_drop": "Pa",
        "temperature": "K",
        "length": "m",
    }
    return units.convert(value, standard[kind], unit)


def _severity(text: str, whole: str) -> float:
    value = plain_number(text)
    if value is None:
        raise BadInput(
            f"--fault: '{text}' in '{whole}' is not a severity. Write a number from 0 to 1, such as 0.6."
        )
    return value


def plain_number(text: str) -> float | None:
    """Read a finite number without a unit; None for anything else, 'nan' and 'inf' included."""
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) and "_" not in text else None


def read_log(path: str) -> list[Deed]:
    """Read a log of deeds: a JSON list of {"at", "do"} in the order of time."""
    where = Path(path)
    try:
        if where.stat().st_size > LARGEST_LOG:
            raise BadInput(f"--log: '{path}' is larger than {LARGEST_LOG} bytes; that is no log of deeds.")
        entries = json.loads(where.read_text(encoding="utf-8"), parse_constant=_no_constant)
    except OSError as refusal:
        raise BadInput(f"--log: '{path}' cannot be read: {refusal.strerror}.") from refusal
    except (json.JSONDecodeError, UnicodeDecodeError, RecursionError) as refusal:
        raise BadInput(f"--log: '{path}' is not JSON: {refusal}.") from refusal
    if not isinstance(entries, list):
        raise BadInput(f'--log: \'{path}\' must hold a list such as [{{"at": "0 s", "do": "start"}}].')
    return _in_order(
        [_deed(entry, f"--log: entry {number}") for number, entry in enumerate(entries, start=1)]
    )


def _no_constant(name: str) -> float:
    raise BadInput(f"--log: {name} is not a number that a log can hold.")


def _deed(entry: object, where: str) -> Deed:
    if not isinstance(entry, dict) or set(entry) != {"at", "do"}:
        raise BadInput(
            f'{where} must have "at" and "do" and nothing else, such as {{"at": "6 min", "do": "stop"}}.'
        )
    at, do = entry["at"], entry["do"]
    if not isinstance(at, str) or not isinstance(do, str):
        raise BadInput(f'{where}: write "at" and "do" as text, such as {{"at": "6 min", "do": "stop"}}.')
    seconds = quantity(at, "duration", where)
    if seconds > LONGEST_RUN:
        raise BadInput(f"{where}: '{at}' is past the longest run, 24 h.")
    return Deed(seconds, do)


def _in_order(deeds: Sequence[Deed]) -> list[Deed]:
    for number, (before, after) in enumerate(pairwise(deeds), start=2):
        if after.at < before.at:
            raise BadInput(
                f"--log: entry {number} is at {after.at:g} s, before entry {number - 1} at {before.at:g} s."
                " Write the entries in the order they happen."
            )
    return list(deeds)
