"""A page, or the fragment of it that htmx asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers

if TYPE_CHECKING:
    from django_htmx.middleware import HtmxDetails

    from training.people.models import Member

VARY = ("HX-Request", "HX-Boosted", "HX-History-Restore-Request")


class HtmxHttpRequest(HttpRequest):
    """A request of a signed-in member that has passed the htmx middleware."""

    htmx: HtmxDetails
    user: Member  # signing in is required everywhere but at the door


def wants_fragment(request: HtmxHttpRequest) -> bool:
    """Whether htmx will swap a part of the page; Back and boosted links need the whole page."""
    return bool(request.htmx) and not request.htmx.boosted and not request.htmx.history_restore_request


def render_page(
    request: HtmxHttpRequest,
    template: str,
    context: dict[str, Any] | None = None,
    fragment: str | None = None,
    status: int = 200,
) -> HttpResponse:
    """Answer with the page, or with its named fragment when htmx asked for a part."""
    name = f"{template}#{fragment}" if fragment and wants_fragment(request) else template
    response = render(request, name, context, status=status)
    patch_vary_headers(response, VARY)
    return response
