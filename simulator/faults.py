"""Faults as data: a fault is a named change of physical parameters with a severity; it never touches a symptom."""

import math
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from simulator.components.spec import BadSpec, nearest

FIXTURES = Path(__file__).parent.parent / "fixtures"
Value = float | str | bool


class BadFault(ValueError):
    """A fault that is not known, or cannot be put in as asked; says how to mend it."""


@dataclass(frozen=True)
class Effect:
    """What a fault does to one parameter."""

    parameter: str
    low: float | None = None
    high: float | None = None
    scale: Literal["lin", "log"] = "lin"
    state: Value | None = None

    def __post_init__(self) -> None:
        graded = self.low is not None and self.high is not None
        if graded == (self.state is not None):
            raise ValueError(f"{self.parameter}: give either low and high, or a state")
        if self.scale not in ("lin", "log"):
            raise ValueError(f"{self.parameter}: scale '{self.scale}' is not lin or log")

    def at(self, severity: float | None) -> Value:
        """Value of the parameter at a severity.

        Parameters
        ----------
        severity : float or None
            From 0 to 1; not used by a discrete state. [-]

        Returns
        -------
        float or str or bool
            In the unit the parameter's name says.
        """
        if self.state is not None:
            return self.state
        low, high = float(self.low or 0.0), float(self.high or 0.0)
        s = 0.5 if severity is None else severity
        if self.scale == "log":
            return float(low * (high / low) ** s)
        return low + s * (high - low)


@dataclass(frozen=True)
class Lookalike:
    """A fault that looks alike, and the one observation that parts the two."""

    fault: str
    separator: str
    check: str


@dataclass(frozen=True)
class Fault:
    """One entry of the fault catalogue."""

    slug: str
    system: str
    title: str
    rigs: tuple[str, ...]
    hazard_level: int
    base_rate: float
    mechanism: str
    effects: tuple[Effect, ...]
    repair: str
    wrong_repair: str
    hazard: str
    prohibited: str
    lookalikes: tuple[Lookalike, ...] = ()
    locations: tuple[str, ...] = ()
    claims: Mapping[str, str] = field(default_factory=dict)

    @property
    def graded(self) -> bool:
        """Whether the fault has a severity at all."""
        return any(effect.state is None for effect in self.effects)


@dataclass(frozen=True)
class Injected:
    """One fault put into a machine."""

    fault: str
    severity: float | None = None
    location: str | None = None

    def __post_init__(self) -> None:
        if self.severity is not None and not (math.isfinite(self.severity) and 0.0 <= self.severity <= 1.0):
            raise BadFault(
                f"Severity {self.severity:g} of '{self.fault}' is outside 0 to 1. 0 is just detectable, 1 as bad as it gets."
            )


def find(catalogue: Mapping[str, Fault], slug: str) -> Fault:
    """Find a fault by its slug.

    Parameters
    ----------
    catalogue : mapping
        Of faults by slug.
    slug : str
        The fault wanted.

    Returns
    -------
    Fault
        The entry.

    Raises
    ------
    BadFault
        Naming the nearest known slug.
    """
    if slug not in catalogue:
        raise BadFault(f"No fault is called '{slug}'.{nearest(slug, set(catalogue))}")
    return catalogue[slug]


def check_injected(catalogue: Mapping[str, Fault], rig: str, injected: Iterable[Injected]) -> None:
    """Refuse faults that the rig cannot have, a location that is none, a fault put in twice.

    Parameters
    ----------
    catalogue : mapping
        Of faults by slug.
    rig : str
        The rig's slug.
    injected : iterable of Injected
        The faults to be put in.

    Raises
    ------
    BadFault
        With the rule and the nearest thing that would be right.
    """
    seen = set()
    for one in injected:
        fault = find(catalogue, one.fault)
        if rig not in fault.rigs:
            raise BadFault(
                f"'{fault.slug}' cannot be had by rig '{rig}'. It goes with: {', '.join(fault.rigs)}."
            )
        if one.location is not None and one.location not in fault.locations:
            places = ", ".join(fault.locations) or "none, leave the location out"
            raise BadFault(f"'{fault.slug}' has no location '{one.location}'. Locations: {places}.")
        if (one.fault, one.location) in seen:
            raise BadFault(f"'{fault.slug}' is put in twice at one place; give it once with one severity.")
        seen.add((one.fault, one.location))


def load_faults(path: Path | None = None) -> dict[str, Fault]:
    """Read the fault catalogue.

    Parameters
    ----------
    path : Path, optional
        Of the TOML file; the project's fixtures if left out.

    Returns
    -------
    dict of str to Fault
        By slug.

    Raises
    ------
    BadSpec
        For unknown keys, look-alikes that are none, slugs given twice.
    """
    path = path or FIXTURES / "faults.toml"
    catalogue: dict[str, Fault] = {}
    for table in tomllib.loads(path.read_text(encoding="utf-8")).get("fault", []):
        fault = _fault(dict(table), f"{path.name}: fault '{table.get('slug', '?')}'")
        if fault.slug in catalogue:
            raise BadSpec(f"{path.name}: fault '{fault.slug}' stands there twice.")
        catalogue[fault.slug] = fault
    for fault in catalogue.values():
        for other in fault.lookalikes:
            if other.fault not in catalogue:
                raise BadSpec(
                    f"{path.name}: '{fault.slug}' names the look-alike '{other.fault}', which is not there."
                    f"{nearest(other.fault, set(catalogue))}"
                )
    return catalogue


def _fault(table: dict[str, Any], where: str) -> Fault:
    known = set(Fault.__dataclass_fields__)
    for key in table:
        if key not in known:
            raise BadSpec(f"{where}: unknown key '{key}'.{nearest(key, known)}")
    try:
        table["effects"] = tuple(Effect(**effect) for effect in table.get("effects", ()))
        table["lookalikes"] = tuple(Lookalike(**other) for other in table.get("lookalikes", ()))
        for key in ("rigs", "locations"):
            table[key] = tuple(table.get(key, ()))
        return Fault(**table)
    except (TypeError, ValueError) as refusal:
        raise BadSpec(f"{where}: {refusal}") from refusal
