"""The frozen case of an attempt: which rig, what is wrong with it, which seed. Plain Python, no Django."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

from simulator import ENGINE_VERSION
from simulator.checks import checks_for, load_checks
from simulator.faults import BadFault, Injected, load_faults
from simulator.machine import parameters
from simulator.rig import UnknownRig, find_rig, load_rigs
from simulator.session import Session
from training.bench.exceptions import CaseChanged
from training.cases.book import load_repairs

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from simulator.checks import Check
    from simulator.faults import Fault
    from simulator.rig import Rig
    from training.cases.book import Repair


@cache
def rig_of(slug: str) -> Rig:
    """Return a rig; read once, it is frozen."""
    return find_rig(load_rigs(), slug)


@cache
def _catalogue() -> dict[str, Fault]:
    return load_faults()


def catalogue() -> Mapping[str, Fault]:
    """Return the fault catalogue; read once."""
    return _catalogue()


@cache
def faults_of(rig: str) -> dict[str, Fault]:
    """Return every fault that a rig can have: the suspects of every call on it."""
    return {slug: fault for slug, fault in _catalogue().items() if rig in fault.rigs}


@cache
def checks() -> dict[str, Check]:
    """Return every check of the tool roll, on whatever machine; read once."""
    return dict(load_checks())


@cache
def checks_of(rig: str) -> dict[str, Check]:
    """Return the checks that can be done on a rig, with the places it has."""
    return checks_for(rig_of(rig))


def repairs() -> Mapping[str, Repair]:
    """Return the repairs; read once."""
    return load_repairs()


@dataclass(frozen=True)
class Case:
    """What an attempt was begun with. `parameters` is a digest of the machine's physical figures."""

    rig: str
    injected: tuple[Injected, ...]
    seed: int
    parameters: str
    engine: str

    @classmethod
    def begin(cls, rig: str, injected: Iterable[Injected], seed: int) -> Case:
        """Freeze a case with the data and the engine of today."""
        injected = tuple(injected)
        return cls(rig, injected, seed, digest(rig, injected), ENGINE_VERSION)

    @classmethod
    def read(cls, row: Mapping[str, Any]) -> Case:
        """Read a case from an attempt's row."""
        injected = tuple(Injected(**one) for one in row["injected"])
        return cls(row["rig"], injected, row["seed"], row["parameters"], row["engine"])

    def row(self) -> dict[str, Any]:
        """Return the case as it is written in an attempt's row."""
        return asdict(self) | {"injected": [asdict(one) for one in self.injected]}

    def session(self, injected: Iterable[Injected] | None = None) -> Session:
        """Return the rig as it stands at the start; with other faults than its own to ask what if."""
        faults = self.injected if injected is None else tuple(injected)
        fresh = _at_the_start(self.rig, faults).copy()
        fresh.seed = self.seed
        return fresh

    @property
    def is_changed(self) -> bool:
        """Whether the machine's figures are no longer those the case was begun with."""
        try:
            return digest(self.rig, self.injected) != self.parameters
        except (BadFault, UnknownRig):  # the catalogue no longer has it
            return True

    def check_unchanged(self) -> None:
        """Refuse to replay on a machine whose figures are no longer those of the case."""
        if self.is_changed:
            raise CaseChanged(
                "The machine's data were changed after this call was begun, so it cannot be gone on with. "
                "Begin the call again; what was marked before stands."
            )

    @property
    def true_faults(self) -> frozenset[str]:
        """The slugs of what is wrong."""
        return frozenset(one.fault for one in self.injected)


@lru_cache(maxsize=512)
def _at_the_start(rig: str, injected: tuple[Injected, ...]) -> Session:
    """Return a machine nobody has touched, to be copied: its figures take longer to work out than to copy."""
    return Session(rig_of(rig), _catalogue(), injected, seed=0)


@lru_cache(maxsize=512)
def digest(rig: str, injected: tuple[Injected, ...]) -> str:
    """Return a digest of every physical parameter of the machine with these faults in it."""
    figures = parameters(rig_of(rig), _catalogue(), injected)
    return hashlib.sha256(json.dumps(figures, default=repr).encode()).hexdigest()
