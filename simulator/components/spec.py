"""Specs are read from tables whose keys carry their unit; everything inside is SI."""

import difflib
import math
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, field, fields
from pathlib import Path
from typing import Any, TypeVar

from simulator import units

SpecT = TypeVar("SpecT")


class BadSpec(ValueError):
    """A rig's table holds something that cannot be: says where, what and the rule."""


def tables(path: Path, name: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Read the tables of one name from a TOML file, or from every one of a folder in the order of their names.

    Parameters
    ----------
    path : Path
        File or folder.
    name : str
        Of the array of tables.

    Yields
    ------
    tuple of str and dict
        Name of the file, and one table.
    """
    for file in sorted(path.glob("*.toml")) if path.is_dir() else [path]:
        for table in tomllib.loads(file.read_text(encoding="utf-8")).get(name, []):
            yield file.name, dict(table)


def measured(key: str, unit: str, si: str, default: Any = MISSING) -> Any:
    """Declare a field that stands in the table as `key` in `unit` and inside as `si`."""
    metadata = {"key": key, "unit": unit, "si": si}
    return field(metadata=metadata) if default is MISSING else field(default=default, metadata=metadata)


def nearest(word: str, known: Mapping[str, object] | set[str]) -> str:
    """Name the nearest known word, ready to stand at the end of a refusal."""
    close = difflib.get_close_matches(word, list(known), n=1, cutoff=0.4)
    return f" Did you mean '{close[0]}'?" if close else f" Known: {', '.join(sorted(known))}."


def build(cls: type[SpecT], table: Mapping[str, Any], where: str) -> SpecT:
    """Make a Spec of a table, refusing keys that are unknown, missing or not finite numbers.

    Parameters
    ----------
    cls : type
        A frozen dataclass; fields made by `measured` are converted to SI.
    table : mapping
        The table as read from the fixture.
    where : str
        Place in the fixture, for the refusal.

    Returns
    -------
    object
        An instance of `cls`.

    Raises
    ------
    BadSpec
        With the place, the key, the value and the rule.
    """
    declared = {f.metadata.get("key", f.name): f for f in fields(cls)}  # type: ignore[arg-type]
    for key in table:
        if key not in declared:
            raise BadSpec(f"{where}: unknown key '{key}'.{nearest(key, set(declared))}")
    values: dict[str, Any] = {}
    for key, f in declared.items():
        if key not in table:
            if f.default is MISSING and f.default_factory is MISSING:
                raise BadSpec(f"{where}: '{key}' is missing.")
            continue
        values[f.name] = _value(table[key], f.metadata, f"{where}.{key}")
    try:
        return cls(**values)
    except ValueError as refusal:
        raise BadSpec(f"{where}: {refusal}") from refusal


def _value(raw: Any, metadata: Mapping[str, Any], where: str) -> Any:
    if not metadata.get("unit"):
        return tuple(raw) if isinstance(raw, list) else raw
    if isinstance(raw, bool) or not isinstance(raw, int | float) or not math.isfinite(raw):
        raise BadSpec(f"{where}: {raw!r} is not a number of {metadata['unit']}.")
    if metadata["unit"] == metadata["si"]:
        return float(raw)
    return units.convert(float(raw), metadata["unit"], metadata["si"])


def check_positive(**values: float) -> None:
    """Refuse a figure that is not above zero (NaN included)."""
    for name, value in values.items():
        if not value > 0:
            raise ValueError(f"{name.replace('_', ' ')} is {value:g}; it must be above zero.")


def check_between(low: float, high: float, **values: float) -> None:
    """Refuse a figure outside its physical range (NaN included)."""
    for name, value in values.items():
        if not low <= value <= high:
            raise ValueError(
                f"{name.replace('_', ' ')} is {value:g}; it must lie between {low:g} and {high:g}."
            )
