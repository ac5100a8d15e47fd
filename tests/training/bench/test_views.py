"""The pages of calls and the bench: found, refused, swapped; nothing inline, nothing lost that was typed."""

import json
import re
from html import unescape

import pytest
from django.urls import reverse

from simulator.faults import load_faults
from tests.factories.bench import act, begin, work_to_the_end
from tests.factories.cases import CallFactory
from tests.factories.people import MONDAY, MemberFactory, ShopFactory
from training.bench.models import Attempt, LogEntry
from training.cases.book import load_calls

pytestmark = pytest.mark.django_db

HTMX = {"HX-Request": "true"}
INLINE = re.compile(r"<style|\sstyle=|\son[a-z]+=|hx-on|javascript:|<script(?![^>]*\ssrc=)", re.IGNORECASE)


def bench_of(attempt):
    return reverse("bench:bench", args=[attempt.public_id])


def act_of(attempt):
    return reverse("bench:act", args=[attempt.public_id])


def teardown_of(attempt):
    return reverse("bench:teardown", args=[attempt.public_id])


def trace_of(response):
    return json.loads(unescape(re.search(r'data-trace="([^"]*)"', response.text).group(1)))


@pytest.fixture
def attempt():
    return begin()


@pytest.fixture
def learner(client, attempt):
    client.force_login(attempt.learner)
    return client


def test_no_call_is_named_after_a_fault():
    faults = load_faults()

    named = [slug for slug in load_calls() if any(fault in slug or slug in fault for fault in faults)]

    assert named == []


@pytest.mark.parametrize("rows", [1, 3])
def test_list_of_calls_asks_the_database_the_same_for_one_row_and_for_three(
    client, django_assert_num_queries, rows
):
    for slug in list(load_calls())[:rows]:
        CallFactory(slug=slug)
    member = MemberFactory()
    client.force_login(member)

    with django_assert_num_queries(4):  # session, member, calls, attempts with their outcomes
        response = client.get(reverse("bench:calls"))

    assert response.status_code == 200
    assert response.text.count('class="card call"') == rows


def test_call_sheet_says_complaint_plate_and_marking_and_nothing_of_the_fault(client):
    call = CallFactory()
    client.force_login(MemberFactory())

    response = client.get(reverse("bench:call", args=[call.slug]))

    assert call.complaint in unescape(response.text)
    assert "3450 rpm" in response.text
    assert "Fault and where it sits" in response.text
    for hidden in (call.faults[0]["fault"], call.answer_says, call.statements[0]["words"]):
        assert hidden not in unescape(response.text)


def test_taking_a_call_twice_leads_to_the_same_bench(client):
    call = CallFactory()
    client.force_login(MemberFactory())
    sheet = reverse("bench:call", args=[call.slug])

    first, second = client.post(sheet), client.post(sheet)

    assert first.status_code == 302
    assert first.headers["Location"] == second.headers["Location"]


def test_unknown_call_is_not_found(client):
    client.force_login(MemberFactory())

    assert client.get("/calls/no-such-call/").status_code == 404


def test_a_stranger_is_sent_to_the_door(client, attempt):
    response = client.get(bench_of(attempt))

    assert response.status_code == 302
    assert response.headers["Location"].startswith("/sign-in/")


@pytest.mark.parametrize("address", [bench_of, act_of, teardown_of])
def test_somebody_elses_attempt_is_not_found(client, attempt, address):
    client.force_login(MemberFactory())

    method = client.post if address is act_of else client.get

    assert method(address(attempt)).status_code == 404


def test_bench_is_a_whole_page_with_the_picture_and_a_trace_from_the_clock(learner, attempt):
    response = learner.get(bench_of(attempt))

    trace = trace_of(response)
    assert response.status_code == 200
    assert '<svg class="rig"' in response.text
    assert trace["clock"] == trace["from"] == 0.0
    assert trace["to"] > 60
    assert {"tank", "rpm"} <= set(trace["ch"])


@pytest.mark.parametrize("page", ["calls", "call", "bench"])
def test_pages_have_nothing_inline(learner, attempt, page):
    address = {
        "calls": reverse("bench:calls"),
        "call": reverse("bench:call", args=[attempt.call.slug]),
        "bench": bench_of(attempt),
    }[page]

    assert INLINE.findall(learner.get(address).text) == []


