"""Pages for what goes wrong: each says what happened and what to do next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import HttpResponse, HttpResponseServerError
from django.shortcuts import render
from django.template.loader import get_template

if TYPE_CHECKING:
    from django.http import HttpRequest


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Say that the request could not be read."""
    return render(request, "common/400.html", status=400)


def permission_denied(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Refuse, with the refusal's own words as the reason."""
    return render(request, "common/403.html", {"reason": str(exception)}, status=403)


def page_not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Say that nothing is at this address, or nothing that this person may see."""
    return render(request, "common/404.html", status=404)


def server_error(request: HttpRequest) -> HttpResponse:
    """Say that the fault is ours. Rendered without the request, whose parts may be what failed."""
    return HttpResponseServerError(get_template("common/500.html").render())


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Say that the form's token is missing or old."""
    return render(request, "common/csrf.html", status=403)
