"""The Parts ticket: a deed like any other, judged for this machine, and silent until the call is closed."""

import re
from html import unescape
from types import SimpleNamespace

import pytest
from django.urls import reverse

from simulator.replacement.air_parts import fitted_on
from simulator.replacement.kinds import KINDS
from tests.factories.bench import act, begin, finish, name_the_truth, right_repairs, write_ticket
from tests.factories.people import MemberFactory
from training.bench import actions, queries, rules, ticket
from training.bench.case import Case
from training.bench.exceptions import AttemptClosed, NoSuchThing, NotUnderstood, OutOfOrder
from training.bench.marking import Sheet
from training.bench.models import AttemptResult, LogEntry
from training.bench.replay import replay_afresh
from training.cases.actions import check_calls
from training.cases.book import BadBook, load_calls

pytestmark = pytest.mark.django_db

CHECK_VALVE_CALL = "new-switch-on-the-bench"
RIGHT = dict(fitted_on("twin-60", "check-valve").fitted)
RELIEF = dict(fitted_on("twin-60", "relief").fitted)
INLINE = re.compile(r"<style|\sstyle=|\son[a-z]+=|hx-on|javascript:|<script(?![^>]*\ssrc=)", re.IGNORECASE)


def named(call=CHECK_VALVE_CALL):
    """An attempt whose fault is in ink."""
    attempt = begin(call)
    name_the_truth(attempt)
    return attempt


def details_of(kind, lines):
    return {"kind": kind} | {f"new.{line.replace(' ', '-')}": value for line, value in lines.items()}


def bare(html):
    """A page without what differs from one request to the next: numbers of calls and attempts, keys, tokens."""
    return re.sub(r"[0-9a-f]{8}-[0-9a-f-]{27}|C-\d{4}|[A-Za-z0-9]{64}", "", html)


def closed(attempt):
    """Mend, prove, tell and close, without a further ticket."""
    finish(attempt, *right_repairs(attempt), ticket=False)
    return AttemptResult.objects.get(attempt=attempt)


def parts_mark(result):
    return next(one for one in result.marks if one["criterion"] == "parts")


def page_of(attempt):
    return reverse("bench:ticket", args=[attempt.public_id])


@pytest.fixture
def attempt():
    return named()


@pytest.fixture
def learner(client, attempt):
    client.force_login(attempt.learner)
    return client


def test_ticket_is_a_line_of_the_log_and_answers_with_what_was_written_alone(attempt):
    done = act(attempt, "ticket", **details_of("check-valve", RIGHT))

    entry = LogEntry.objects.get(attempt=attempt, deed="ticket")
    assert entry.details == {"kind": "check-valve", "lines": RIGHT}
    assert done.words == "Parts ticket written: check valve, 10 lines."
    assert (entry.answer["words"], entry.answer["critical"]) == (done.words, "")


def test_answer_is_the_same_whether_the_part_fits_or_kills():
    words = [
        act(named("starts-in-the-night"), "ticket", **details_of("relief", {**RELIEF, "set": pressure})).words
        for pressure in ("150 psi", "300 psi")
    ]

    assert words[0] == words[1]


def test_same_key_writes_one_ticket(attempt):
    for _ in range(2):
        done = act(attempt, "ticket", key="once", **details_of("check-valve", RIGHT))

    assert done.repeated
    assert LogEntry.objects.filter(attempt=attempt, deed="ticket").count() == 1


def test_later_ticket_counts_and_both_stay_in_the_log(attempt):
    act(attempt, "ticket", **details_of("motor", {"power": "3 hp"}))
    act(attempt, "ticket", **details_of("check-valve", RIGHT))

    job = replay_afresh(Case.read(attempt.case), queries.lines_of(attempt))
    assert job.ticket == ticket.Ticket("check-valve", RIGHT)
    assert LogEntry.objects.filter(attempt=attempt, deed="ticket").count() == 2


def test_no_ticket_before_the_fault_is_named():
    attempt = begin(CHECK_VALVE_CALL)

    with pytest.raises(OutOfOrder, match="Name the fault"):
        act(attempt, "ticket", **details_of("check-valve", RIGHT))


def test_no_ticket_on_a_closed_call(attempt):
    closed(attempt)

    with pytest.raises(AttemptClosed):
        act(attempt, "ticket", **details_of("check-valve", RIGHT))


@pytest.mark.parametrize(
    ("state", "may"),
    [
        ({"named": (), "said": "", "closed": False}, False),
        ({"named": ("x",), "said": "", "closed": False}, True),
        ({"named": ("x",), "said": "so", "closed": False}, False),
        ({"named": ("x",), "said": "", "closed": True}, False),
    ],
)
def test_when_a_ticket_may_be_written(state, may):
    assert rules.may_write_ticket(SimpleNamespace(**state)) is may