def test_a_deed_by_htmx_is_answered_with_the_bench_alone_and_without_the_picture(learner, attempt):
    response = learner.post(act_of(attempt), {"deed": "hand", "do": "start", "key": "k1"}, headers=HTMX)

    assert response.status_code == 200
    assert response.text.lstrip().startswith('<div id="bench"')
    assert '<svg class="rig"' not in response.text
    assert 'id="scene" hx-preserve="true"></div>' in response.text
    assert "HX-Request" in response.headers["Vary"]
    assert "lever-on" in response.text
    assert INLINE.findall(response.text) == []


def test_a_deed_without_script_leads_back_to_the_bench_and_says_what_came_of_it(learner, attempt):
    response = learner.post(
        act_of(attempt),
        {"deed": "check", "check": "look", "place": "belt", "tool": "look", "key": "k1"},
        follow=True,
    )

    assert response.redirect_chain[0][0].startswith(f"{bench_of(attempt)}?tool=look")
    assert response.status_code == 200
    assert 'id="note-1"' in response.text
    assert 'id="where-look" data-for="look">' in response.text


@pytest.mark.parametrize(
    ("sent", "status", "words"),
    [
        ({"deed": "hand", "do": "start"}, 422, "without its key"),
        ({"deed": "hand", "do": "start", "key": "k", "at": "noon"}, 422, "Enter a number"),
        ({"deed": "hand", "do": "start", "key": "k", "at": "nan"}, 422, "Enter a number"),
        ({"deed": "hand", "do": "start", "key": "k", "at": "-3"}, 422, "greater than or equal to 0"),
        ({"deed": "hand", "do": "start", "key": "k", "at": "99999999"}, 409, "given up to"),
        ({"deed": "hand", "do": "strat", "key": "k"}, 422, "The nearest is 'start'"),
        ({"deed": "hnad", "do": "start", "key": "k"}, 422, "The nearest is 'hand'"),
        ({"deed": "hand", "do": "start", "speed": "9", "key": "k"}, 422, "speed"),
        ({"deed": "check", "check": "look", "place": "roof", "key": "k"}, 422, "There is no place"),
        ({"deed": "wait", "until": "soon", "key": "k"}, 422, "must be a number"),
        ({"deed": "pin", "note": "7", "key": "k"}, 422, "no finding to pin"),
        ({"deed": "repair", "repair": "valve-plate", "key": "k"}, 409, "Name the fault"),
        ({"deed": "proof", "key": "k"}, 409, "Name the fault"),
        ({"deed": "close", "key": "k"}, 409, "Tell the customer first"),
        ({"deed": "safe", "step": "lock", "key": "k"}, 409, "Isolate it first"),
        (
            {"deed": "name", "fault": "intake-reed-leak", "confidence": "sure", "key": "k"},
            422,
            "where it sits",
        ),
    ],
)
@pytest.mark.parametrize("headers", [{}, HTMX], ids=["page", "htmx"])
def test_a_refused_deed_says_why_and_writes_nothing(learner, attempt, sent, status, words, headers):
    response = learner.post(act_of(attempt), sent, headers=headers)

    assert response.status_code == status
    assert words in unescape(response.text)
    assert 'data-told="no"' in response.text
    assert not LogEntry.objects.exists()


def test_a_refused_note_keeps_what_was_typed(learner, attempt):
    typed = "because " * 80

    response = learner.post(
        act_of(attempt),
        {"deed": "suspect", "fault": "belt-slack", "out": "true", "why": typed, "key": "k"},
        headers=HTMX,
    )

    assert response.status_code == 422
    assert f'value="{typed}"' in response.text


def test_a_refused_name_keeps_what_was_chosen_and_stays_open_without_script(learner, attempt):
    response = learner.post(
        act_of(attempt), {"deed": "name", "fault": "belt-slack", "confidence": "", "key": "k"}
    )

    assert response.status_code == 422
    assert 'aria-labelledby="name-h" open>' in response.text
    assert '<option value="belt-slack" selected>' in response.text


def test_the_same_key_acts_once(learner, attempt):
    sent = {"deed": "hand", "do": "start", "key": "one-key"}

    first = learner.post(act_of(attempt), sent, headers=HTMX)
    second = learner.post(act_of(attempt), sent, headers=HTMX)

    assert (first.status_code, second.status_code) == (200, 200)
    assert LogEntry.objects.count() == 1


