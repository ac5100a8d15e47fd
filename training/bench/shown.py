"""What the bench and the teardown show: frozen, ready for a page, nothing hidden inside.

Every word here may travel to the learner's browser. What is true of the machine but not yet found out
(its fault, the right repair, a mark) has no field before the stage at which it is earned.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

Stage = Literal["looking", "named", "repaired", "proved", "closed"]
MachineState = Literal["rest", "running", "safe"]
TraceJson = dict[str, Any]


@dataclass(frozen=True)
class Hands:
    """What anybody standing at the rig can see of it."""

    lever_on: bool
    isolated: bool
    locked: bool
    outlet_open: bool
    drain_open: bool
    head_vent_open: bool
    element_out: bool
    belt_off: bool
    ring_pulled: bool
    trigger_held: bool
    toggle_unloaded: bool


@dataclass(frozen=True)
class CallShown:
    """The call sheet's side of a call."""

    slug: str
    no: str
    title: str
    rig: str
    rig_title: str
    complaint: str
    setting: str
    grade: str


@dataclass(frozen=True)
class ReadingShown:
    """A reading in the person's own units."""

    title: str
    shown: str
    note: str


@dataclass(frozen=True)
class Note:
    """One line of the job notes. `kind` is check, ask, safe, critical, repair or proof."""

    number: int
    kind: str
    clock: float
    ended: float
    tool: str
    check: str
    check_title: str
    place_title: str
    words: str
    readings: tuple[ReadingShown, ...]
    pinned: bool
    may_pin: bool


@dataclass(frozen=True)
class Suspect:
    """A fault that this rig can have: the same list on every call. `locations` are (code, title) choices."""

    slug: str
    title: str
    out: bool
    why: str
    locations: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class SafeStep:
    """A step of Make safe. `open` says that it is the next one to do."""

    slug: str
    title: str
    hint: str
    done: bool
    open: bool


@dataclass(frozen=True)
class PlaceShown:
    """Where a check can be done."""

    slug: str
    title: str


@dataclass(frozen=True)
class CheckShown:
    """A check in the tool roll."""

    slug: str
    title: str
    minutes: float
    safe: str
    places: tuple[PlaceShown, ...]
    caution: str
    done_text: str


@dataclass(frozen=True)
class ToolShown:
    """A pocket of the tool roll and the checks done with it."""

    slug: str
    title: str
    checks: tuple[CheckShown, ...]


@dataclass(frozen=True)
class HandDeed:
    """A hand on the machine: `do` is posted as details {"do": ...}; `open` is False where it makes no sense now."""

    do: str
    title: str
    open: bool


@dataclass(frozen=True)
class Named:
    """What was written in ink."""

    fault: str
    title: str
    location: str
    location_title: str
    confidence: str


@dataclass(frozen=True)
class RepairShown:
    """A repair to choose from: the same list on every call of the rig."""

    slug: str
    title: str
    minutes: float
    safe: str
    cost: str
    part: str
    caution: str
    done: bool


@dataclass(frozen=True)
class ProofRow:
    """One figure of the run proof."""

    what: str
    before: str
    after: str
    normal: str


@dataclass(frozen=True)
class StatementShown:
    """Something that could be said to the customer."""

    slug: str
    words: str
    said: bool


@dataclass(frozen=True)
class Answer:
    """What the customer tells when asked."""

    question: str
    words: str


@dataclass(frozen=True)
class BenchView:
    """All that the bench page shows of an attempt at one clock."""

    attempt: Any
    call: CallShown
    clock: float
    par_minutes: float
    used_minutes: float
    hands: Hands
    hand_deeds: tuple[HandDeed, ...]
    machine_state: MachineState
    safe_state: str
    trace: TraceJson
    history: TraceJson
    horizon: float
    notes: tuple[Note, ...]
    interview: tuple[Answer, ...]
    may_ask: bool
    suspects: tuple[Suspect, ...]
    safe_steps: tuple[SafeStep, ...]
    tools: tuple[ToolShown, ...]
    stage: Stage
    named: tuple[Named, ...]
    repairs: tuple[RepairShown, ...]
    proof: tuple[ProofRow, ...]
    statements: tuple[StatementShown, ...]
    may_close: bool
    critical: tuple[str, ...]


@dataclass(frozen=True)
class MarkRow:
    """One criterion, its mark and the reason in words."""

    criterion: str
    title: str
    marks: float
    out_of: float
    reason: str


@dataclass(frozen=True)
class Happened:
    """A line of the teardown's timeline."""

    number: int
    clock: float
    ended: float
    what: str
    outcome: str
    critical: bool


@dataclass(frozen=True)
class RuledOut:
    """What the learner's own findings say of one suspect.

    `standing` is true-fault, ruled-out or open; `by` says which finding ruled it out; `learner_out` what the
    learner had crossed out.
    """

    slug: str
    title: str
    standing: str
    by: str
    learner_out: bool
    lookalike: bool


@dataclass(frozen=True)
class Separator:
    """A check that would have separated the suspects, cheapest first; `taken` if the learner did it."""

    check: str
    title: str
    place_title: str
    minutes: float
    separates: tuple[str, ...]
    words: str
    taken: bool


@dataclass(frozen=True)
class TeardownView:
    """The review after the call: everything may be said now."""

    attempt: Any
    call: CallShown
    truth: tuple[Named, ...]
    named: tuple[Named, ...]
    mechanism: str
    answer_says: str
    right_repair: str
    marks: tuple[MarkRow, ...]
    score: float
    pass_score: float
    result: str
    result_title: str
    capped: str
    critical: tuple[str, ...]
    timeline: tuple[Happened, ...]
    suspects: tuple[RuledOut, ...]
    separators: tuple[Separator, ...]
    par_minutes: float
    used_minutes: float
    statements: tuple[tuple[StatementShown, str], ...]
    proof: tuple[ProofRow, ...]
    repairs: tuple[RepairShown, ...]
