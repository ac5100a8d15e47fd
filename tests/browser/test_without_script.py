"""The bench with scripts off: every deed is a form, every place a button, every dialog a part of the page."""

import pytest

from tests.factories.bench import begin

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def plain_page(chromium, live_server, client, transactional_db):
    attempt = begin()
    client.force_login(attempt.learner)
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 1280, "height": 900})
    context.set_default_timeout(120_000)
    cookie = client.cookies["pumpwright-session"]
    context.add_cookies([{"name": cookie.key, "value": cookie.value, "url": live_server.url}])
    page = context.new_page()
    page.goto(f"{live_server.url}/bench/{attempt.public_id}/")
    yield page
    context.close()


def test_tools_hands_clock_and_make_safe_work_without_script(plain_page):
    page = plain_page
    assert not page.is_visible("[data-play]")

    page.click("#tool-look")
    page.click("#p-relief-tag-lp-tank-relief")
    assert page.locator(".note").count() == 1
    assert page.is_visible("#where-look")

    page.click("#hand-start")
    page.click("#hand-outlet")
    before = page.inner_text("[data-clock]")
    page.click("#wait-event")
    assert page.inner_text("[data-clock]") != before
    page.click(".pin")
    assert page.get_attribute(".pin", "aria-pressed") == "true"

    page.click("#open-safe")
    page.click("#safe-stop")
    assert page.locator("#safe .is-done").count() == 1
    page.click("#safe-isolate")
    assert page.locator("#safe .is-done").count() == 2


def test_naming_refused_without_script_keeps_the_dialog_and_the_choice(plain_page):
    page = plain_page
    page.click("#open-name")
    page.select_option("#f-fault", label="Intake valve leaking (single-stage or LP)")
    page.check("#sure-unsure")

    page.click("#do-name")

    assert page.is_visible("#name-it .err")
    assert page.input_value("#f-fault") == "intake-reed-leak"
    assert page.is_checked("#sure-unsure")
