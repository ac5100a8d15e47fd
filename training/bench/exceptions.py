"""Refusals at the bench, in words for the learner.

`status` is the HTTP status that a page answers with: 409 when the attempt stands otherwise than the page
believed, 422 when what was sent cannot be understood.
"""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


LONGEST_QUOTED = 60


def quoted(given: object) -> str:
    """Return what was sent for a message: a long text by its beginning, and so marked."""
    words = str(given)
    return words if len(words) <= LONGEST_QUOTED else f"{words[:LONGEST_QUOTED]}\N{HORIZONTAL ELLIPSIS}"


class Refusal(Exception):
    """A deed that was not done, with the reason as its message. Nothing was written."""

    status = 409


class OutOfOrder(Refusal):
    """Something else comes first."""


class AttemptClosed(Refusal):
    """The call is closed: the log takes no more lines."""


class ClockRefused(Refusal):
    """The rig's clock is not where the page believed it to be."""

    def __init__(self, words: str, clock: float, horizon: float) -> None:
        super().__init__(words)
        self.clock = clock
        self.horizon = horizon


class CannotBeDone(Refusal):
    """The check or deed makes no sense on the machine as it stands."""


class CaseChanged(Refusal):
    """The rig's data differ from those the attempt was begun with: it cannot be replayed to the digit."""


class NotUnderstood(Refusal):
    """What was sent names nothing known, or is no number."""

    status = 422


class NoSuchThing(NotUnderstood):
    """A name that is not on the list, with the nearest that is."""

    def __init__(self, what: str, given: object, known: Iterable[str]) -> None:
        names = sorted(known)
        near = get_close_matches(quoted(given), names, n=1, cutoff=0.0)
        hint = f" The nearest is '{near[0]}'." if near else ""
        super().__init__(f"There is no {what} '{quoted(given)}' here.{hint}")
