"""How each deed is carried out on a job: on the machine, in the notes, or refused with its reason."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulator import hazards
from simulator.checks import CannotTake, UnknownCheck, UnsafeCheck, take, words
from training.bench import rules
from training.bench.case import checks_of, repairs
from training.bench.deeds import LONGEST_WAIT, SAFE_STEPS
from training.bench.exceptions import CannotBeDone, CaseChanged, NoSuchThing, NotUnderstood, OutOfOrder
from training.bench.handles import handles_of, steps_of
from training.bench.job import Line, Named, Told
from training.bench.proof import run_proof

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from simulator.session import Session
    from training.bench.job import Job

INTERVIEW_MINUTES = 3.0
NOTHING_HAPPENS = 1800.0  # a wait for the next event ends here [s]
BLEED_LIMIT = 1800.0  # [s]
# Checks that let the machine run: those taken on a running or live machine, and two that start it themselves.
RUNNING_STATES = frozenset({"S1", "S4"})
STEP_SECONDS = {"isolate": 30.0, "lock": 60.0, "bleed": 10.0, "vent": 60.0, "try": 10.0}


def do(job: Job, line: Line) -> Told:
    """Carry out one line on the job and say what came of it.

    Raises
    ------
    Refusal
        The deed cannot be done now; the job may then be in any state and is thrown away.
    """
    if line.deed != "void":
        rules.check_open(job)
    told = _DEEDS[line.deed](job, line, line.details)
    job.told.append(told)
    return told


def _told(job: Job, line: Line, said: str, **more: Any) -> Told:
    return Told(line, job.clock, said, **more)


def _ask(job: Job, line: Line, _details: Mapping[str, Any]) -> Told:
    if job.asked:
        raise OutOfOrder("The customer has told you all there is to tell: read it in the job notes.")
    job.asked = True
    job.session.run(INTERVIEW_MINUTES * 60.0)
    return _told(job, line, "Asked the customer.")


def _hand(job: Job, line: Line, details: Mapping[str, Any]) -> Told:
    deed = details["do"]
    rules.check_hand(job, deed)
    try:
        hazards.check_may_operate(job.session, deed)
        if deed == "start" or (deed == "restore" and job.session.hands.lever_on):
            hazards.check_may_run(job.session, job.stop_words())
    except hazards.Prohibited as reason:
        return _told(
            job, line, f"{handles_of(job.session.rig)[deed].title}: not carried out.", critical=str(reason)
        )
    job.session.operate(deed)
    if deed == "unlock":
        job.tried_to_start = False
    return _told(job, line, f"{handles_of(job.session.rig)[deed].title}.")


def _wait(job: Job, line: Line, details: Mapping[str, Any]) -> Told:
    session, until = job.session, details["until"]
    if until == "event":
        seen = len(session.events)
        session.run_until(_next_change(session), NOTHING_HAPPENS)
        return _told(
            job, line, "Waited." if len(session.events) > seen else "Waited half an hour: nothing changed."
        )
    if until <= session.clock:
        raise NotUnderstood(f"The clock is at {session.clock:.0f} s already: wait for a later time.")
    if until - session.clock > LONGEST_WAIT:
        raise NotUnderstood("Two hours at a time is the longest wait.")
    session.run(until - session.clock)
    return _told(job, line, "Waited.")


def _next_change(session: Session) -> str:
    """Return what a machine left alone does next: its contacts change, or an engine's pilot valve does."""
    now = session.now()
    if session.rig.has_engine and session.running:
        return "loaded" if now["unloader_open"] > 0.5 else "unloaded"
    return "contacts-open" if now["contacts_closed"] > 0.5 else "contacts-close"


def _check(job: Job, line: Line, details: Mapping[str, Any]) -> Told:
    check = checks_of(job.case.rig).get(details["check"])
    if check is None:
        raise CaseChanged(
            f"The check '{details['check']}' is no longer in the tool roll: begin the call again."
        )
    try:
        if check.safe in RUNNING_STATES or check.runs:
            hazards.check_may_run(job.session, job.stop_words())
        finding = take(job.session, details["check"], details["place"], key=f"line-{line.number}")
    except UnknownCheck as gone:
        raise CaseChanged(f"{gone} The tool roll was changed: begin the call again.") from gone
    except (UnsafeCheck, hazards.Prohibited) as reason:
        return _told(job, line, f"{check.title}: not carried out.", critical=str(reason))
    except CannotTake as reason:
        raise CannotBeDone(str(reason)) from reason
    # What the customer tells is the call's own text, whichever way it was asked for.
    job.asked = job.asked or check.slug == "interview"
    return _told(job, line, words(finding), finding=finding)


def _pin(job: Job, line: Line, details: Mapping[str, Any]) -> Told:
    notes = {told.line.number for told in job.told if told.finding is not None}
    if details["note"] not in notes:
        raise NoSuchThing("finding to pin numbered", details["note"], map(str, notes))
    if line.deed == "pin":
        job.pinned.add(details["note"])
        return _told(job, line, "Pinned.")
    job.pinned.discard(details["note"])
    return _told(job, line, "Unpinned.")


