"""Nothing a member must find out reaches the browser before the paper is handed in."""

import re

import pytest

from tests.factories.papers import LATER, handed_in, right_answer
from tests.factories.people import MemberFactory
from tests.training.papers.pages import KINDS, LIST, at, hand_in, review
from training.papers import actions
from training.papers.models import Paper

pytestmark = pytest.mark.django_db


def reasons_of(sitting):
    """Every explanation, source and reason of a sitting."""
    for line in sitting.questions.all():
        question = line.content
        yield from (question["explanation"], question["source"])
        yield from (part["reason"] for part in question["options"] + question["steps"])


def secrets_of(sitting):
    """All that a page must not show before the paper is handed in."""
    yield from reasons_of(sitting)
    for line in sitting.questions.all():
        yield from (line.content["slug"], line.content["fault"])
        if line.content["number"]:
            yield line.content["number"]["shown"]
            yield from (slip["reason"] for slip in line.content["number"]["slips"])


def test_review_shows_every_reason_so_that_a_leak_of_one_would_be_found(begun, client):
    sitting = begun(*({"kind": kind} for kind in KINDS))
    handed_in(sitting)

    page = client.get(review(sitting)).text

    assert [reason for reason in reasons_of(sitting) if reason not in page] == []


@pytest.mark.parametrize("answered", [False, True])
def test_open_sitting_shows_no_key_reason_or_source(begun, client, answered):
    sitting = begun(*({"kind": kind} for kind in KINDS))
    if answered:
        for line in sitting.questions.all():
            given = {"typed": "7 A"} if line.content["kind"] == "number" else right_answer(line)
            actions.answer_question(sitting=sitting, position=line.position, given=given, at=LATER)
    pages = [client.get(at(sitting, position)) for position in range(1, 5)] + [
        client.get(hand_in(sitting)),
        client.get(LIST),
    ]

    for page in pages:
        assert page.status_code == 200
        sent = page.text + repr(page.headers)
        assert [secret for secret in secrets_of(sitting) if secret in sent] == []


def without_token(page):
    return re.sub(r'(?:value="|Token": ")\w{64}', "", page.text)


@pytest.mark.parametrize("kind", KINDS)
def test_page_of_an_open_question_would_be_the_same_with_any_other_key(begun, client, kind):
    sitting = begun({"kind": kind})
    before = without_token(client.get(at(sitting)))
    line = sitting.questions.get()
    for option in line.content["options"]:
        option["right"] = not option["right"]
    for step in line.content["steps"]:
        step["place"] = 5 - step["place"]
    if kind == "number":
        line.content["number"] |= {"key": 3.0, "shown": "3 A", "tolerance": 0.2, "slips": []}
    line.save()

    assert without_token(client.get(at(sitting))) == before


@pytest.mark.parametrize("kind", KINDS)
def test_refused_answer_shows_no_key_reason_or_source(begun, client, kind):
    sitting = begun({"kind": kind})
    sent = {"chosen": "z", "place-a": "1", "typed": "20"}

    response = client.post(at(sitting), sent)

    assert response.status_code == 422
    assert [secret for secret in secrets_of(sitting) if secret in response.text] == []


def test_real_drawer_leaks_nothing_on_any_page_of_a_sitting(client):
    actions.load_drawer()
    member = MemberFactory()
    client.force_login(member)
    sitting = actions.begin_sitting(paper=Paper.objects.get(), member=member, at=LATER, seed=3)

    for line in sitting.questions.all():
        page = client.get(at(sitting, line.position)).text
        question = line.content
        reasons = [part["reason"] for part in question["options"] + question["steps"]]
        for secret in (question["slug"], question["explanation"], question["source"], *reasons):
            assert secret not in page
