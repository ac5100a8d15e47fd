"""Marks for a call: what the learner found and did goes in, marks with their reasons come out.

Out of 100: fault and location 30, evidence 25, repair 20, time 10, parts 10, customer 5. A right name without
evidence that separates it from its look-alikes scores at most 40. Being sure and wrong costs 3 marks more than
being unsure and wrong. A prohibited act, or one done in the wrong safe state, is a critical failure: not yet
competent, whatever the score. Weights, cap and pass mark are this project's judgement (common practice, no
source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping

Confidence = Literal["sure", "fairly", "unsure"]
Result = Literal["competent", "not-yet-competent", "voided"]

PASS_SCORE: Final = 75.0
GUESS_CAP: Final = 40.0
FAULT, EVIDENCE, REPAIR, TIME, PARTS, CUSTOMER = 30.0, 25.0, 20.0, 10.0, 10.0, 5.0
SUPPORT: Final = 10.0  # of EVIDENCE, for a finding that a sound machine could not give
LOCATION_SHARE: Final = 1 / 3  # of a fault's marks, for the cylinder
SEPARATED_SHARE: Final = (
    0.5  # of the look-alikes that must be ruled out before a right name is more than a guess
)
EVIDENCE_OF_A_WRONG_NAME: Final = 10.0
EXTRA_NAME: Final = 15.0
NO_TIME_LEFT: Final = 3.0  # times par
PART_TOO_MANY: Final = 5.0
# What a parts ticket costs of PARTS on a call that needs a part, by the verdict on what was asked for.
TICKET_COST: Final[Mapping[str, float]] = {
    "fits": 0.0,
    "fits-with-changes": 0.0,
    "unanswered": 2.0,
    "other-kind": 5.0,
    "": 5.0,
    "does-not-fit": 5.0,
    "unsafe": 10.0,
}
TICKET_WORDS: Final[Mapping[str, str]] = {
    "fits": "Parts ticket: the {wanted} asked for fits.",
    "fits-with-changes": "Parts ticket: the {wanted} asked for fits with changes.",
    "unanswered": "Parts ticket: it leaves open whether the {wanted} asked for fits.",
    "other-kind": "Parts ticket: a {wanted} was needed.",
    "": "Parts ticket: none was written, and a {wanted} was needed.",
    "does-not-fit": "Parts ticket: the {wanted} asked for does not fit.",
    "unsafe": "Parts ticket: the {wanted} asked for is unsafe.",
}
RIGHT_AFTER_WRONG: Final = 0.5  # of the repair's marks
OVERCONFIDENCE: Final[Mapping[str, float]] = {"sure": 3.0, "fairly": 1.0, "unsure": 0.0}


@dataclass(frozen=True)
class Placed:
    """A fault and where it sits ("" where it has no place of its own, or sits in all of them)."""

    fault: str
    location: str = ""


@dataclass(frozen=True)
class RepairDone:
    """A repair carried out. `right_for` are the true faults that it was right for."""

    title: str
    right_for: frozenset[str]
    part: bool


@dataclass(frozen=True)
class TicketWork:
    """What a call that needs a part got for a ticket: the part wanted, the verdict on what was asked for, and why.

    `verdict` is "fits", "fits-with-changes", "unanswered", "does-not-fit" or "unsafe" as the machine has it,
    "other-kind" for another part, "" where no ticket was written.
    """

    wanted: str
    verdict: str
    why: tuple[str, ...]

    def __post_init__(self) -> None:
        if self.verdict not in TICKET_COST:
            raise ValueError(f"A ticket cannot be '{self.verdict}'.")

    @property
    def critical(self) -> tuple[str, ...]:
        """A part that puts somebody in danger is a critical failure."""
        if self.verdict != "unsafe":
            return ()
        return (f"The parts ticket asks for a {self.wanted} that is unsafe here. {' '.join(self.why)}",)


@dataclass(frozen=True)
class Work:
    """All that is marked of one call."""

    truth: tuple[Placed, ...]
    nothing_wrong: bool
    named: tuple[Placed, ...]
    confidence: Confidence
    lookalikes: frozenset[str]
    ruled_out: Mapping[str, str]  # suspect: the finding, in words, that it could not have given
    shows_fault: str  # the finding, in words, that a sound machine could not have given
    repairs: tuple[RepairDone, ...]
    used_minutes: float
    par_minutes: float
    statement_right: bool | None
    critical: tuple[str, ...] = ()
    voided: bool = False
    ticket: TicketWork | None = None  # none on a call that needs no part
    titles: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.truth:
            raise ValueError("A call has at least one true fault, or the one that says nothing is wrong.")
        if not self.par_minutes > 0 or not math.isfinite(self.used_minutes) or self.used_minutes < 0:
            raise ValueError("Minutes used are 0 or more and par is above 0.")

    @property
    def name_is_right(self) -> bool:
        """Whether exactly the true faults were named, wherever they were said to sit."""
        return {one.fault for one in self.named} == {one.fault for one in self.truth}

    @property
    def ruled_out_share(self) -> float:
        """How much of the look-alikes the findings rule out."""
        if not self.lookalikes:
            return 1.0
        return len(self.lookalikes & set(self.ruled_out)) / len(self.lookalikes)

    @property
    def separated(self) -> bool:
        """Whether the evidence makes a right name more than a guess."""
        supported = self.nothing_wrong or bool(self.shows_fault)
        return supported and self.ruled_out_share >= SEPARATED_SHARE

    def title(self, fault: str) -> str:
        """Return the fault's title, or its slug where none was given."""
        return self.titles.get(fault, fault)


