"""Faults as data: a fault is a named change of physical parameters with a severity; it never touches a symptom."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from simulator.components.spec import BadSpec, nearest, tables
from simulator.expectations import Expectation, read_expectations
from simulator.rig import Rig

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
    onset: Literal["gradual", "sudden", "installed"] = "gradual"
    lookalikes: tuple[Lookalike, ...] = ()
    stage: int | None = (
        None  # whose cylinders it can sit in: 1, 2, or 0 for any; none if it sits in no cylinder
    )
    shared: bool = False  # whether all those cylinders share it, so that it has no place of its own
    seen: Mapping[str, str] = field(default_factory=dict)  # in words, by the state of the machine
    expect: tuple[Expectation, ...] = ()

    def __post_init__(self) -> None:
        if self.onset not in ("gradual", "sudden", "installed"):
            raise ValueError(f"onset '{self.onset}' is not gradual, sudden or installed")
        if self.stage not in (None, 0, 1, 2):
            raise ValueError(f"stage {self.stage} is not 0 (any cylinder), 1 or 2")

    def cylinders_on(self, rig: Rig) -> tuple[str, ...]:
        """Slugs of the cylinders it can sit in; none for a fault that sits in no cylinder."""
        if self.stage is None:
            return ()
        return tuple(c.slug for c in rig.pump.cylinders if self.stage in (0, c.stage))

    def locations_on(self, rig: Rig) -> tuple[str, ...]:
        """Places among which one has to be named: cylinders, where there is more than none to choose from."""
        return () if self.shared else self.cylinders_on(rig)

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


def check_injected(catalogue: Mapping[str, Fault], rig: Rig, injected: Iterable[Injected]) -> None:
    """Refuse faults that the rig cannot have, a location that is none, a fault put in twice.

    Parameters
    ----------
    catalogue : mapping
        Of faults by slug.
    rig : Rig
        The rig.
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
        if rig.slug not in fault.rigs:
            raise BadFault(
                f"'{fault.slug}' cannot be had by rig '{rig.slug}'. It goes with: {', '.join(fault.rigs)}."
            )
        locations = fault.locations_on(rig)
        if one.location is not None and one.location not in locations:
            places = ", ".join(locations) or "none, leave the location out"
            raise BadFault(f"'{fault.slug}' has no location '{one.location}'. Locations: {places}.")
        if (one.fault, one.location) in seen:
            raise BadFault(f"'{fault.slug}' is put in twice at one place; give it once with one severity.")
        seen.add((one.fault, one.location))


def load_faults(path: Path | None = None) -> dict[str, Fault]:
    """Read the fault catalogue.

    Parameters
    ----------
    path : Path, optional
        Of the TOML file or of a folder of them; the project's fixtures if left out.

    Returns
    -------
    dict of str to Fault
        By slug.

    Raises
    ------
    BadSpec
        For unknown keys, look-alikes that are none, slugs given twice.
    """
    catalogue: dict[str, Fault] = {}
    for name, table in tables(path or FIXTURES / "faults", "fault"):
        fault = _fault(table, f"{name}: fault '{table.get('slug', '?')}'")
        if fault.slug in catalogue:
            raise BadSpec(f"{name}: fault '{fault.slug}' stands there twice.")
        catalogue[fault.slug] = fault
    for fault in catalogue.values():
        for other in fault.lookalikes:
            if other.fault not in catalogue:
                raise BadSpec(
                    f"'{fault.slug}' names the look-alike '{other.fault}', which is not there."
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
        table["rigs"] = tuple(table.get("rigs", ()))
        table["expect"] = read_expectations(table.get("expect", ()), where)
        return Fault(**table)
    except (TypeError, ValueError) as refusal:
        raise BadSpec(f"{where}: {refusal}") from refusal
