"""What happens to a part of a page when its reader's session has ended."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast
from urllib.parse import urlencode

from django.conf import settings
from django.http.response import HttpResponseRedirectBase
from django.shortcuts import resolve_url
from django_htmx.http import HttpResponseClientRedirect

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpRequest, HttpResponse

    from training.common.htmx import HtmxHttpRequest


class WholePageSignInMiddleware:
    """Send the whole page to the door, and back to that page; htmx would else swap the door into the part."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Turn a redirect to the door into one that the browser itself follows."""
        response = self.get_response(request)
        details = cast("HtmxHttpRequest", request).htmx
        door = resolve_url(settings.LOGIN_URL)
        if (
            not details
            or not isinstance(response, HttpResponseRedirectBase)
            or not response.url.startswith(door)
        ):
            return response
        page = details.current_url_abs_path
        return HttpResponseClientRedirect(f"{door}?{urlencode({'next': page})}" if page else door)
