"""The door: signing in and out, and the choice of units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings
from django.contrib.auth import login, logout
from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect, resolve_url
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from training.common.htmx import HtmxHttpRequest, render_page
from training.people import actions, demo
from training.people.exceptions import NotSignedIn
from training.people.forms import SignInForm, UnitsForm

if TYPE_CHECKING:
    from django.http import HttpRequest


def _next_page(request: HttpRequest) -> str:
    """Where to go on: the page asked for if it is ours, else Today."""
    wanted = request.POST.get("next", request.GET.get("next", ""))
    is_ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if is_ours else resolve_url(settings.LOGIN_REDIRECT_URL)


def _demo_members() -> tuple[demo.DemoMember, ...]:
    """Who can be signed in as at the demo, where the passwords are for anybody; nobody elsewhere."""
    return demo.read_shop(settings.FIXTURES / "shop.toml").members if settings.DEMO else ()


@login_not_required
@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request: HtmxHttpRequest) -> HttpResponse:
    """Ask for crew number and password, and let the right ones in."""
    form = SignInForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            member = actions.sign_in(
                account=form.cleaned_data["account"],
                password=form.cleaned_data["password"],
                address=request.META["REMOTE_ADDR"],
                at=timezone.now(),
            )
        except NotSignedIn as refusal:
            form.add_error(None, str(refusal))
        else:
            login(request, member)
            return redirect(_next_page(request))
    context = {"form": form, "next": _next_page(request), "demo_members": _demo_members()}
    return render_page(request, "people/sign_in.html", context, status=422 if form.errors else 200)


@require_POST
def sign_out(request: HtmxHttpRequest) -> HttpResponse:
    """End the session."""
    logout(request)
    return redirect(settings.LOGOUT_REDIRECT_URL)


@require_POST
def units(request: HtmxHttpRequest) -> HttpResponse:
    """Change the member's unit system and stay on the page."""
    form = UnitsForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest("Choose us or metric.", content_type="text/plain; charset=utf-8")
    actions.choose_units(member=request.user, unit_system=form.cleaned_data["unit_system"])
    return redirect(_next_page(request))
