"""The Parts ticket: which part is asked for on a call, written in the log and judged for this machine. Plain Python.

Nothing of the judgement is told before the call is closed: writing the ticket answers with what was written alone. A
line that cannot be read is refused, because that says something of the line and nothing of the machine.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from simulator.replacement.kinds import KINDS, NEW, judge_part, sheets_of_rig
from simulator.replacement.machines import NoSuchMachine
from simulator.replacement.problems import BadPlate
from simulator.replacement.verdict import Verdict
from training.bench import rules
from training.bench.exceptions import NoSuchThing, NotUnderstood
from training.bench.job import Told
from training.fitting import sheets
from training.grading.calls import TicketWork

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulator import units
    from simulator.replacement.verdict import Judgement
    from training.bench.job import Job, Line

    Sheets = Mapping[str, Mapping[str, str]]

DEED = "ticket"
OTHER_KIND, NONE_WRITTEN = "other-kind", ""
# Every field that the ticket of some kind of part has.
FIELDS = (
    "kind",
    f"{NEW}.{sheets.PASTED}",
    *sorted({sheets.field_name(NEW, line) for kind in KINDS.values() for line in kind.sheets[NEW]}),
)


class UnreadableTicket(NotUnderstood):
    """Lines of a ticket that have no meaning or contradict each other; `wrong` says which."""

    def __init__(self, wrong: tuple[sheets.Wrong, ...]) -> None:
        self.wrong = wrong
        super().__init__(" ".join(one.words for one in wrong))


@dataclass(frozen=True)
class Ticket:
    """What was asked for: the kind of part and the lines of its plate."""

    kind: str
    lines: Mapping[str, str]

    @property
    def title(self) -> str:
        """The kind of part in words."""
        return KINDS[self.kind].title if self.kind in KINDS else self.kind


def read(details: Mapping[str, Any], _lists: object) -> dict[str, Any]:
    """Return a ticket's details as they are written in the log.

    Raises
    ------
    NotUnderstood
        No kind of part, an empty ticket, or lines that cannot be read.
    """
    kind = details.get("kind")
    if kind in (None, ""):
        raise NotUnderstood("Choose the kind of part.")
    if not isinstance(kind, str) or kind not in KINDS:
        raise NoSuchThing("kind of part", kind, KINDS)
    sent = {name: value for name, value in details.items() if name != "kind"}
    if not all(isinstance(value, str) for value in sent.values()):
        raise NotUnderstood("The lines of a ticket are words.")
    typed = sheets.read_typed(kind, sent)
    lines = {line: value.strip() for line, value in typed.lines[NEW].items() if value.strip()}
    wrong = typed.wrong or sheets.judged(typed, "us")[1]
    if wrong:
        raise UnreadableTicket(wrong)
    if not lines:
        raise NotUnderstood("The ticket is blank. Write at least one line of the part that you ask for.")
    return {"kind": kind, "lines": lines}


def write(job: Job, line: Line) -> Told:
    """Write a ticket on the job; a later one takes the place of an earlier."""
    rules.check_open(job)
    rules.check_may_write_ticket(job)
    job.ticket = Ticket(line.details["kind"], line.details["lines"])
    count = len(job.ticket.lines)
    words = f"Parts ticket written: {job.ticket.title.lower()}, {count} line{'s' if count > 1 else ''}."
    told = Told(line, job.clock, words)
    job.told.append(told)
    return told


def wanted(part: Mapping[str, Any], rig: str) -> dict[str, Any] | None:
    """Return what a call's part must suit, to be frozen with the case; None for a call that needs no part.

    Raises
    ------
    NoSuchMachine
        The rig has no such part.
    """
    if not part:
        return None
    filled = {
        name: dict(lines) for name, lines in sheets_of_rig(part["kind"], rig, part.get("guards", "")).items()
    }
    for name, lines in part.get("place", {}).items():
        filled.setdefault("place", {})[name] = lines
    return {"kind": part["kind"], "sheets": filled}


def suits(ticket: Ticket, machine: Sheets, system: units.System) -> Judgement | None:
    """Judge a ticket's part for a machine's sheets; None if rules changed later no longer read its lines."""
    try:
        return judge_part(ticket.kind, {**machine, NEW: ticket.lines}, system)
    except BadPlate:
        return None


def machine_of(ticket: Ticket, part: Mapping[str, Any] | None, rig: str) -> Sheets:
    """Return the sheets a ticket is judged by: those frozen with the case, else those of the rig as it stands."""
    if part and part["kind"] == ticket.kind:
        found: Sheets = part["sheets"]
        return found
    try:
        return sheets_of_rig(ticket.kind, rig)
    except NoSuchMachine:
        return {}


def work(ticket: Ticket | None, part: Mapping[str, Any] | None) -> TicketWork | None:
    """Return what is marked of the ticket; None on a call that needs no part."""
    if part is None:
        return None
    title = KINDS[part["kind"]].title.lower()
    if ticket is None:
        return TicketWork(title, NONE_WRITTEN, ())
    if ticket.kind != part["kind"]:
        return TicketWork(title, OTHER_KIND, (f"The ticket asks for another part: {ticket.title.lower()}.",))
    judgement = suits(ticket, part["sheets"], "us")
    if judgement is None:
        return TicketWork(title, Verdict.UNANSWERED.value, ("Its lines can no longer be read.",))
    worst = tuple(one.statement for one in judgement.reasons if one.verdict is judgement.verdict)
    return TicketWork(title, judgement.verdict.value, worst if judgement.verdict is not Verdict.FITS else ())
