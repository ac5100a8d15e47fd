"""What the browser's tests share: a page that takes no error of any kind, and the shop with its people."""

from types import SimpleNamespace

import pytest

from simulator import engine
from tests.browser.keyboard import Keyboard
from tests.factories.cases import CallFactory
from tests.factories.people import PASSWORD, MemberFactory, ShopFactory
from training.papers.actions import load_drawer

SLOW = 180_000  # the first answers of a fresh process compile the machine [ms]


@pytest.fixture(scope="session", autouse=True)
def compiled_engine():
    """Compile the machine before a request does so with the database's write lock in its hand."""
    engine.warm()


@pytest.fixture
def shop(transactional_db):
    """Ferrule Lane with one of each, one call and the papers of the drawer."""
    load_drawer()
    place = ShopFactory()
    return SimpleNamespace(
        call=CallFactory(),
        apprentice=MemberFactory(shop=place),
        instructor=MemberFactory(shop=place, instructor=True),
        manager=MemberFactory(shop=place, manager=True),
    )


@pytest.fixture
def keyboard(browser_page):
    """The keyboard of a page on which no console error may happen."""
    browser_page.set_default_timeout(SLOW)
    browser_page.set_default_navigation_timeout(SLOW)
    errors = []
    browser_page.on("console", lambda said: errors.append(said.text) if said.type == "error" else None)
    yield Keyboard(browser_page)
    assert errors == []


@pytest.fixture
def sign_in(keyboard, live_server):
    """Sign a member in at the door, by keys."""

    def by_keys(member):
        keyboard.page.goto(f"{live_server.url}/sign-in/")
        keyboard.write("#si-n", member.crew_number)
        keyboard.write("#si-p", PASSWORD)
        with keyboard.page.expect_navigation():
            keyboard.page.keyboard.press("Enter")

    return by_keys
