"""The page of the Parts ticket, and what the Teardown shows of it."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from simulator.replacement.kinds import KINDS, NEW
from training.bench import actions, queries, rules, ticket
from training.bench.exceptions import Refusal
from training.bench.forms import details_of
from training.fitting import queries as fitting
from training.fitting import sheets, words

if TYPE_CHECKING:
    from collections.abc import Mapping
    from uuid import UUID

    from django.http import HttpResponse

    from simulator import units
    from training.bench.job import Job
    from training.bench.models import Attempt
    from training.common.htmx import HtmxHttpRequest


@never_cache
@require_http_methods(["GET", "POST"])
def ticket_page(request: HtmxHttpRequest, public_id: UUID) -> HttpResponse:
    """Show the Parts ticket of one's own attempt, and write it in the log."""
    attempt = get_object_or_404(queries.attempts_of(request.user), public_id=public_id)
    refused, sent = None, request.GET.dict()
    if request.method == "POST":
        sent = {name: str(value) for name, value in details_of(request.POST).items()}
        try:
            done = actions.act(
                attempt=attempt,
                key=request.POST.get("key", ""),
                at=None,
                deed=ticket.DEED,
                details=sent,
                now=timezone.now(),
            )
        except Refusal as refusal:
            refused = refusal
        else:
            messages.info(request, done.words)
            return redirect("bench:bench", attempt.public_id)
    try:
        job = queries.job_of(attempt)
    except Refusal as refusal:
        return render(request, "bench/refused.html", {"refused": refusal}, status=refusal.status)
    if job.closed and refused is None:
        return redirect("bench:teardown", attempt.public_id)
    return render(
        request,
        "bench/ticket.html",
        _context(attempt, job, sent, refused),
        status=refused.status if refused else 200,
    )


def _context(attempt: Attempt, job: Job, sent: Mapping[str, str], refused: Refusal | None) -> dict[str, Any]:
    """Return what the page draws: the kinds to choose from, and the sheet of the chosen one as it was typed."""
    kind = sent.get("kind", job.ticket.kind if job.ticket else "")
    context: dict[str, Any] = {
        "attempt": attempt,
        "call": queries.call_shown(attempt.call),
        "kinds": fitting.kinds(),
        "kind": kind,
        "written": job.ticket,
        "may_write": rules.may_write_ticket(job),
        "refused": refused,
        "key": str(uuid.uuid4()),
    }
    if kind not in KINDS:
        return context
    lines = {name: value for name, value in sent.items() if name != "kind"}
    if not lines and job.ticket and job.ticket.kind == kind:
        lines = {sheets.field_name(NEW, line): value for line, value in job.ticket.lines.items()}
    typed = sheets.read_typed(kind, lines)
    wrong = refused.wrong if isinstance(refused, ticket.UnreadableTicket) else ()
    return context | {
        "title": KINDS[kind].title,
        "groups": fitting.groups(typed, wrong, (NEW,)),
        "troubles": fitting.troubles(KINDS[kind], wrong),
        "caution": words.caution(kind),
    }


def teardown_context(attempt: Attempt, system: units.System) -> dict[str, Any]:
    """Return what the Teardown tells of the ticket: what was asked for, and every reason for its verdict."""
    job = queries.job_of(attempt)
    part = attempt.case["sheet"].get("part")
    shown = None
    if job.ticket and job.ticket.kind in KINDS:
        machine = ticket.machine_of(job.ticket, part, job.case.rig)
        judgement = ticket.suits(job.ticket, machine, system)
        lines = {**machine, NEW: job.ticket.lines}
        if judgement:
            shown = fitting.judgement_shown(KINDS[job.ticket.kind], judgement, lines, system)
    return {
        "ticket": job.ticket,
        "ticket_judged": shown,
        "ticket_wanted": KINDS[part["kind"]].title if part else "",
        "ticket_other": bool(part and job.ticket and part["kind"] != job.ticket.kind),
    }
