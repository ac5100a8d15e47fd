"""The player and the line: what is shown stands in the trace; a deed is done once however often it is sent."""

import json

import pytest

from tests.factories.bench import act, begin
from training.bench.drawing.chart import clock_words
from training.bench.models import LogEntry

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SETTLED = """() => {
  const bench = document.querySelector('#bench');
  return bench && !bench.hasAttribute('aria-busy') && document.querySelector('#line-band').hidden;
}"""


@pytest.fixture
def attempt(transactional_db):
    attempt = begin()
    act(attempt, "hand", do="start")
    act(attempt, "hand", do="open-outlet")
    return attempt


@pytest.fixture
def bench(sign_in_browser, live_server, attempt):
    page = sign_in_browser(attempt.learner)
    page.set_default_timeout(120_000)
    page.goto(f"{live_server.url}/bench/{attempt.public_id}/")
    return page


def trace_on(page):
    return json.loads(page.get_attribute("#trace", "data-trace"))


def straight(trace, channel, at):
    """Linear interpolation, written again and otherwise."""
    t, y = trace["t"], trace["ch"][channel]
    for (t0, y0), (t1, y1) in zip(zip(t, y, strict=True), zip(t[1:], y[1:], strict=True), strict=False):
        if t0 <= at <= t1 and t1 > t0:
            return y0 + (y1 - y0) * (at - t0) / (t1 - t0)
    return y[0] if at < t[0] else y[-1]


def post_of(page):
    return page.evaluate("window.pumpwright.player.at()")


def test_player_goes_straight_between_the_samples_of_the_trace(bench):
    trace = trace_on(bench)
    moments = [trace["from"] + (trace["to"] - trace["from"]) * n / 97 for n in range(98)]

    for channel in trace["ch"]:
        shown = bench.evaluate(
            "([channel, moments]) => moments.map(t => window.pumpwright.player.value(channel, t))",
            [channel, moments],
        )
        assert shown == pytest.approx([straight(trace, channel, at) for at in moments], abs=1e-9)


def test_player_has_no_reading_where_the_trace_has_none(bench):
    assert "inter" not in trace_on(bench)["ch"]
    assert bench.evaluate("window.pumpwright.player.value('inter', 1) === undefined")


def test_next_event_is_shown_at_its_moment_with_the_traces_own_figures(bench):
    trace = trace_on(bench)
    event = trace["events"][0]

    bench.click("#wait-event")

    at = bench.evaluate("window.pumpwright.player.at()")
    assert at == pytest.approx(event["t"], abs=0.1)
    assert bench.inner_text("#told") == f"{clock_words(event['t'])} {event['say']}."
    assert bench.inner_text(".dials [data-read='tank']") == f"{straight(trace, 'tank', at):.1f}"
    assert LogEntry.objects.filter(deed="wait").count() == 0  # it was in what had been granted


def test_at_the_end_of_what_was_granted_the_page_asks_for_more(bench):
    end = trace_on(bench)["to"]
    bench.evaluate(
        "() => { const p = window.pumpwright.player; while (p.onward()); p.pace(60); p.play(true); }"
    )

    bench.wait_for_function("end => window.pumpwright.player.horizon() > end + 1", arg=end)

    assert LogEntry.objects.get(deed="wait").ended == pytest.approx(end, abs=0.6)
    assert bench.evaluate("window.pumpwright.player.isPlaying()")


def test_when_nothing_happens_the_clock_stops_after_five_minutes(bench):
    for shut in ("#hand-outlet", "#hand-stop"):
        bench.click(shut)
        bench.wait_for_function(SETTLED)
    before = post_of(bench)

    bench.click("#wait-event")

    bench.wait_for_function("() => document.querySelector('#told').innerText.includes('nothing happened')")
    assert post_of(bench) == pytest.approx(before + 300, abs=2)


def test_a_deed_carries_the_moment_of_the_playhead(bench):
    bench.click("#wait-event")
    at = post_of(bench)

    bench.click("#hand-outlet")
    bench.wait_for_function(SETTLED)

    assert LogEntry.objects.order_by("number").last().at == pytest.approx(at, abs=0.01)


@pytest.mark.parametrize("done", [False, True], ids=["request-lost", "answer-lost"])
def test_a_dropped_line_is_said_and_the_deed_tried_again_with_the_same_key(bench, attempt, done):
    sent = []

    def drop_the_first(route):
        sent.append(route.request.post_data)
        if len(sent) > 1:
            route.continue_()
        elif done:
            route.fetch()
            route.abort()
        else:
            route.abort()

    bench.route("**/act/", drop_the_first)
    before = attempt.entries.count()
    bench.click("#hand-outlet")
    bench.wait_for_selector("#line-band:not([hidden])")
    assert "Trying the same deed again" in bench.inner_text("#line-band")

    bench.wait_for_function(SETTLED)

    assert len(sent) == 2
    assert sorted(sent[0].split("&")) == sorted(sent[1].split("&"))
    assert attempt.entries.count() == before + 1
    assert "outlet-open" not in bench.get_attribute("#bench", "data-hands")


def test_buttons_are_locked_while_a_deed_is_on_its_way(bench, attempt):
    held = []

    def hold(route):
        held.append(route)

    bench.route("**/act/", hold)
    before = attempt.entries.count()

    bench.click("#hand-outlet")
    bench.wait_for_function("() => document.querySelector('#bench').hasAttribute('aria-busy')")
    bench.click("#hand-drain", force=True)
    bench.click("#hand-outlet", force=True)
    bench.wait_for_timeout(0)
    for route in held:
        route.continue_()
    bench.wait_for_function(SETTLED)

    assert len(held) == 1
    assert attempt.entries.count() == before + 1


def test_an_error_of_the_server_is_said_and_nothing_is_swapped(bench):
    bench.route("**/act/", lambda route: route.fulfill(status=500, body="no"))

    bench.click("#hand-outlet")
    bench.wait_for_selector("#line-band:not([hidden])")

    assert "error (500)" in bench.inner_text("#line-band")
    assert bench.is_visible("#hand-outlet")


def test_with_reduced_motion_the_wheel_stands_and_the_clock_goes(bench):
    bench.emulate_media(reduced_motion="reduce")
    bench.click("#wait-event")  # it starts at cut-in
    wheel = "document.querySelector('[data-spin=\"wheel\"]').getAttribute('transform')"
    before, clock = bench.evaluate(wheel), bench.inner_text("[data-clock]")

    bench.click("#speed-10")
    bench.click("#play")
    bench.wait_for_function("was => document.querySelector('[data-clock]').textContent !== was", arg=clock)

    assert bench.evaluate(wheel) == before
    assert bench.is_visible("[data-chip='running']")


def test_after_an_answer_the_picture_is_the_same_and_the_focus_is_not_lost(bench):
    bench.evaluate("document.querySelector('#scene').marked = true")
    bench.focus("#hand-drain")

    bench.keyboard.press("Enter")
    bench.wait_for_function("() => document.querySelector('#bench').dataset.hands.includes('drain-open')")
    bench.wait_for_function("() => document.activeElement.id === 'hand-drain'")

    assert bench.evaluate("document.querySelector('#scene').marked === true")
    assert bench.locator("#scene svg.rig").count() == 1
