"""Pages of calls and the bench: each finds, asks one action, answers."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_htmx.http import HttpResponseClientRedirect

from training.bench import actions, presenting, queries, sheets, ticket_pages
from training.bench.exceptions import NotUnderstood, Refusal
from training.bench.forms import DeedForm, details_of
from training.cases.queries import calls_on_sheet
from training.common.htmx import HtmxHttpRequest, render_page, wants_fragment

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpResponse

    from simulator.units import System
    from training.bench.actions import Outcome
    from training.bench.models import Attempt

OPENABLE = ("safe", "name")


@require_GET
def calls(request: HtmxHttpRequest) -> HttpResponse:
    """List the calls that can be taken, with where the reader stands on each."""
    context = sheets.calls_context(calls_on_sheet(), queries.attempts_of(request.user))
    return render(request, "bench/calls.html", context)


@require_http_methods(["GET", "POST"])
def call(request: HtmxHttpRequest, slug: str) -> HttpResponse:
    """Show a call sheet; taking the call opens the bench."""
    found = get_object_or_404(calls_on_sheet(), slug=slug)
    refused = None
    if request.method == "POST":
        try:
            attempt = actions.open_attempt(learner=request.user, call=found, now=timezone.now())
        except Refusal as refusal:
            refused = refusal
        else:
            return redirect("bench:bench", attempt.public_id)
    context = sheets.call_context(found, queries.attempts_of(request.user).filter(call=found))
    context["refused"] = refused
    return render(request, "bench/call.html", context, status=refused.status if refused else 200)


@never_cache
@require_GET
def bench(request: HtmxHttpRequest, public_id: UUID) -> HttpResponse:
    """Show the bench of one's own attempt."""
    attempt = get_object_or_404(queries.attempts_of(request.user), public_id=public_id)
    return _bench_page(request, attempt)


@never_cache
@require_POST
def act(request: HtmxHttpRequest, public_id: UUID) -> HttpResponse:
    """Do one deed at the bench and show what came of it."""
    attempt = get_object_or_404(queries.attempts_of(request.user), public_id=public_id)
    form, details = DeedForm(request.POST), details_of(request.POST)
    try:
        if not form.is_valid():
            raise NotUnderstood(form.words())
        outcome = actions.act(
            attempt=attempt,
            key=form.cleaned_data["key"],
            at=form.cleaned_data["at"],
            deed=form.cleaned_data["deed"],
            details=details,
            now=timezone.now(),
        )
    except Refusal as refusal:
        return _bench_page(
            request, attempt, refused=refusal, refused_deed=request.POST.get("deed", ""), typed=details
        )
    return _after(request, attempt, outcome)


@never_cache
@require_GET
def teardown(request: HtmxHttpRequest, public_id: UUID) -> HttpResponse:
    """Review a closed call: one's own, or as an instructor any of the shop's."""
    attempt = get_object_or_404(queries.teardowns_for(request.user), public_id=public_id)
    try:
        view = queries.teardown_view(attempt, _system(request))
    except Refusal as refusal:
        return _refused_page(request, refusal)
    context = sheets.teardown_context(view) | ticket_pages.teardown_context(attempt, _system(request))
    return render(request, "bench/teardown.html", context)


def _refused_page(request: HtmxHttpRequest, refusal: Refusal) -> HttpResponse:
    """Say why an attempt cannot be opened, and what to do."""
    return render(request, "bench/refused.html", {"refused": refusal}, status=refusal.status)


def _system(request: HtmxHttpRequest) -> System:
    return "metric" if request.user.unit_system == "metric" else "us"


def _after(request: HtmxHttpRequest, attempt: Attempt, outcome: Outcome) -> HttpResponse:
    """Answer a deed that was done: the bench again, or the Teardown once the call is closed."""
    closed = outcome.deed == "close" and not outcome.critical
    if wants_fragment(request):
        if closed:
            return HttpResponseClientRedirect(reverse("bench:teardown", args=[attempt.public_id]))
        return _bench_page(request, attempt, outcome=outcome)
    if closed:
        return redirect("bench:teardown", attempt.public_id)
    told = messages.error if outcome.critical else messages.info
    words = presenting.done_words(attempt.call.rig, outcome, request.POST.get("do", ""))
    told(request, f"{words} {outcome.critical}".strip())
    keep = {"tool": request.POST.get("tool", ""), "open": "safe" if outcome.deed == "safe" else ""}
    query = urlencode({name: value for name, value in keep.items() if value})
    address = reverse("bench:bench", args=[attempt.public_id])
    return redirect(f"{address}?{query}#{keep['open'] or 'told'}")


def _bench_page(
    request: HtmxHttpRequest,
    attempt: Attempt,
    *,
    outcome: Outcome | None = None,
    refused: Refusal | None = None,
    refused_deed: str = "",
    typed: dict[str, Any] | None = None,
) -> HttpResponse:
    """Render the bench as it stands at the end of the log."""
    system = _system(request)
    try:
        view = queries.bench_view(attempt, system=system)
    except Refusal as refusal:  # the attempt itself cannot be shown, whatever was sent
        if wants_fragment(request):
            return HttpResponseClientRedirect(reverse("bench:bench", args=[attempt.public_id]))
        return _refused_page(request, refusal)
    if view.stage == "closed" and refused is None:
        return redirect("bench:teardown", attempt.public_id)
    asked = request.GET.get("open", refused_deed)
    context = {
        "view": view,
        **presenting.bench_context(view, system),
        "trace": json.dumps({**view.trace, "clock": view.clock}, separators=(",", ":")),
        "act_url": reverse("bench:act", args=[attempt.public_id]),
        "whole": not wants_fragment(request),
        "in_hand": request.POST.get("tool", request.GET.get("tool", "")),
        "open": asked if asked in OPENABLE else "",
        "told": presenting.told(view, outcome, request.POST.get("do", "")),
        "hinted": (outcome.deed if outcome else None) in presenting.HINTED,
        "critical_now": outcome.critical if outcome else "",
        "refused": refused,
        "refused_deed": refused_deed,
        "typed": typed or {},
        "minute_on": view.clock + 60.0,
    }
    return render_page(
        request, "bench/bench.html", context, fragment="bench", status=refused.status if refused else 200
    )
