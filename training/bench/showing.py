"""From a job to what the bench shows of it: the parts of a BenchView, each earned at its stage."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from simulator.units import show
from training.bench import rules
from training.bench.case import checks, checks_of, faults_of, repairs, rig_of
from training.bench.deeds import SAFE_STEPS
from training.bench.handles import handles_of, steps_of
from training.bench.proof import protocol
from training.bench.shown import (
    Answer,
    CheckShown,
    HandDeed,
    Hands,
    Named,
    Note,
    PlaceShown,
    ProofRow,
    ReadingShown,
    RepairShown,
    SafeStep,
    StatementShown,
    Suspect,
    ToolShown,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from simulator.checks import Finding, Reading
    from simulator.units import System
    from training.bench.job import Job, Told
    from training.bench.job import Named as InInk
    from training.bench.shown import MachineState
    from training.cases.book import Repair

TOOLS = {
    "look": "Look",
    "listen": "Listen",
    "feel": "Feel",
    "soap": "Soap",
    "clamp": "Clamp",
    "volts": "Volts",
    "probe": "Probe",
    "time": "Time it",
}
NOT_IN_NOTES = {"pin", "unpin", "suspect", "wait", "hand", "close"}
NO_FIGURE = "could not be taken"
REFERENCES = (
    "sheet",
    "rule",
    "plate",
)  # readings that are no measurement: what the papers of the machine say


def hands(job: Job) -> Hands:
    """Return what anybody can see."""
    seen = job.session.hands
    return Hands(
        seen.lever_on,
        seen.isolated,
        seen.locked,
        seen.outlet_open,
        seen.drain_open,
        seen.head_vent_open,
        seen.element_out,
        seen.belt_off,
        seen.ring_pulled,
        seen.trigger_held,
        seen.toggle_unloaded,
    )


def hand_deeds(job: Job) -> tuple[HandDeed, ...]:
    """Return what a hand can do; shut where it makes no sense now."""
    return tuple(
        HandDeed(do, handle.title, not job.closed and not rules.hand_refusal(job, do))
        for do, handle in handles_of(rig_of(job.case.rig)).items()
    )


def machine_state(job: Job) -> MachineState:
    """Return whether the machine runs, is made safe, or merely rests."""
    if job.session.running:
        return "running"
    return "safe" if job.session.safe_state == "S3" else "rest"


def readings(finding: Finding, system: System) -> tuple[ReadingShown, ...]:
    """Return a finding's figures in the person's units."""
    return tuple(
        ReadingShown(one.title, show(one.value, one.quantity, system), one.note) for one in finding.readings
    )


def notes(job: Job, system: System) -> tuple[Note, ...]:
    """Return the job notes in the order they were written."""
    return tuple(_note(job, told, system) for told in job.told if _is_noted(told))


def _is_noted(told: Told) -> bool:
    return told.line.deed not in NOT_IN_NOTES


def _note(job: Job, told: Told, system: System) -> Note:
    check = checks()[told.line.details["check"]] if told.line.deed == "check" else None
    return Note(
        number=told.line.number,
        kind="critical" if told.critical else told.line.deed,
        clock=told.line.at,
        ended=told.ended,
        tool=check.tool if check else "",
        check=check.slug if check else "",
        check_title=check.title if check else "",
        place_title=check.place(told.line.details["place"]).title if check else "",
        words=f"{told.words} {told.critical}".strip(),
        readings=readings(told.finding, system) if told.finding else (),
        pinned=told.line.number in job.pinned,
        may_pin=told.finding is not None and not job.closed,
    )


def tools(rig: str) -> tuple[ToolShown, ...]:
    """Return the tool roll: the same on every call to a rig."""
    roll: dict[str, list[CheckShown]] = {slug: [] for slug in TOOLS}
    for check in checks_of(rig).values():
        places = tuple(PlaceShown(place.slug, place.title) for place in check.places)
        roll[check.tool].append(
            CheckShown(check.slug, check.title, check.minutes, check.safe, places, check.caution, check.done)
        )
    return tuple(ToolShown(slug, title, tuple(roll[slug])) for slug, title in TOOLS.items() if roll[slug])


def locations(rig: str, fault: str) -> tuple[tuple[str, str], ...]:
    """Return where on the rig a fault can sit, as (code, title)."""
    titles = {cylinder.slug: cylinder.title for cylinder in rig_of(rig).pump.cylinders}
    return tuple((code, titles.get(code, code)) for code in faults_of(rig)[fault].locations_on(rig_of(rig)))


def suspects(job: Job) -> tuple[Suspect, ...]:
    """Return every fault the rig can have: the same list on every call, with the learner's own marks."""
    rows = []
    for slug, fault in faults_of(job.case.rig).items():
        out, why = job.suspects.get(slug, (False, ""))
        rows.append(Suspect(slug, fault.title, out, why, locations(job.case.rig, slug)))
    return tuple(sorted(rows, key=lambda row: row.title))