@dataclass(frozen=True)
class Mark:
    """Marks for one criterion and why."""

    criterion: str
    title: str
    marks: float
    out_of: float
    reason: str


@dataclass(frozen=True)
class Marked:
    """The mark of a call."""

    marks: tuple[Mark, ...]
    score: float
    result: Result
    capped: str


def mark(work: Work) -> Marked:
    """Mark a call.

    Examples
    --------
    >>> seep = Placed("check-valve-seep")
    >>> work = Work((seep,), False, (seep,), "sure", frozenset({"drain-leaks"}), {}, "", (), 10.0, 45.0, True)
    >>> mark(work).score, mark(work).result
    (40.0, 'not-yet-competent')
    """
    marks = (
        _fault(work),
        _evidence(work),
        _repair(work),
        _time(work),
        _parts(work),
        _customer(work),
        *_confidence(work),
    )
    total = max(0.0, sum(one.marks for one in marks))
    capped = ""
    if work.name_is_right and not work.separated and total > GUESS_CAP:
        total = GUESS_CAP
        capped = (
            f"The name was right, but the findings left too many look-alikes standing: a guess scores at most "
            f"{GUESS_CAP:.0f}."
        )
    score = round(total, 1)
    return Marked(marks, score, _result(work, score), capped)


def _result(work: Work, score: float) -> Result:
    if work.voided:
        return "voided"
    return "competent" if score >= PASS_SCORE and not work.critical else "not-yet-competent"


def _fault(work: Work) -> Mark:
    each = FAULT / len(work.truth)
    marks, words = 0.0, []
    for true in work.truth:
        said = next((one for one in work.named if one.fault == true.fault), None)
        if said is None:
            words.append(f"Not named: {work.title(true.fault)}.")
        elif true.location in ("", said.location):
            marks += each
            words.append(
                f"{work.title(true.fault)}: named, and where it sits." if true.location else "Named."
            )
        else:
            marks += each * (1 - LOCATION_SHARE)
            words.append(f"{work.title(true.fault)}: named, but it sits elsewhere.")
    for extra in {one.fault for one in work.named} - {one.fault for one in work.truth}:
        marks -= EXTRA_NAME
        words.append(f"Named but not there: {work.title(extra)}.")
    return Mark("fault", "Fault and where it sits", max(0.0, marks), FAULT, " ".join(words))


