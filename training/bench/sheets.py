"""What the list of calls, the call sheet and the Teardown draw."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from simulator.rig import load_rigs
from training.bench.case import rig_of
from training.bench.drawing.picture import picture
from training.bench.drawing.review import score_arc, timeline

if TYPE_CHECKING:
    from collections.abc import Iterable

    from training.bench.models import Attempt
    from training.bench.shown import TeardownView
    from training.cases.models import Call

PLATE_ORDER = ("machine", "motor", "receiver", "switch", "relief")
# What is marked, as `training.grading.calls` marks it; a test holds the two together.
CRITERIA = (
    ("Fault and where it sits", 30, "The name, and for a cylinder which one. A name too many costs."),
    ("Evidence", 25, "Findings that a sound machine could not give and that rule the look-alikes out."),
    ("Repair", 20, "The right one first."),
    ("Time", 10, "Minutes on the rig's clock until the fault is named, against par."),
    ("Parts economy", 10, "No part without evidence, and a parts ticket for one that fits."),
    ("What the customer is told", 5, "What was found, in plain words."),
)


@dataclass(frozen=True)
class CallLine:
    """A call on the list and where the reader stands on it."""

    call: Call
    rig_title: str
    standing: str
    chip: str
    attempt: Attempt | None


def calls_context(calls: Iterable[Call], attempts: Iterable[Attempt]) -> dict[str, Any]:
    """Join the calls with the reader's newest attempt on each."""
    newest: dict[int, Attempt] = {}
    for attempt in sorted(attempts, key=lambda one: one.started_at):
        newest[attempt.call_id] = attempt
    lines = []
    for call in calls:
        attempt_on_it = newest.get(call.pk)
        lines.append(CallLine(call, _rig_title(call.rig), *standing(attempt_on_it), attempt_on_it))
    return {"lines": lines}


def call_context(call: Call, attempts: Iterable[Attempt]) -> dict[str, Any]:
    """Return what one call sheet draws."""
    tried = [(attempt, *standing(attempt)) for attempt in attempts]
    plates = _plates(call.rig)
    return {
        "call": call,
        "rig": picture(rig_of(call.rig)),
        "rig_title": _rig_title(call.rig),
        "plates": [(name.capitalize(), plates[name]) for name in PLATE_ORDER if name in plates],
        "criteria": CRITERIA,
        "tried": tried,
        "on_bench": next((attempt for attempt, *_ in tried if not hasattr(attempt, "outcome")), None),
    }


def teardown_context(view: TeardownView) -> dict[str, Any]:
    """Return what the Teardown draws."""
    still_open = [one for one in view.suspects if one.standing == "open"]
    return {
        "view": view,
        "arc": score_arc(view.score, view.pass_score),
        "line": timeline(view.timeline),
        "over_par": view.used_minutes > view.par_minutes,
        "still_open": still_open,
        "proof_normal": any(row.normal for row in view.proof),
        "right": {one.fault for one in view.named} == {one.fault for one in view.truth},
    }


def standing(attempt: Attempt | None) -> tuple[str, str]:
    """Say where an attempt stands, and the look of its chip."""
    if attempt is None:
        return "Not taken yet", ""
    outcome = getattr(attempt, "outcome", None)
    if outcome is None:
        return "On the bench", "chip-mark"
    return outcome.get_result_display(), "chip-ok" if outcome.result == "competent" else "chip-warn"


@cache
def _plates(rig: str) -> dict[str, str]:
    return dict(load_rigs()[rig].plates)


@cache
def _rig_title(rig: str) -> str:
    return load_rigs()[rig].title