def safe_steps(job: Job) -> tuple[SafeStep, ...]:
    """Return the steps of Make safe, done or not by what holds on the machine."""
    following, words = rules.next_safe_step(job, SAFE_STEPS), steps_of(rig_of(job.case.rig))
    return tuple(
        SafeStep(
            step,
            words[step].title,
            words[step].hint,
            rules.safe_step_done(job, step),
            step == following and not job.closed,
        )
        for step in SAFE_STEPS
    )


def named(rig: str, given: Iterable[InInk], confidence: str) -> tuple[Named, ...]:
    """Return named faults with their titles."""
    shown = []
    for one in given:
        place = dict(locations(rig, one.fault)).get(one.location, "")
        shown.append(Named(one.fault, faults_of(rig)[one.fault].title, one.location, place, confidence))
    return tuple(shown)


def repair(one: Repair, done: bool) -> RepairShown:
    """Return a repair as it is offered. A prohibited one looks like any other until it is chosen."""
    cost = f"${one.cost:.0f}" if one.cost else ""
    return RepairShown(one.slug, one.title, one.minutes, one.safe, cost, one.part, one.caution, done)


def repair_choices(job: Job) -> tuple[RepairShown, ...]:
    """Return the repairs to choose from once the fault is named."""
    if not job.named:
        return ()
    done = {row.slug for _, row in job.repairs}
    return tuple(repair(one, one.slug in done) for one in repairs().values())


def proof_rows(job: Job, system: System) -> tuple[ProofRow, ...]:
    """Return the last run proof, before against after."""
    if not job.proofs:
        return ()
    proof = job.proofs[-1][1]
    rows: list[ProofRow] = []
    for check, before, after in zip(protocol(job.case.rig), proof.before, proof.after, strict=True):
        rows.append(ProofRow(checks()[check].title, _outcome(before), _outcome(after), ""))
        rows.extend(_figures(before, after, system))
    return tuple(rows)


def _outcome(finding: Finding | None) -> str:
    return NO_FIGURE if finding is None else checks()[finding.check].outcomes[finding.outcome]


def _figures(before: Finding | None, after: Finding | None, system: System) -> list[ProofRow]:
    had = {one.name: one for one in before.readings} if before else {}
    has = {one.name: one for one in after.readings} if after else {}
    known = had | has
    normal = next((_shown(known[name], system) for name in REFERENCES if name in known), "")
    rows = []
    for name, reading in known.items():
        if name not in REFERENCES:
            old, new = _shown(had.get(name), system), _shown(has.get(name), system)
            rows.append(ProofRow(reading.title, old, new, reading.note or normal))
            normal = ""  # what the sheet says is said of a check's first figure
    return rows


def _shown(reading: Reading | None, system: System) -> str:
    return show(reading.value, reading.quantity, system) if reading else NO_FIGURE


def statements(job: Job, offered: Sequence[Mapping[str, str]], attempt: str) -> tuple[StatementShown, ...]:
    """Return what could be said to the customer once the repair is proved, in an order that tells nothing."""
    if job.stage not in ("proved", "closed"):
        return ()

    def order(row: Mapping[str, str]) -> str:
        return hashlib.sha256(f"{attempt}{row['slug']}".encode()).hexdigest()

    return tuple(
        StatementShown(row["slug"], row["words"], row["slug"] == job.said)
        for row in sorted(offered, key=order)
    )


def interview(job: Job, answers: Sequence[Mapping[str, str]]) -> tuple[Answer, ...]:
    """Return what the customer told, once asked."""
    if not job.asked:
        return ()
    return tuple(Answer(row["question"], row["answer"]) for row in answers)