def _evidence(work: Work) -> Mark:
    sharing = EVIDENCE if work.nothing_wrong else EVIDENCE - SUPPORT
    marks = sharing * work.ruled_out_share
    words = []
    if not work.nothing_wrong:
        marks += SUPPORT if work.shows_fault else 0.0
        words.append(
            f"A sound machine does not show this: {work.shows_fault}."
            if work.shows_fault
            else "No finding shows that the machine is not sound."
        )
    words += _ruled_out_words(work)
    if not work.name_is_right and marks > EVIDENCE_OF_A_WRONG_NAME:
        marks = EVIDENCE_OF_A_WRONG_NAME
        words.append("The findings were there, but they do not support what was named.")
    return Mark("evidence", "Evidence", marks, EVIDENCE, " ".join(words))


def _ruled_out_words(work: Work) -> list[str]:
    out = sorted(work.lookalikes & set(work.ruled_out))
    standing = sorted(work.lookalikes - set(work.ruled_out))
    words = []
    if out:
        words.append(f"Ruled out: {', '.join(work.title(one) for one in out)}.")
    if standing:
        words.append(f"Left standing: {', '.join(work.title(one) for one in standing)}.")
    return words


def _repair(work: Work) -> Mark:
    each = REPAIR / len(work.truth)
    marks, words, wrong = 0.0, [], 0
    done: set[str] = set()
    for repair in work.repairs:
        new = repair.right_for - done
        marks += each * len(new) * (RIGHT_AFTER_WRONG if wrong else 1.0)
        wrong += 0 if repair.right_for else 1
        done |= repair.right_for
        words.append(f"{repair.title}: {'right' if repair.right_for else 'not the repair for it'}.")
    if done != {one.fault for one in work.truth}:
        words.append("The right repair was not done.")
    elif wrong:
        words.append("It came after another.")
    return Mark("repair", "Repair", min(marks, REPAIR), REPAIR, " ".join(words))


def _time(work: Work) -> Mark:
    if not work.name_is_right:
        return Mark("time", "Time", 0.0, TIME, "No marks for being wrong quickly.")
    left = (NO_TIME_LEFT - work.used_minutes / work.par_minutes) / (NO_TIME_LEFT - 1.0)
    share = min(1.0, max(0.0, left))
    reason = f"{work.used_minutes:.0f} min until the fault was named; par is {work.par_minutes:.0f} min."
    return Mark("time", "Time", TIME * share, TIME, reason)


def _parts(work: Work) -> Mark:
    needless = [one.title for one in work.repairs if one.part and not one.right_for]
    reason = f"Without evidence: {', '.join(needless)}." if needless else "No part without evidence."
    marks = PARTS - PART_TOO_MANY * len(needless)
    if work.ticket is not None:
        marks -= TICKET_COST[work.ticket.verdict]
        reason = f"{reason} {_ticket_words(work.ticket)}"
    return Mark("parts", "Parts economy", max(0.0, marks), PARTS, reason)


def _ticket_words(ticket: TicketWork) -> str:
    said = TICKET_WORDS[ticket.verdict].format(wanted=ticket.wanted)
    return " ".join((said, *ticket.why))


def _customer(work: Work) -> Mark:
    if work.statement_right is None:
        return Mark("customer", "What the customer is told", 0.0, CUSTOMER, "Nothing was said.")
    reason = "Right, and in plain words." if work.statement_right else "Not what the findings support."
    return Mark("customer", "What the customer is told", CUSTOMER * work.statement_right, CUSTOMER, reason)


def _confidence(work: Work) -> tuple[Mark, ...]:
    """Return the deduction for a wrong name said too surely; nothing where there is none."""
    cost = OVERCONFIDENCE[work.confidence]
    if work.name_is_right or not cost:
        return ()
    words = "Sure, and wrong." if work.confidence == "sure" else "Fairly sure, and wrong."
    return (Mark("confidence", "Confidence", -cost, 0.0, words),)
