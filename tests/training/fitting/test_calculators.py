"""The calculators as pages: an answer with its formula and source, refusals beside the input."""

import re
from html import unescape

import pytest
from django.urls import reverse

from simulator.calculators import CALCULATORS
from tests.factories.people import MemberFactory

pytestmark = pytest.mark.django_db

INLINE = re.compile(r"<style|\sstyle=|\son[a-z]+=|hx-on|javascript:|<script(?![^>]*\ssrc=)", re.IGNORECASE)


@pytest.fixture
def hand(client):
    """The client of a member who is signed in."""
    client.force_login(MemberFactory())
    return client


def reckon(hand, slug, **sent):
    return hand.get(reverse("fitting:calculator", args=[slug]), sent, follow=True)


def test_every_calculator_is_on_the_list_once(hand):
    text = hand.get(reverse("fitting:calculators")).text

    for slug in CALCULATORS:
        assert text.count(f'href="{reverse("fitting:calculator", args=[slug])}"') == 1


@pytest.mark.parametrize("slug", list(CALCULATORS))
def test_every_calculator_answers_its_example_with_formula_source_and_curve(hand, slug):
    calculator = CALCULATORS[slug]

    response = reckon(hand, slug, **calculator.example)

    assert response.status_code == 200
    text = unescape(response.text)
    assert 'id="answer-h"' in text
    assert calculator.source in text
    assert calculator.standing.value in text
    assert all(line in text for line in calculator.formula)
    assert ("<polyline" in text) == (calculator.sweep is not None)
    assert not INLINE.search(text)


def test_what_is_left_blank_is_assumed_and_said(hand):
    text = reckon(hand, "pump-up", receiver="80 gal").text

    assert "volume 80.0 gal," in text
    assert "11.0 cfm (assumed)" in text


def test_missing_input_is_asked_for_only_once_something_was_sent(hand):
    fresh, sent = reckon(hand, "sheave-size"), reckon(hand, "sheave-size", flywheel="13 in")

    assert fresh.status_code == 200
    assert "answer stands here" in fresh.text
    assert sent.status_code == 422
    assert 'id="e-pump_speed"' in sent.text


@pytest.mark.parametrize(
    ("slug", "sent", "name"),
    [
        ("pump-up", {"receiver": "60"}, "receiver"),
        ("pump-up", {"receiver": "9**9**9 gal"}, "receiver"),
        ("pump-up", {"start": "125 psi", "end": "95 psi"}, "end"),
        ("pump-up", {"free_air": "<b>"}, "free_air"),
        ("pump-up", {"free_air": "1" * 300}, "free_air"),
        ("voltage-drop", {"wire": "coat hanger"}, "wire"),
        ("orifice", {"coefficient": "nan"}, "coefficient"),
    ],
)
def test_refusal_stands_beside_the_input_and_what_was_typed_is_kept(hand, slug, sent, name):
    response = reckon(hand, slug, **sent)

    assert response.status_code == 422
    assert f'id="e-{name}"' in response.text
    assert f'href="#f-{name}"' in response.text
    for field, value in sent.items():
        found = re.search(rf'id="f-{field}" name="{field}" value="([^"]*)"', response.text)
        assert unescape(found.group(1)) == value


def test_input_that_is_none_is_told_with_the_nearest(hand):
    response = reckon(hand, "pump-up", reciever="60 gal")

    assert response.status_code == 422
    assert "receiver" in response.text
    assert "reciever" in response.text


def test_metric_reader_sees_metric(client):
    client.force_login(MemberFactory(unit_system="metric"))

    text = reckon(client, "pump-up", receiver="80 gal").text

    assert "302.8 L" in text
    assert "[bar]" in text


def test_blanks_are_left_out_of_the_address(hand):
    response = reckon(hand, "pump-up", receiver="80 gal", start="")

    assert response.redirect_chain == [("/calculators/pump-up/?receiver=80+gal", 302)]


def test_unknown_calculator_is_not_found(hand):
    assert hand.get("/calculators/horoscope/").status_code == 404


def test_answer_is_swapped_and_the_address_pushed(hand):
    response = hand.get(
        reverse("fitting:calculator", args=["pump-up"]),
        {"receiver": "80 gal"},
        headers={"HX-Request": "true"},
    )

    assert response.text.lstrip().startswith('<div id="calculator"')
    assert response.headers["HX-Push-Url"] == "/calculators/pump-up/?receiver=80+gal"


def test_caution_of_a_circuit_defers_to_code_and_electrician(hand):
    text = reckon(hand, "breaker-and-wire").text

    assert "local code" in text
    assert "licensed electrician" in text
