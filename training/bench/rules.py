"""In which state of the job a deed may be done. Each `check_...` raises with the reason."""

from __future__ import annotations

from typing import TYPE_CHECKING

from training.bench.exceptions import AttemptClosed, CannotBeDone, OutOfOrder
from training.bench.handles import handles_of

if TYPE_CHECKING:
    from training.bench.job import Job

AT_ZERO = 1000.0  # a receiver this near to zero no longer blows at the open drain, gauge [Pa]
STATE_RANK = {"S0": 0, "S1": 0, "S2": 2, "S3": 3}
SAFE_STATE_WORDS = {
    "S2": "isolated, locked and tagged",
    "S3": "isolated, locked, bled to zero and the head line vented, with the drain left open",
}
WHY_FIRST = {
    "stop": "Stop it first and let it vent: the blow at the stop is evidence.",
    "isolate": "Isolate it first: a lever or a kill switch is no isolator.",
    "lock": "Lock and tag first: while somebody can give it power, it can start and pump up again.",
    "bleed": "Bleed to zero first, with the drain left open: head line and receiver feed each other.",
    "vent": "Vent the head line first: it holds air of its own after the receiver is at zero.",
}


def check_open(job: Job) -> None:
    """Refuse any deed on a closed call."""
    if job.closed:
        raise AttemptClosed(
            "This call is closed. Its teardown shows what happened; the log takes no more lines."
        )


def check_may_name(job: Job) -> None:
    """Refuse to name twice: it is in ink."""
    if job.named:
        raise OutOfOrder("The fault is already written in ink. What comes now is the repair and its proof.")


def check_may_repair(job: Job) -> None:
    """Refuse a repair before the fault is named or after the customer was told."""
    if not job.named:
        raise OutOfOrder("Name the fault before you repair: a part fitted to find out is a part too many.")
    if job.said:
        raise OutOfOrder("The customer has been told. What is left is to close the call.")


def check_may_prove(job: Job) -> None:
    """Refuse a run proof before a repair, or twice after one."""
    check_may_repair(job)
    if job.stage == "proved":
        raise OutOfOrder(
            "The run proof is done. Read its figures, repair again if they ask for it, or tell the customer."
        )
    if not job.repairs:
        raise OutOfOrder("Repair first, or choose 'No repair'. The run proof then shows before and after.")


def check_may_write_ticket(job: Job) -> None:
    """Refuse a parts ticket before the fault is named or after the customer was told."""
    if not job.named:
        raise OutOfOrder(
            "Name the fault before you ask for a part: a part ordered to find out is a part too many."
        )
    if job.said:
        raise OutOfOrder("The customer has been told. What is left is to close the call.")


def may_write_ticket(job: Job) -> bool:
    """Whether a parts ticket can be written now."""
    return bool(job.named) and not job.said and not job.closed


def check_may_say(job: Job) -> None:
    """Refuse to tell the customer before the proof, or twice."""
    if job.said:
        raise OutOfOrder("The customer has been told. What is left is to close the call.")
    if job.stage != "proved":
        raise OutOfOrder("Prove the repair by a run first: the customer is told figures, not hopes.")


def check_may_close(job: Job) -> None:
    """Refuse to close before the customer was told."""
    if not job.said:
        raise OutOfOrder("Tell the customer first: complaint, finding, cause, repair, and what to watch.")


def may_close(job: Job) -> bool:
    """Whether the call can be closed now."""
    return not job.closed and bool(job.said)


def safe_step_done(job: Job, step: str) -> bool:
    """Whether a step of Make safe holds now, by the machine itself and not by what was ticked."""
    hands, now = job.session.hands, job.session.now()
    match step:
        case "stop":
            return not hands.lever_on and not job.session.running
        case "isolate":
            return hands.isolated
        case "lock":
            return hands.locked
        case "bleed":
            return hands.drain_open and now["receiver_gauge_pressure"] < AT_ZERO
        case "vent":
            return hands.head_vent_open and now["head_line_gauge_pressure"] < AT_ZERO
        case _:
            return hands.locked and job.tried_to_start


def next_safe_step(job: Job, steps: tuple[str, ...]) -> str:
    """Return the first step that does not hold, or "" when the machine is made safe."""
    return next((step for step in steps if not safe_step_done(job, step)), "")


def check_may_step(job: Job, step: str, steps: tuple[str, ...]) -> None:
    """Refuse a step of Make safe while one before it does not hold."""
    first = next_safe_step(job, steps)
    if first and steps.index(first) < steps.index(step):
        raise OutOfOrder(WHY_FIRST[first])


def hand_refusal(job: Job, do: str) -> str:
    """Return why a hand cannot do this now, or ""."""
    hands, running, own = job.session.hands, job.session.running, handles_of(job.session.rig)

    def stands(handle: str) -> str:
        return f"{own[handle].stands.rstrip('.')} already."

    reasons = {
        "start": (hands.lever_on and not job.session.rig.has_engine, stands("start")),
        "stop": (not hands.lever_on, stands("stop")),
        "open-outlet": (hands.outlet_open, "The outlet is open already."),
        "shut-outlet": (not hands.outlet_open, "The outlet is shut already."),
        "open-drain": (hands.drain_open, "The drain is open already."),
        "shut-drain": (not hands.drain_open, "The drain is shut already."),
        "isolate": (hands.isolated, stands("isolate")),
        "lock": (
            hands.locked or not hands.isolated,
            "Your lock is on already."
            if hands.locked
            else f"{own['isolate'].title} first: there is nothing to lock yet.",
        ),
        "unlock": (not hands.locked, "There is no lock of yours to take off."),
        "restore": (
            not hands.isolated or hands.locked,
            "Take your lock off first." if hands.locked else stands("restore"),
        ),
        "vent-head": (
            hands.head_vent_open or running,
            "Stop it first: hot air comes out of that cock."
            if running
            else "The bleed cock is open already.",
        ),
        "shut-head-vent": (not hands.head_vent_open, "The bleed cock is shut already."),
        "element-out": (hands.element_out, "The element is out already."),
        "element-in": (
            not hands.element_out or running,
            "Stop it first: no hand at an open intake." if running else "The element is in already.",
        ),
        "belt-off": (hands.belt_off, "The belt is off already."),
        "belt-on": (not hands.belt_off, "The belt is on already."),
        "pull-ring": (hands.ring_pulled, "You hold the ring already."),
        "release-ring": (not hands.ring_pulled, "Nobody holds the ring."),
        "hold-trigger": (
            hands.trigger_held or not hands.outlet_open,
            "You hold the trigger already."
            if hands.trigger_held
            else "Open the outlet first: the hose is dead.",
        ),
        "release-trigger": (not hands.trigger_held, "Nobody holds the trigger."),
        "toggle-start": (hands.toggle_unloaded, "The toggle stands at START already."),
        "toggle-run": (not hands.toggle_unloaded, "The toggle stands at RUN already."),
    }
    refused, why = reasons.get(do, (False, ""))
    return why if refused else ""


def check_hand(job: Job, do: str) -> None:
    """Refuse what a hand cannot do now, with the reason."""
    if why := hand_refusal(job, do):
        raise CannotBeDone(why)


def unsafe_repair(needed: str, state: str) -> str:
    """Return why a repair in this state is a critical failure, or "" where the state will do."""
    if STATE_RANK[state] >= STATE_RANK[needed]:
        return ""
    return f"The machine must be {SAFE_STATE_WORDS[needed]} before this work is begun. It was not."
