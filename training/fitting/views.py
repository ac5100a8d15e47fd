"""Pages of Will it fit? and of the calculators: each finds what was asked and shows it. Nothing is written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_safe
from django_htmx.http import push_url

from training.common.htmx import HtmxHttpRequest, render_page, wants_fragment
from training.fitting import queries, reckoning

if TYPE_CHECKING:
    from django.http import HttpResponse

    from training.fitting.shown import FitView


@require_safe
def kinds(request: HtmxHttpRequest) -> HttpResponse:
    """List the kinds of part that can be judged."""
    return render_page(request, "fitting/kinds.html", {"kinds": queries.kinds()})


@require_safe
def fit(request: HtmxHttpRequest, kind: str) -> HttpResponse:
    """Show the plates of a part, and the verdict once something is on offer."""
    view = _found(request, kind)
    address = _with_query(reverse("fitting:fit", args=[kind]), view.query)
    if not view.troubles and not wants_fragment(request) and view.query != _tidied(request):
        if view.told:
            messages.info(request, view.told)
        return redirect(address)  # the address without blanks is the one to pass on
    status = 422 if view.troubles else 200
    context = {"view": view, "share": request.build_absolute_uri(address)}
    response = render_page(request, "fitting/fit.html", context, fragment="fit", status=status)
    return push_url(response, address) if wants_fragment(request) else response


@require_safe
def card(request: HtmxHttpRequest, kind: str) -> HttpResponse:
    """Show what to ask for at the counter, on one sheet of paper."""
    view = _found(request, kind)
    if view.judgement is None:
        return redirect(_with_query(reverse("fitting:fit", args=[kind]), view.query))
    back = _with_query(reverse("fitting:fit", args=[kind]), view.query)
    return render_page(request, "fitting/card.html", {"view": view, "back": back})


@require_safe
def calculators(request: HtmxHttpRequest) -> HttpResponse:
    """List the calculators."""
    return render_page(request, "fitting/calculators.html", {"rooms": reckoning.rooms()})


@require_safe
def calculator(request: HtmxHttpRequest, slug: str) -> HttpResponse:
    """Show one calculator with its answer."""
    view = reckoning.calculator_view(slug, request.GET.dict(), queries.system_of(request.user.unit_system))
    if view is None:
        raise Http404
    address = _with_query(reverse("fitting:calculator", args=[slug]), view.query)
    if not view.troubles and not wants_fragment(request) and view.query != _tidied(request):
        return redirect(address)
    status = 422 if view.troubles else 200
    response = render_page(
        request, "fitting/calculator.html", {"view": view}, fragment="calculator", status=status
    )
    return push_url(response, address) if wants_fragment(request) else response


def _found(request: HtmxHttpRequest, kind: str) -> FitView:
    view = queries.fit_view(kind, request.GET.dict(), queries.system_of(request.user.unit_system))
    if view is None:
        raise Http404
    return view


def _with_query(address: str, query: str) -> str:
    return f"{address}?{query}" if query else address


def _tidied(request: HtmxHttpRequest) -> str:
    """Return the query as it came, spelt as Django spells it."""
    return request.GET.urlencode()
