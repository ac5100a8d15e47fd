"""What every judgement of a part is made of: verdicts in order of danger, reasons with figure and source."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, Any

from simulator import units

if TYPE_CHECKING:
    from collections.abc import Iterable


class Verdict(Enum):
    """How well a part fits, mildest first; the value is the name on the wire."""

    FITS = "fits"
    FITS_WITH_CHANGES = "fits-with-changes"
    UNANSWERED = "unanswered"
    DOES_NOT_FIT = "does-not-fit"
    UNSAFE = "unsafe"

    @property
    def danger(self) -> int:
        """Place in the order of danger, 0 for what fits."""
        return list(Verdict).index(self)

    @property
    def title(self) -> str:
        """The verdict in words."""
        return _TITLES[self]


_TITLES = {
    Verdict.FITS: "Fits",
    Verdict.FITS_WITH_CHANGES: "Fits with changes",
    Verdict.UNANSWERED: "Open question",
    Verdict.DOES_NOT_FIT: "Does not fit",
    Verdict.UNSAFE: "Unsafe",
}


class Standing(Enum):
    """How firmly a rule or figure stands; said wherever it is used."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"
    FROM_MEMORY = "from memory"


@dataclass(frozen=True)
class Figure:
    """A number behind a reason: what it is, its value in SI, and the quantity that says how it is shown.

    `quantity` is a name of `simulator.quantities.QUANTITIES`, or empty for a number without a unit.
    """

    title: str
    value: float
    quantity: str = ""

    def shown(self, system: units.System) -> str:
        """The figure with its unit, in a unit system."""
        return units.show(self.value, self.quantity, system) if self.quantity else f"{self.value:g}"


@dataclass(frozen=True)
class Reason:
    """One thing that was compared, and what came of it.

    `line` is the plate's line it is about. A part that fits with changes says which (`change`); a line that
    cannot be judged asks for what is missing and says where to look on the machine (`question`).
    """

    code: str
    verdict: Verdict
    line: str
    statement: str
    rule: str
    source: str
    standing: Standing
    figures: tuple[Figure, ...] = ()
    change: str = ""
    question: str = ""

    def __post_init__(self) -> None:
        for name in ("code", "line", "statement", "rule", "source"):
            if not getattr(self, name):
                raise ValueError(f"reason '{self.code}': '{name}' is empty")
        if self.verdict is Verdict.FITS_WITH_CHANGES and not self.change:
            raise ValueError(f"reason '{self.code}' fits with changes and does not say which")
        if self.verdict is Verdict.UNANSWERED and not self.question:
            raise ValueError(f"reason '{self.code}' is open and asks nothing")


@dataclass(frozen=True)
class Judgement:
    """Everything that was found about a part; make one with `judge`."""

    kind: str  # "motor", "drive", "relief", "switch", "check-valve" or a small part's name
    reasons: tuple[Reason, ...]  # most dangerous first
    parts_card: tuple[str, ...] = ()  # what exactly to ask for, line by line
    cautions: tuple[str, ...] = field(default=())

    @property
    def verdict(self) -> Verdict:
        """The worst of the reasons."""
        return self.reasons[0].verdict

    @property
    def changes(self) -> tuple[str, ...]:
        """What must be changed for the part to fit, once each."""
        return tuple(dict.fromkeys(reason.change for reason in self.reasons if reason.change))

    @property
    def questions(self) -> tuple[str, ...]:
        """What is still open, once each."""
        return tuple(dict.fromkeys(reason.question for reason in self.reasons if reason.question))

    def by_code(self, code: str) -> Reason | None:
        """The reason of that code, if there is one."""
        return next((reason for reason in self.reasons if reason.code == code), None)


def judge(
    kind: str, reasons: Iterable[Reason], parts_card: Iterable[str] = (), cautions: Iterable[str] = ()
) -> Judgement:
    """Put reasons in order of danger and make a judgement of them.

    Parameters
    ----------
    kind : str
        What kind of part was judged.
    reasons : iterable of Reason
        At least one: nothing compared is no "fits".
    parts_card : iterable of str
        Lines that say exactly what to ask for.
    cautions : iterable of str
        What must be heeded whatever the verdict.

    Returns
    -------
    Judgement
        With the worst reason first; equals keep their order.

    Raises
    ------
    ValueError
        If there is no reason at all.
    """
    ordered = tuple(sorted(reasons, key=lambda reason: -reason.verdict.danger))
    if not ordered:
        raise ValueError(f"a {kind} was judged without a single reason")
    return Judgement(kind, ordered, tuple(parts_card), tuple(dict.fromkeys(cautions)))


def plain(judgement: Judgement) -> dict[str, Any]:
    """Give a judgement as what JSON can hold; figures stay SI with the name of their quantity.

    Parameters
    ----------
    judgement : Judgement
        The judgement.

    Returns
    -------
    dict
        "kind", "verdict", "reasons", "changes", "questions", "parts_card", "cautions".
    """
    return {
        "kind": judgement.kind,
        "verdict": judgement.verdict.value,
        "reasons": [_plain_reason(reason) for reason in judgement.reasons],
        "changes": list(judgement.changes),
        "questions": list(judgement.questions),
        "parts_card": list(judgement.parts_card),
        "cautions": list(judgement.cautions),
    }


def _plain_reason(reason: Reason) -> dict[str, Any]:
    return {
        "code": reason.code,
        "verdict": reason.verdict.value,
        "line": reason.line,
        "statement": reason.statement,
        "figures": [
            {"title": figure.title, "value": figure.value, "quantity": figure.quantity}
            for figure in reason.figures
        ],
        "rule": reason.rule,
        "source": reason.source,
        "standing": reason.standing.value,
        "change": reason.change,
        "question": reason.question,
    }