def test_a_prohibited_act_is_shown_as_critical_failure(learner, attempt):
    response = learner.post(
        act_of(attempt),
        {"deed": "check", "check": "head-line-gauge", "place": "line-pump-end", "key": "k"},
        headers=HTMX,
    )

    assert response.status_code == 200
    assert "Critical failure" in response.text
    assert 'id="critical-h"' in response.text


def test_readings_are_in_the_members_own_units(client):
    metric = begin(learner=MemberFactory(unit_system="metric"))
    client.force_login(metric.learner)

    response = client.get(bench_of(metric))

    assert 'data-system="metric"' in response.text
    assert '<span class="unit">bar</span>' in response.text
    assert '<span class="unit">psi</span>' not in response.text


def test_a_deed_by_get_is_not_allowed(learner, attempt):
    assert learner.get(act_of(attempt)).status_code == 405


def test_closing_leads_to_the_teardown(learner, attempt):
    act(attempt, "name", fault="belt-slack", confidence="unsure")
    act(attempt, "repair", repair="none")
    act(attempt, "proof")
    act(attempt, "say", statement=attempt.call.statements[0]["slug"])

    response = learner.post(act_of(attempt), {"deed": "close", "key": "k"}, headers=HTMX)

    assert response.headers["HX-Redirect"] == teardown_of(attempt)


def test_teardown_is_not_found_before_the_call_is_closed(learner, attempt):
    assert learner.get(teardown_of(attempt)).status_code == 404


def test_the_bench_of_a_closed_call_leads_to_its_teardown_and_takes_no_deed(learner, attempt):
    work_to_the_end(attempt, path=["look:belt"], repair="none")

    page = learner.get(bench_of(attempt))
    refused = learner.post(act_of(attempt), {"deed": "hand", "do": "start", "key": "late"})

    assert page.headers["Location"] == teardown_of(attempt)
    assert refused.status_code == 409
    assert "This call is closed" in refused.text


def test_teardown_is_for_the_learner_and_the_shops_instructors_and_manager(client, attempt):
    work_to_the_end(attempt, path=["look:belt"], repair="none")
    shop = attempt.learner.shop
    seen = {}

    for who, member in {
        "learner": attempt.learner,
        "instructor": MemberFactory(instructor=True, shop=shop),
        "manager": MemberFactory(manager=True, shop=shop),
        "another apprentice": MemberFactory(shop=shop),
        "instructor elsewhere": MemberFactory(
            instructor=True, shop=ShopFactory(slug="elsewhere", name="Elsewhere")
        ),
    }.items():
        client.force_login(member)
        seen[who] = client.get(teardown_of(attempt)).status_code

    assert seen == {
        "learner": 200,
        "instructor": 200,
        "manager": 200,
        "another apprentice": 404,
        "instructor elsewhere": 404,
    }


def test_teardown_says_marks_with_reasons_what_was_done_and_what_would_have_parted_the_suspects(
    learner, attempt
):
    work_to_the_end(attempt, path=["intake-feel:lp-intake", "breather-feel:lp-breather"], repair="none")

    response = learner.get(teardown_of(attempt))

    words = unescape(response.text)
    assert attempt.call.answer_says in words
    assert "Fault and where it sits" in words
    assert "What would have separated them" in words
    assert "Hold a paper strip to the intake" in words
    assert INLINE.findall(response.text) == []


@pytest.fixture
def outdated(attempt):
    """An attempt of the same learner, begun on a machine whose data have been changed since."""
    case = attempt.case | {"parameters": "those of another machine"}
    return Attempt.objects.create(
        learner=attempt.learner, call=CallFactory(slug="hot-paint-smell"), case=case, started_at=MONDAY
    )


def test_an_attempt_that_cannot_be_replayed_says_so_and_is_no_server_error(learner, outdated):
    sent = {"deed": "hand", "do": "start", "key": "k"}

    page = learner.get(bench_of(outdated))
    posted = learner.post(act_of(outdated), sent)
    swapped = learner.post(act_of(outdated), sent, headers=HTMX)

    assert (page.status_code, posted.status_code) == (409, 409)
    assert "data were changed" in page.text
    assert swapped.headers["HX-Redirect"] == bench_of(outdated)
