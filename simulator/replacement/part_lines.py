"""The lines of the air side's plates and places, from data: names, where to look, and how each is read."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from simulator.components.spec import BadSpec, nearest
from simulator.replacement import part_reading as read
from simulator.replacement.part_reading import Asked
from simulator.replacement.plate_words import phase
from simulator.replacement.ratings import read_ratings
from simulator.replacement.tables import table
from simulator.replacement.threads import read_thread

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

READERS: dict[str, Callable[[str], Any]] = {
    "pressure": read.pressure,
    "pressures": read.pressures,
    "rated_pressure": read.rated_pressure,
    "scale": read.scale,
    "pressure_step": read.pressure_step,
    "pressure_steps": read.pressure_steps,
    "temperature": read.temperature,
    "length": read.length,
    "flow": read.flow,
    "voltage": read.voltage,
    "current": read.current,
    "power": read.power,
    "count": read.pieces,
    "phase": phase,
    "thread": read_thread,
    "ratings": read_ratings,
}
KEYS = frozenset({"title", "look", "read", "word", "what", "aliases", "units"})


@cache
def part_lines(kind: str, of: str) -> Mapping[str, Asked]:
    """Read the lines of a part or of the place it goes to.

    Parameters
    ----------
    kind : str
        Such as "relief".
    of : str
        "part" or "place".

    Returns
    -------
    mapping of str to Asked
        By name, in the order of the file.

    Raises
    ------
    BadSpec
        For an entry with unknown or missing keys, and for an unknown way to read.
    """
    return {name: _line(name, entry, f"{kind}.{of}") for name, entry in table("part_lines")[kind][of].items()}


def _line(name: str, entry: Mapping[str, Any], where: str) -> Asked:
    for key in entry:
        if key not in KEYS:
            raise BadSpec(
                f"part_lines.toml: {where}: '{name}': unknown key '{key}'.{nearest(key, set(KEYS))}"
            )
    if not {"title", "look", "read"} <= set(entry):
        raise BadSpec(f"part_lines.toml: {where}: '{name}' lacks title, look or read.")
    if entry["read"] == "word":
        reader = read.words(entry["word"], entry["what"])
    elif entry["read"] in READERS:
        reader = READERS[entry["read"]]
    else:
        known = nearest(entry["read"], {*READERS, "word"})
        raise BadSpec(f"part_lines.toml: {where}: '{name}': nothing reads '{entry['read']}'.{known}")
    return Asked(
        name,
        entry["title"],
        entry["look"],
        tuple(entry.get("aliases", ())),
        tuple(entry.get("units", {}).items()),
        reader,
    )
