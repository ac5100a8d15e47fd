"""How calls stand, for lists outside the bench: frozen rows, nothing of a fault in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime
    from uuid import UUID


@dataclass(frozen=True)
class CallResult:
    """The result of one closed attempt."""

    public_id: UUID
    member_id: int
    member_name: str
    call_no: str
    call_title: str
    grade: str
    score: float
    result: str
    result_title: str
    critical_count: int
    used_minutes: float
    par_minutes: float
    closed_at: datetime


@dataclass(frozen=True)
class MemberResults:
    """A member's closed calls, newest first."""

    member_id: int
    results: tuple[CallResult, ...]

    @property
    def competent(self) -> int:
        """How many different calls were done competently."""
        return len({one.call_no for one in self.results if one.result == "competent"})

    @property
    def newest(self) -> CallResult | None:
        """The newest result, or None before the first."""
        return self.results[0] if self.results else None


@dataclass(frozen=True)
class OpenAttempt:
    """A call that is on the bench, half done."""

    public_id: UUID
    call_no: str
    call_title: str
    started_at: datetime
    lines: int
    clock_minutes: float


@dataclass(frozen=True)
class CallOnBoard:
    """A call on the sheet and how one member stands with it.

    `standing` is new, open, competent, not-yet-competent or voided; `public_id` is the attempt to go on with or
    to look back at.
    """

    slug: str
    no: str
    title: str
    grade: str
    par_minutes: float
    standing: str
    score: float | None
    public_id: UUID | None
