"""The shell of every page: its policy, its errors, its fragments, its fields and tags."""

import re

import pytest
from django.http import HttpResponse
from django.template import Context, Template
from django.test import Client, RequestFactory
from django.urls import path
from django_htmx.middleware import HtmxMiddleware

from tests.factories.people import MemberFactory
from training.common.htmx import render_page
from training.urls import handler403, handler404, handler500
from training.urls import urlpatterns as site_urls

INLINE = re.compile(r"<style|\sstyle=|\son[a-z]+=|hx-on|javascript:|<script(?![^>]*\ssrc=)", re.IGNORECASE)


def broken(request):
    raise RuntimeError("a fault of ours, made on purpose")


urlpatterns = [*site_urls, path("broken/", broken)]
__all__ = ["handler403", "handler404", "handler500", "urlpatterns"]


def asked_with(**headers):
    request = RequestFactory().get("/", headers=headers)
    request.user = MemberFactory.build()
    HtmxMiddleware(lambda _: HttpResponse())(request)
    return request


@pytest.mark.django_db
@pytest.mark.parametrize("address", ["/sign-in/", "/", "/crew/", "/nothing/"])
def test_page_carries_the_strict_policy_and_nothing_inline(client, address):
    client.force_login(MemberFactory(instructor=True))

    response = client.get(address)

    policy = dict(
        part.strip().split(" ", 1) for part in response.headers["Content-Security-Policy"].split(";")
    )
    assert policy["default-src"] == "'none'"
    for kind in ("script-src", "style-src", "img-src", "font-src", "connect-src", "form-action"):
        assert policy[kind] == "'self'"
    assert INLINE.search(response.text) is None
    assert not re.search(r'(?:src|href)="(?:https?:)?//', response.text)


@pytest.mark.django_db
def test_missing_page_says_what_to_do_next(client):
    client.force_login(MemberFactory())

    response = client.get("/nothing/")

    assert response.status_code == 404
    assert "Nothing hangs here" in response.text
    assert "Back to Today" in response.text


@pytest.mark.django_db
@pytest.mark.urls("tests.training.common.test_pages")
def test_fault_of_ours_is_said_without_the_inside_of_the_site(client):
    client.force_login(MemberFactory())
    client.raise_request_exception = False

    response = client.get("/broken/")

    assert response.status_code == 500
    assert "A fault of ours" in response.text
    assert "made on purpose" not in response.text


@pytest.mark.django_db
def test_old_form_is_refused_with_the_way_to_mend_it():
    response = Client(enforce_csrf_checks=True).post("/sign-in/", {"account": "4471", "password": "x"})

    assert response.status_code == 403
    assert "load the page again" in response.text


@pytest.mark.parametrize(
    ("headers", "is_part"),
    [
        ({}, False),
        ({"HX-Request": "true"}, True),
        ({"HX-Request": "true", "HX-Boosted": "true"}, False),
        ({"HX-Request": "true", "HX-History-Restore-Request": "true"}, False),
    ],
)
@pytest.mark.django_db
def test_htmx_gets_the_part_it_asked_for_and_back_gets_the_page(settings, tmp_path, headers, is_part):
    (tmp_path / "page.html").write_text(
        "{% load partials %}whole {% partialdef sheet inline %}part{% endpartialdef %}"
    )
    settings.TEMPLATES = [{**settings.TEMPLATES[0], "DIRS": [tmp_path]}]

    response = render_page(asked_with(**headers), "page.html", {}, fragment="sheet", status=422)

    assert response.text.strip() == ("part" if is_part else "whole part")
    assert response.status_code == 422
    assert response.headers["Vary"] == "HX-Request, HX-Boosted, HX-History-Restore-Request"


@pytest.mark.parametrize(("system", "shown"), [("us", "118.2 psi"), ("metric", "8.15 bar")])
def test_quantity_tag_shows_the_reader_s_unit(system, shown):
    request = RequestFactory().get("/")
    request.user = MemberFactory.build(unit_system=system)
    page = Template('{% load quantities %}{% quantity 815000 "gauge_pressure" %}')

    assert page.render(Context({"request": request})) == shown


@pytest.mark.django_db
def test_ended_session_sends_the_whole_page_to_the_door_and_back(client):
    headers = {"HX-Request": "true", "HX-Current-URL": "http://testserver/calls/?page=2"}

    response = client.get("/crew/", headers=headers)

    assert response.status_code == 200
    assert response.headers["HX-Redirect"] == "/sign-in/?next=%2Fcalls%2F%3Fpage%3D2"
    assert response.content == b""