@pytest.mark.parametrize(
    ("details", "words"),
    [
        ({}, "Choose the kind of part"),
        ({"kind": "chek-valve", "new.bore": "9 mm"}, "The nearest is 'check-valve'"),
        ({"kind": "check-valve"}, "The ticket is blank"),
        ({"kind": "check-valve", "new.bore": "wide"}, "wide"),
        ({"kind": "check-valve", "new.set": "150 psi"}, "nearest is 'new.side-port'|nearest is 'new"),
        ({"kind": "check-valve", "new.boer": "9 mm"}, "The nearest is 'new.bore'"),
        ({"kind": "check-valve", "new.bore": 9}, "are words"),
        (
            {"kind": "motor", "new.power": "5 hp", "new.amps": "3", "new.volts": "230", "new.phase": "1"},
            "amps|5 hp",
        ),
        ({"kind": "motor", "new.power": "9" * 500}, "longer than a line"),
    ],
)
def test_ticket_without_meaning_is_refused_and_writes_nothing(attempt, details, words):
    before = LogEntry.objects.count()

    with pytest.raises((NotUnderstood, NoSuchThing), match=words):
        act(attempt, "ticket", **details)

    assert LogEntry.objects.count() == before


def test_pasted_plate_is_read_into_its_lines(attempt):
    act(attempt, "ticket", kind="relief", **{"new.lines": "set 150 psi; capacity=40 scfm; stamp UV"})

    entry = LogEntry.objects.get(attempt=attempt, deed="ticket")
    assert entry.details["lines"] == {"set": "150 psi", "capacity": "40 scfm", "stamp": "UV"}


@pytest.mark.parametrize(
    ("kind", "lines", "marks", "words"),
    [
        ("check-valve", RIGHT, 10.0, "the check valve asked for fits."),
        # another maker's valve that suits as well earns the same: it is no one part number
        ("check-valve", {**RIGHT, "bore": "12 mm", "pressure": "400 psi"}, 10.0, "asked for fits."),
        ("check-valve", {"bore": "9.5 mm"}, 8.0, "leaves open"),
        ("check-valve", {**RIGHT, "tank thread": "1 NPT male"}, 5.0, "does not fit"),
        (
            "motor",
            {"power": "3 hp"},
            5.0,
            "a check valve was needed. The ticket asks for another part: motor.",
        ),
        (None, {}, 5.0, "none was written, and a check valve was needed"),
    ],
)
def test_ticket_is_marked_against_what_fits_this_machine(attempt, kind, lines, marks, words):
    if kind:
        act(attempt, "ticket", **details_of(kind, lines))

    mark = parts_mark(closed(attempt))

    assert mark["marks"] == marks
    assert words in mark["reason"]


def test_unsafe_part_is_a_critical_failure_told_only_when_closed():
    attempt = named("starts-in-the-night")
    act(attempt, "ticket", **details_of("relief", {**RELIEF, "set": "200 psi"}))
    assert queries.bench_view(attempt).critical == ()

    result = closed(attempt)

    assert result.result == "not-yet-competent"
    assert result.critical_count == 1
    assert "unsafe here" in result.critical[0]
    assert parts_mark(result)["marks"] == 0.0


def test_call_that_needs_no_part_is_marked_as_ever_with_or_without_a_ticket():
    marks = []
    for with_ticket in (False, True):
        attempt = named("longer-than-tea")
        if with_ticket:
            act(attempt, "ticket", **details_of("motor", {"power": "1 hp"}))
        marks.append(closed(attempt).marks)

    assert marks[0] == marks[1]


def test_what_the_part_must_suit_is_frozen_with_the_case(attempt):
    part = attempt.case["sheet"]["part"]

    assert part["kind"] == "check-valve"
    assert part["sheets"]["place"]["tank thread"] == "1/2 NPT female"
    assert Sheet.read(attempt.case).part == part


def test_case_from_before_there_were_tickets_is_still_read(attempt):
    sheet = {name: value for name, value in attempt.case["sheet"].items() if name != "part"}

    assert Sheet.read({"sheet": sheet}).part is None


def test_every_part_of_the_book_can_be_asked_for_rightly():
    for entry in load_calls().values():
        if entry.part:
            kind, guards = entry.part["kind"], entry.part.get("guards", "")
            fitted = fitted_on(entry.rig, kind, guards).fitted
            work = ticket.work(ticket.Ticket(kind, fitted), ticket.wanted(entry.part, entry.rig))
            assert work.verdict == "fits", (entry.slug, work)


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ({"kind": "chek-valve"}, "check-valve"),
        ({"kind": "relief", "guards": "interstage"}, "has no relief"),
        ({"kind": "check-valve", "place": {"colour": "red"}}, "no line 'colour'"),
    ],
)
def test_book_refuses_a_part_that_cannot_be(part, words):
    entry = load_calls()[CHECK_VALVE_CALL]
    changed = SimpleNamespace(
        **{name: getattr(entry, name) for name in entry.__dataclass_fields__} | {"part": part}
    )

    with pytest.raises(BadBook, match=words):
        check_calls([changed])