def _suspect(job: Job, line: Line, details: Mapping[str, Any]) -> Told:
    job.suspects[details["fault"]] = (details["out"], details["why"])
    return _told(job, line, "Crossed out." if details["out"] else "Back in.")


def _safe(job: Job, line: Line, details: Mapping[str, Any]) -> Told:
    step = details["step"]
    rules.check_may_step(job, step, SAFE_STEPS)
    if rules.safe_step_done(job, step):
        raise OutOfOrder("That step is done and still holds.")
    said = _STEPS[step](job)
    job.session.run(STEP_SECONDS.get(step, 0.0))
    if not rules.safe_step_done(job, step):
        raise CannotBeDone(f"{said} It does not hold yet: look again in a while.")
    return _told(job, line, said)


def _step_stop(job: Job) -> str:
    if job.session.hands.lever_on:
        job.session.operate("stop")
    job.session.run_until("stopped", 60.0)
    return steps_of(job.session.rig)["stop"].done


def _step_isolate(job: Job) -> str:
    job.session.operate("isolate")
    return steps_of(job.session.rig)["isolate"].done


def _step_lock(job: Job) -> str:
    job.session.operate("lock")
    return steps_of(job.session.rig)["lock"].done


def _step_bleed(job: Job) -> str:
    if not job.session.hands.drain_open:
        job.session.operate("open-drain")
    job.session.run_until("receiver-below", BLEED_LIMIT, rules.AT_ZERO / 2)
    return steps_of(job.session.rig)["bleed"].done


def _step_vent(job: Job) -> str:
    if not job.session.hands.head_vent_open:
        job.session.operate("vent-head")
    return steps_of(job.session.rig)["vent"].done


def _step_try(job: Job) -> str:
    job.session.operate("start")
    job.session.run(5.0)
    turned = job.session.running
    job.session.operate("stop")
    job.tried_to_start = not turned
    return "It turns: this is not what feeds it." if turned else steps_of(job.session.rig)["try"].done


_STEPS: dict[str, Callable[[Job], str]] = {
    "stop": _step_stop,
    "isolate": _step_isolate,
    "lock": _step_lock,
    "bleed": _step_bleed,
    "vent": _step_vent,
    "try": _step_try,
}


def _name(job: Job, line: Line, details: Mapping[str, Any]) -> Told:
    rules.check_may_name(job)
    job.named = tuple(Named(one["fault"], one["location"]) for one in details["named"])
    job.confidence = details["confidence"]
    job.named_at, job.named_number = job.clock, line.number
    return _told(job, line, "Written in ink.")


def _repair(job: Job, line: Line, details: Mapping[str, Any]) -> Told:
    rules.check_may_repair(job)
    repair = repairs().get(details["repair"])
    if repair is None:
        raise CaseChanged(f"The repair '{details['repair']}' is no longer on the list: begin the call again.")
    if reason := repair.prohibited or rules.unsafe_repair(repair.safe, job.session.safe_state):
        return _told(job, line, f"{repair.title}: not carried out.", critical=reason)
    job.session.run(repair.minutes * 60.0)
    job.session.repaired([fault for fault in repair.cures if fault in job.case.true_faults])
    job.repairs.append((line.number, repair))
    return _told(job, line, f"{repair.title}: done.")


def _proof(job: Job, line: Line, _details: Mapping[str, Any]) -> Told:
    rules.check_may_prove(job)
    try:
        hazards.check_may_run(job.session, job.stop_words())
    except hazards.Prohibited as reason:
        return _told(job, line, "Run proof: not carried out.", critical=str(reason))
    proof = run_proof(job.case, job.session)
    job.tried_to_start = False
    job.proofs.append((line.number, proof))
    return _told(job, line, "Run proof done: before and after are on the card.")


def _say(job: Job, line: Line, details: Mapping[str, Any]) -> Told:
    rules.check_may_say(job)
    job.said = details["statement"]
    return _told(job, line, "The customer has been told.")


def _close(job: Job, line: Line, _details: Mapping[str, Any]) -> Told:
    rules.check_may_close(job)
    job.closed = True
    return _told(job, line, "The call is closed.")


def _void(job: Job, line: Line, details: Mapping[str, Any]) -> Told:
    job.closed = job.voided = True
    return _told(job, line, f"Voided: {details['why']}")


_DEEDS: dict[str, Callable[[Job, Line, Mapping[str, Any]], Told]] = {
    "ask": _ask,
    "hand": _hand,
    "wait": _wait,
    "check": _check,
    "pin": _pin,
    "unpin": _pin,
    "suspect": _suspect,
    "safe": _safe,
    "name": _name,
    "repair": _repair,
    "proof": _proof,
    "say": _say,
    "close": _close,
    "void": _void,
}
