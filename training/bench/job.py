"""The state of an attempt at some line of its log: the machine, and what was found, named, mended and said."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass, field, replace
from typing import TYPE_CHECKING, Any

from training.bench.case import checks

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulator.checks import Finding, Reading
    from simulator.session import Session
    from training.bench.case import Case
    from training.bench.proof import Proof
    from training.bench.shown import Stage
    from training.bench.ticket import Ticket
    from training.cases.book import Repair
    from training.grading.calls import Confidence

ROUNDING = 0.5  # a page's clock may be this far off the log's and still mean the same moment [s]


@dataclass(frozen=True)
class Line:
    """A line of the log as replay needs it."""

    number: int
    at: float
    deed: str
    details: Mapping[str, Any]

    def __hash__(self) -> int:
        return hash((self.number, self.at, self.deed))


@dataclass(frozen=True)
class Told:
    """What came of a line. `critical` is the reason why it was prohibited and not carried out."""

    line: Line
    ended: float
    words: str
    finding: Finding | None = None
    critical: str = ""

    def answer(self) -> dict[str, Any]:
        """Return it as written in the log's `answer`: what the learner was told, to the digit."""
        found = None
        if self.finding is not None:
            found = asdict(self.finding) | {"readings": [_reading(one) for one in self.finding.readings]}
        return {"words": self.words, "critical": self.critical, "finding": found}


def _reading(reading: Reading) -> dict[str, Any]:
    """Return a reading for JSON, which knows no infinity: what never came to an end has no value."""
    return asdict(reading) | {"value": reading.value if math.isfinite(reading.value) else None}


@dataclass(frozen=True)
class Named:
    """A fault as it was written in ink."""

    fault: str
    location: str


@dataclass
class Job:
    """An attempt being replayed."""

    case: Case
    session: Session
    told: list[Told] = field(default_factory=list)
    asked: bool = False
    tried_to_start: bool = False
    pinned: set[int] = field(default_factory=set)
    suspects: dict[str, tuple[bool, str]] = field(default_factory=dict)
    named: tuple[Named, ...] = ()
    confidence: Confidence | None = None
    named_at: float = 0.0
    named_number: int = 0
    repairs: list[tuple[int, Repair]] = field(default_factory=list)
    proofs: list[tuple[int, Proof]] = field(default_factory=list)
    ticket: Ticket | None = None
    said: str = ""
    closed: bool = False
    voided: bool = False

    def copy(self) -> Job:
        """Return an independent continuation from here."""
        return replace(
            self,
            session=self.session.copy(),
            told=list(self.told),
            pinned=set(self.pinned),
            suspects=dict(self.suspects),
            repairs=list(self.repairs),
            proofs=list(self.proofs),
        )

    @property
    def clock(self) -> float:
        """The rig's clock. [s]"""
        return self.session.clock

    @property
    def stage(self) -> Stage:
        """How far the call is."""
        if self.closed:
            return "closed"
        if self.proofs and self.proofs[-1][0] > self.repairs[-1][0]:
            return "proved"
        if self.repairs:
            return "repaired"
        return "named" if self.named else "looking"

    @property
    def critical(self) -> tuple[str, ...]:
        """The critical failures, in words."""
        return tuple(told.critical for told in self.told if told.critical)

    @property
    def used_minutes(self) -> float:
        """Minutes on the rig's clock until the fault was named, or so far."""
        return (self.named_at if self.named else self.clock) / 60.0

    def stop_words(self) -> list[str]:
        """Return what was found after which the machine must not run, until something was mended."""
        since = max((number for number, repair in self.repairs if repair.cures), default=0)
        seen = [told.finding for told in self.told if told.finding is not None and told.line.number > since]
        return [
            checks()[finding.check].outcomes[finding.outcome]
            for finding in seen
            if finding.outcome in checks()[finding.check].stop
        ]

    def found(self) -> list[tuple[int, Finding]]:
        """Return the findings on which the naming could stand: those before it."""
        return [
            (told.line.number, told.finding)
            for told in self.told
            if told.finding is not None and not (self.named and told.line.number > self.named_number)
        ]
