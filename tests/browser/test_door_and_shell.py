"""The door and the shell in a real browser: keyboard, theme, units, reach."""

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.factories.people import PASSWORD, MemberFactory
from tests.training.front.test_today import closed_without_evidence
from training.cases.actions import load_cases

pytestmark = pytest.mark.django_db(transaction=True)

WIDTHS = (390, 820, 1440)


def focused(page):
    return page.evaluate(
        "document.activeElement.innerText || document.activeElement.getAttribute('aria-label')"
    )


def test_signing_in_and_out_by_keyboard_alone(browser_page, live_server):
    MemberFactory(crew_number="4471", name="Wren Pellow")
    page = browser_page
    page.goto(f"{live_server.url}/")

    page.keyboard.press("Tab")
    assert focused(page) == "Skip to the work"
    page.locator("#si-n").focus()
    page.keyboard.type("4471")
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url(f"{live_server.url}/")
    assert page.locator("h1").inner_text() == "Hello, Wren"

    menu = page.locator(".mast-menu > summary")
    menu.focus()
    page.keyboard.press("Enter")
    assert page.get_by_role("button", name="Sign out").is_visible()
    page.keyboard.press("Escape")
    assert not page.get_by_role("button", name="Sign out").is_visible()
    assert page.evaluate("document.activeElement.matches('.mast-menu > summary')")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Sign out").focus()
    page.keyboard.press("Enter")
    page.wait_for_url(f"{live_server.url}/sign-in/")


def test_wrong_password_moves_focus_to_the_reason_and_keeps_the_account(browser_page, live_server):
    page = browser_page
    page.goto(f"{live_server.url}/sign-in/")
    page.fill("#si-n", "4471")
    page.fill("#si-p", "wrong")

    page.keyboard.press("Enter")

    page.wait_for_selector("[role=alert]")
    assert page.evaluate("document.activeElement.id") == "si-sum"
    assert page.input_value("#si-n") == "4471"


def test_theme_is_kept_from_page_to_page(browser_page, live_server):
    page = browser_page
    page.goto(f"{live_server.url}/sign-in/")
    before = page.evaluate("getComputedStyle(document.body).backgroundColor")

    page.get_by_role("button", name="Switch between light and dark").click()
    page.reload()

    assert page.evaluate("getComputedStyle(document.body).backgroundColor") != before


def test_units_are_chosen_from_the_mast_without_leaving_the_page(sign_in_browser, live_server):
    member = MemberFactory(instructor=True)
    page = sign_in_browser(member)
    page.goto(f"{live_server.url}/crew/")

    page.locator(".mast-menu > summary").click()
    page.get_by_role("button", name="bar, °C").click()

    page.wait_for_load_state()
    member.refresh_from_db()
    assert member.unit_system == "metric"
    assert page.url == f"{live_server.url}/crew/"


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_fit_every_width_and_have_no_barrier(sign_in_browser, live_server, scheme):
    load_cases()
    closed_without_evidence(MemberFactory())
    page = sign_in_browser(MemberFactory(instructor=True))
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    for address in ("/sign-in/", "/", "/crew/", "/nothing/"):
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            page.goto(live_server.url + address)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (address, width)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()


def test_pages_work_without_script(chromium, live_server):
    MemberFactory(crew_number="4471", name="Wren Pellow")
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{live_server.url}/sign-in/")
    page.fill("#si-n", "4471")
    page.fill("#si-p", PASSWORD)

    page.get_by_role("button", name="Sign in").click()

    assert page.locator("h1").inner_text() == "Hello, Wren"
    assert not page.get_by_role("button", name="Switch between light and dark").is_visible()
    context.close()
