"""Deeds at the bench: one transaction each, the log locked, the same key never acting twice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from training.bench.models import Attempt
    from training.cases.models import Call
    from training.people.models import Member


@dataclass(frozen=True)
class Outcome:
    """What came of a deed. `critical` holds the reason when it was prohibited and therefore not carried out."""

    number: int
    deed: str
    words: str
    critical: str
    clock: float
    repeated: bool


def open_attempt(*, learner: Member, call: Call, now: datetime, seed: int | None = None) -> Attempt:
    """Begin a call: freeze the case and return the attempt (the open one if there is one)."""
    raise NotImplementedError


def act(
    *, attempt: Attempt, key: str, at: float | None, deed: str, details: Mapping[str, Any], now: datetime
) -> Outcome:
    """Do one deed on the rig and write it in the log, or raise a Refusal and write nothing."""
    raise NotImplementedError
