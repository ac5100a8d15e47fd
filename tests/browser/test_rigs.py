"""The pictures in a real browser: places reached and used by keyboard, moving parts found, nothing wrong by axe."""

import pytest

from tests.browser.keyboard import Keyboard
from tests.factories.bench import act, begin

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SLOW = 180_000


@pytest.fixture
def bench(sign_in_browser, live_server, transactional_db):
    def opened(call, *done):
        attempt = begin(call)
        for do in done:
            act(attempt, "hand", do=do)
        page = sign_in_browser(attempt.learner)
        page.set_default_timeout(SLOW)
        page.goto(f"{live_server.url}/bench/{attempt.public_id}/")
        return page

    return opened


def test_a_place_on_the_picture_is_reached_and_used_by_keyboard(bench):
    page = bench("blows-while-it-waits")
    hand = Keyboard(page)
    hand.press("#tool-look")
    page.wait_for_selector(".tgt.fits")

    hand.reach(".tgt[data-place='lp-gauge']")
    page.keyboard.press("Enter")

    page.wait_for_selector("#note-l .note")
    assert "Receiver gauge" in page.inner_text("#note-l")


def test_axe_finds_nothing_with_places_in_view(bench):
    page = bench("quiet-since-sunday")
    page.click("#tool-soap")
    page.click("#names")

    Keyboard(page).look("V-4 with a tool in hand")


def test_an_engines_wheel_and_needles_move_with_its_trace(bench):
    page = bench("blows-while-it-waits", "toggle-start", "start")
    before = page.get_attribute("[data-spin='wheel']", "transform")

    page.click("#play")

    page.wait_for_function(
        "before => document.querySelector(\"[data-spin='wheel']\").getAttribute('transform') !== before",
        arg=before,
    )
    assert page.get_attribute("[data-spin='pulley']", "data-ratio") == "3.9"
