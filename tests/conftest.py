"""Fixtures for all tests: a real Chromium, a real PostgreSQL, and which of them may not be skipped."""

import os
import shutil

import pytest
from hypothesis import HealthCheck, settings

# A busy computer is no fault of what is tested.
settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")

# Playwright's synchronous face runs an event loop in this thread, and Django would refuse the database under it.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

CHROMIUM_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
POSTGRES_URL = "PUMPWRIGHT_TEST_POSTGRES_URL"


def pytest_configure(config):
    """Compile the machine before the workers start, so that all of them run the very same code.

    Compiled side by side they may be inlined differently, which moves the last digits of a replay.
    """
    if not hasattr(config, "workerinput"):
        from simulator import engine  # noqa: PLC0415  not in the workers, which only load it

        engine.warm()


def required() -> set[str]:
    """What must run in this environment instead of being skipped."""
    return {word.strip() for word in os.environ.get("PUMPWRIGHT_TEST_REQUIRE", "").split(",") if word.strip()}


def skip_or_fail(what: str, reason: str) -> None:
    """Skip for want of a tool, unless PUMPWRIGHT_TEST_REQUIRE says that it must be there."""
    if what in required():
        pytest.fail(f"{reason} PUMPWRIGHT_TEST_REQUIRE asks for {what}.", pytrace=False)
    pytest.skip(reason)


def chromium_path() -> str | None:
    """Where a Chromium is on this computer."""
    names = ("chromium", "chromium-browser", "google-chrome", "chrome")
    return next((path for name in names if (path := shutil.which(name))), None)


@pytest.fixture(scope="session")
def chromium():
    """One running Chromium for the session."""
    path = chromium_path()
    if path is None:
        skip_or_fail("browser", "No Chromium on the PATH.")
    from playwright.sync_api import sync_playwright  # noqa: PLC0415  only where there is a browser to drive

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=CHROMIUM_FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def browser_page(chromium):
    """A fresh page that fails the test on any script error or refusal by the page's security policy."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    context.set_default_timeout(15_000)
    page = context.new_page()
    wrong = []
    page.on("pageerror", lambda error: wrong.append(f"script error: {error}"))
    page.on(
        "console",
        lambda said: wrong.append(said.text) if "Content Security Policy" in said.text else None,
    )
    yield page
    context.close()
    assert wrong == []


@pytest.fixture
def sign_in_browser(browser_page, live_server, client):
    """Give the browser page a member's session; returns a function of the member."""

    def sign_in(member):
        client.force_login(member)
        cookie = client.cookies["pumpwright-session"]
        browser_page.context.add_cookies(
            [{"name": cookie.key, "value": cookie.value, "url": live_server.url, "httpOnly": True}]
        )
        return browser_page

    return sign_in


def pytest_collection_modifyitems(items):
    """Mark what needs a browser, so that `-m "not browser"` leaves it out."""
    for item in items:
        if "browser_page" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.browser)


@pytest.fixture
def postgres_url():
    """Address of a PostgreSQL server that tests may write to."""
    address = os.environ.get(POSTGRES_URL, "")
    if not address:
        skip_or_fail("postgres", f"{POSTGRES_URL} is not set.")
    return address


def pytest_runtest_setup(item):
    """Skip tests marked postgres where there is no server, before any of their fixtures run."""
    if item.get_closest_marker("postgres") and not os.environ.get(POSTGRES_URL):
        skip_or_fail("postgres", f"{POSTGRES_URL} is not set.")
