"""The main job by keyboard alone in a real browser: a call from Today to the Teardown, a paper, the Crew board."""

import re

import pytest

from tests.browser.keyboard import Keyboard
from training.bench.models import AttemptResult
from training.papers.models import Sitting

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SAID = """() => {
  const say = document.querySelector('#say').textContent;
  return say && say === document.querySelector('#told').innerText;
}"""
NO_ONE = "() => document.activeElement === document.body"


def clock_of(page):
    minutes, seconds = page.inner_text("[data-clock]").split(":")
    return int(minutes) * 60 + int(seconds)


def until_something_happens(keyboard):
    """Let the clock run to the next event; the answer is in the granted trace or comes from the server."""
    before = clock_of(keyboard.page)
    keyboard.press("#wait-event")
    keyboard.page.wait_for_function(
        "before => { const [m, s] = document.querySelector('[data-clock]').textContent.split(':');"
        " return +m * 60 + +s > before && !document.querySelector('#bench').hasAttribute('aria-busy'); }",
        arg=before,
    )


def take_the_call(keyboard):
    keyboard.look("Today")
    keyboard.follow("main a[href^='/calls/']:not([href='/calls/'])")
    keyboard.look("Call sheet")
    keyboard.follow("main form .btn-go")
    keyboard.look("Bench, nothing done")


def pump_up_and_stop(keyboard):
    keyboard.deed("#hand-start")
    keyboard.page.wait_for_function(SAID)
    keyboard.deed("#hand-outlet")
    until_something_happens(keyboard)
    keyboard.deed("#hand-outlet")
    assert not keyboard.page.evaluate(NO_ONE)
    until_something_happens(keyboard)
    keyboard.deed("#hand-stop")
    keyboard.press("#as-table > summary")
    assert keyboard.page.locator("#as-table tbody tr").count() > 3


def find_out(keyboard):
    for tool, check, place in (
        ("feel", "intake-feel", "lp-intake"),
        ("feel", "breather-feel", "lp-breather"),
        ("probe", "head-temps", "head-1"),
    ):
        if keyboard.page.get_attribute(f"#tool-{tool}", "aria-pressed") == "false":
            keyboard.press(f"#tool-{tool}", "Space")
        keyboard.deed(f"#p-{check}-{place}")
        assert keyboard.page.inner_text("#told").strip()
    keyboard.look("Bench, a tool in hand")
    keyboard.deed(".pin[aria-pressed='false']")
    assert keyboard.page.locator(".pin[aria-pressed='true']").count() == 1
    keyboard.press("#sus-belt-slack > summary")
    keyboard.write("#why-belt-slack", "At speed.")
    keyboard.deed("#sus-do-belt-slack")
    assert "is-out" in keyboard.page.get_attribute("#sus-belt-slack", "class")


def make_safe(keyboard):
    keyboard.press("#open-safe")
    keyboard.page.wait_for_selector("#safe:modal")
    keyboard.look("Make safe")
    while keyboard.page.locator("#safe .is-next").count():
        keyboard.deed("#safe .is-next .btn")
        assert keyboard.page.evaluate("document.activeElement.closest('#safe') !== null")
    assert keyboard.page.locator("#safe .is-done").count() == 6
    keyboard.page.keyboard.press("Escape")
    assert keyboard.page.is_visible("[data-chip='safe']")


def name_and_mend(keyboard):
    keyboard.press("#open-name")
    keyboard.page.wait_for_selector("#name-it:modal")
    keyboard.look("Name the fault")
    keyboard.choose("#f-fault", "Intake valve")
    keyboard.reach("#f-place")
    keyboard.page.keyboard.press("End")
    keyboard.radio("confidence", "fairly")
    keyboard.deed("#do-name")
    keyboard.look("Repair")
    keyboard.radio("repair", "valve-plate")
    keyboard.deed("#do-repair")
    keyboard.deed("#do-proof")
    keyboard.look("Run proof")
    keyboard.radio("statement", "reed")
    keyboard.deed("#do-say")
    keyboard.follow("#do-close")


def answer(keyboard: Keyboard):
    """Answer the question on the page by what it asks for; right or wrong does not matter here."""
    page = keyboard.page
    if page.locator("input[name='chosen']").count():
        keyboard.press("input[name='chosen']", "Space")
    elif page.locator("#typed").count():
        unit = re.search(r"Units taken: ([^,.]+)", page.inner_text("#how")).group(1)
        keyboard.write("#typed", f"10 {unit}")
    elif page.locator("[data-order] button:not([disabled])").count():
        keyboard.press("[data-order] button:not([disabled])")
    keyboard.follow("form[data-question] .btn-go")


def sit_a_paper(keyboard, live_server):
    keyboard.page.goto(f"{live_server.url}/papers/")
    keyboard.look("Papers")
    keyboard.follow("main form .btn")
    keyboard.look("Question")
    for _ in range(40):
        if not keyboard.page.locator("form[data-question]").count():
            break
        answer(keyboard)
    keyboard.look("Hand in")
    keyboard.follow("main form .btn-go")
    keyboard.look("Review of a paper")


def sign_out(keyboard):
    keyboard.press(".mast-me > summary")
    keyboard.follow("form[action$='/sign-out/'] button")


def test_a_call_a_paper_and_the_board_by_keyboard_alone(keyboard, sign_in, shop, live_server):
    keyboard.page.goto(f"{live_server.url}/sign-in/")
    keyboard.look("The door")
    sign_in(shop.apprentice)
    take_the_call(keyboard)
    pump_up_and_stop(keyboard)
    find_out(keyboard)
    make_safe(keyboard)
    name_and_mend(keyboard)
    assert keyboard.page.url.endswith("/teardown/")
    keyboard.look("Teardown")
    teardown = keyboard.page.url
    outcome = AttemptResult.objects.get(attempt__learner=shop.apprentice)
    assert outcome.critical == []

    sit_a_paper(keyboard, live_server)
    assert Sitting.objects.get().handed_in_at is not None
    sign_out(keyboard)

    sign_in(shop.manager)
    keyboard.follow("nav[aria-label='Main'] a[href='/crew/']")
    assert shop.apprentice.name in keyboard.page.inner_text("main")
    keyboard.look("Crew board")
    sign_out(keyboard)

    sign_in(shop.instructor)
    keyboard.follow("nav[aria-label='Main'] a[href='/crew/']")
    keyboard.follow("main a[href$='/teardown/']")
    assert keyboard.page.url == teardown
    keyboard.look("Teardown, as instructor")