def test_page_offers_the_same_kinds_on_every_call(client):
    seen = []
    for call in (CHECK_VALVE_CALL, "longer-than-tea"):
        attempt = named(call)
        client.force_login(attempt.learner)
        html = client.get(page_of(attempt)).text
        seen.append(bare(html))

    assert seen[0] == seen[1]
    assert all(f'value="{kind}"' in seen[0] for kind in KINDS)


def test_page_takes_a_ticket_and_leads_back_to_the_bench(learner, attempt):
    sheet = learner.get(page_of(attempt), {"kind": "check-valve"})
    key = re.search(r'name="key" value="([^"]+)"', sheet.text).group(1)

    response = learner.post(page_of(attempt), {**details_of("check-valve", RIGHT), "key": key}, follow=True)

    assert response.redirect_chain == [(reverse("bench:bench", args=[attempt.public_id]), 302)]
    assert "Parts ticket written: check valve, 10 lines." in response.text
    again = learner.get(page_of(attempt)).text
    assert 'value="9.5 mm"' in again


def test_bad_line_is_marked_at_the_line_and_everything_typed_is_kept(learner, attempt):
    typed = details_of("check-valve", {**RIGHT, "bore": "wide <open>"})

    response = learner.post(page_of(attempt), {**typed, "key": "k"})

    assert response.status_code == 422
    assert 'id="f-new-bore-err"' in response.text
    assert "wide <open>" not in response.text
    for value in typed.values():
        assert value in unescape(response.text)
    assert not INLINE.search(response.text)
    assert not LogEntry.objects.filter(deed="ticket").exists()


@pytest.mark.parametrize(
    "sent", [{"kind": "nothing"}, {}, {"kind": "check-valve"}, {"kind": "check-valve", "new.x": "1"}]
)
def test_ticket_that_cannot_be_understood_is_422_never_500(learner, attempt, sent):
    assert learner.post(page_of(attempt), {**sent, "key": "k"}).status_code == 422
    assert learner.get(page_of(attempt), sent).status_code == 200


def test_before_naming_the_page_says_what_comes_first(client):
    attempt = begin(CHECK_VALVE_CALL)
    client.force_login(attempt.learner)

    assert "Name the fault first" in client.get(page_of(attempt)).text
    assert client.post(page_of(attempt), {**details_of("check-valve", RIGHT), "key": "k"}).status_code == 409


def test_somebody_elses_ticket_is_not_found(client, attempt):
    client.force_login(MemberFactory())

    assert client.get(page_of(attempt)).status_code == 404
    assert client.post(page_of(attempt), {"kind": "motor", "key": "k"}).status_code == 404


def test_nothing_of_the_verdict_reaches_the_browser_before_the_call_is_closed(client):
    """An unsafe and a fitting valve on the ticket: bench and ticket page differ by what was typed alone."""
    seen = []
    for pressure in ("150 psi", "200 psi"):
        attempt = named("starts-in-the-night")
        client.force_login(attempt.learner)
        act(attempt, "ticket", key="t", **details_of("relief", {**RELIEF, "set": pressure}))
        pages = (
            client.get(page_of(attempt)).text
            + client.get(reverse("bench:bench", args=[attempt.public_id])).text
        )
        for word in ("nsafe here", "does not fit", "Ask for exactly", "set above the highest"):
            assert word not in pages
        seen.append(bare(pages).replace(f'value="{pressure}"', ""))

    assert seen[0] == seen[1]


def test_teardown_tells_every_reason_for_the_ticket(client, attempt):
    act(attempt, "ticket", **details_of("check-valve", {**RIGHT, "tank thread": "1 NPT male"}))
    closed(attempt)
    client.force_login(attempt.learner)

    text = client.get(reverse("bench:teardown", args=[attempt.public_id])).text

    assert "This repair needs a part: check valve." in text
    assert "Does not fit" in text
    assert "Source:" in text
    assert not INLINE.search(text)


def test_teardown_says_where_no_ticket_was_written(client, attempt):
    closed(attempt)
    client.force_login(attempt.learner)

    text = client.get(reverse("bench:teardown", args=[attempt.public_id])).text

    assert "No ticket was written for it." in text


def test_mark_is_the_same_when_it_is_made_again(attempt):
    write_ticket(attempt)
    before = closed(attempt).marks

    assert actions.recompute_result(attempt=attempt).marks == before


@pytest.mark.parametrize(
    ("changed", "verdict"),
    [
        ({}, "fits"),
        ({"power": "2 hp"}, "does-not-fit"),
        ({"phase": "3", "start": "", "start capacitor": "", "run capacitor": ""}, "does-not-fit"),
        ({"frame": "145T"}, "fits-with-changes"),
        ({"duty": ""}, "unanswered"),
    ],
)
def test_motor_is_judged_with_the_supply_that_the_call_gives(changed, verdict):
    part = ticket.wanted({"kind": "motor", "place": {"supply volts": "236 V"}}, "twin-60")
    asked = ticket.Ticket("motor", {**part["sheets"]["old"], **changed})

    assert ticket.work(asked, part).verdict == verdict
