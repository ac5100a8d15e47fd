"""Will it fit?, the calculators and the parts ticket in a real browser: by keyboard alone, on every width, on paper."""

from urllib.parse import urlencode

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.browser.keyboard import THEMES, WIDTHS
from tests.factories.bench import begin, name_the_truth
from tests.factories.people import MemberFactory
from training.bench.models import LogEntry

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

OFFER = {
    "rig": "twin-60",
    "new.power": "3 hp",
    "new.volts": "115/230",
    "new.amps": "30/15",
    "new.frame": "145T",
}
PAGES = {
    "a motor judged": f"/fit/motor/?{urlencode(OFFER)}",
    "an unsafe valve": f"/fit/relief/?{urlencode({'rig': 'twin-60', 'new.set': '200 psi'})}",
    "bad lines": f"/fit/motor/?{urlencode({**OFFER, 'new.frame': '183X', 'place.breaker': 'big'})}",
    "sheaves": "/fit/drive/",
    "a bad input": "/calculators/voltage-drop/?current=abc&wire=rope",
    "a curve": "/calculators/orifice/",
}


def settled(page, key):
    """Press a key on what posts or gets by htmx and wait until its answer is in the page."""
    page.evaluate(
        "() => { window.settled = new Promise(done => document.addEventListener('htmx:afterSettle', done, { once: true })); }"
    )
    page.keyboard.press(key)
    page.evaluate("() => window.settled.then(() => true)")


def test_a_motor_is_judged_and_its_card_printed_by_keyboard_alone(shop, keyboard, sign_in, live_server):
    page = keyboard.page
    sign_in(shop.apprentice)
    keyboard.follow(".mast-nav a[href='/fit/']")
    keyboard.look("Will it fit?")
    keyboard.follow("a[href='/fit/motor/']")
    keyboard.choose("#rig", "Single-stage twin")
    keyboard.deed("#fill")
    assert page.input_value("#f-old-frame") == "56HZ"
    for field, text in (("power", "2 hp"), ("frame", "145T")):
        keyboard.write(f"#f-new-{field}", text)

    keyboard.reach("#judge")
    settled(page, "Enter")

    assert page.evaluate("document.activeElement.id") == "verdict"
    assert page.inner_text("#verdict") == "Does not fit"
    assert "new.power=2+hp" in page.url
    keyboard.look("A motor judged")
    keyboard.follow(".ask-for .btn")
    keyboard.look("Parts card")
    for paper in ("A4", "Letter"):
        assert page.pdf(format=paper).count(b"/Type /Page\n") == 1
    page.go_back()
    assert page.inner_text("#verdict") == "Does not fit"
    assert page.input_value("#f-new-power") == "2 hp"


def test_a_sum_is_done_by_keyboard_alone(shop, keyboard, sign_in):
    page = keyboard.page
    sign_in(shop.apprentice)
    keyboard.follow(".mast-nav a[href='/fit/']")
    keyboard.follow(".leaves a[href='/calculators/']")
    keyboard.look("Calculators")
    keyboard.follow("a[href='/calculators/pump-up/']")
    keyboard.write("#f-receiver", "80 gal")

    keyboard.reach("#reckon")
    settled(page, "Enter")

    page.wait_for_function("() => document.querySelector('#say').textContent.includes('Pump-up time')")
    assert page.input_value("#f-receiver") == "80 gal"
    assert page.url.endswith("/calculators/pump-up/?receiver=80+gal")
    keyboard.look("Pump-up time")


def test_a_parts_ticket_is_written_by_keyboard_alone(shop, keyboard, sign_in, live_server):
    page = keyboard.page
    attempt = begin("new-switch-on-the-bench", learner=shop.apprentice)
    name_the_truth(attempt)
    sign_in(shop.apprentice)
    page.goto(f"{live_server.url}/bench/{attempt.public_id}/")
    keyboard.follow("#open-ticket")
    keyboard.choose("#kind", "Check valve")
    keyboard.follow("#take-sheet")
    keyboard.look("Parts ticket")
    keyboard.write("#f-new-bore", "9.5 mm")
    keyboard.write("#f-new-side-port", "head")

    keyboard.follow("#write-ticket")

    assert "Parts ticket written: check valve, 2 lines." in page.inner_text("main")
    entry = LogEntry.objects.get(attempt=attempt, deed="ticket")
    assert entry.details["lines"] == {"bore": "9.5 mm", "side port": "head"}


@pytest.mark.parametrize("name", list(PAGES))
def test_pages_fit_every_width_and_have_no_barrier(sign_in_browser, live_server, name):
    page = sign_in_browser(MemberFactory())
    page.goto(live_server.url + PAGES[name])
    for width, height in WIDTHS:
        page.set_viewport_size({"width": width, "height": height})
        assert page.evaluate("document.documentElement.scrollWidth") <= width, width
        for theme in THEMES:
            page.emulate_media(color_scheme=theme, reduced_motion="reduce")
            found = Axe().run(page)
            assert found.violations_count == 0, found.generate_report()


def test_bad_line_takes_the_focus_to_the_reason_and_a_link_to_the_field(sign_in_browser, live_server):
    page = sign_in_browser(MemberFactory())
    page.goto(live_server.url + PAGES["bad lines"])

    assert page.evaluate("document.activeElement.id") == "errors"
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")

    assert page.evaluate("document.activeElement.id") == "f-new-frame"
    assert page.input_value("#f-new-frame") == "183X"


def test_plates_are_judged_without_script(chromium, live_server, client):
    client.force_login(MemberFactory())
    context = chromium.new_context(java_script_enabled=False)
    cookie = client.cookies["pumpwright-session"]
    context.add_cookies([{"name": cookie.key, "value": cookie.value, "url": live_server.url}])
    page = context.new_page()
    page.goto(f"{live_server.url}/fit/relief/")
    page.select_option("#rig", "twin-60:receiver")
    page.click("#fill")
    page.fill("#f-new-set", "200 psi")

    page.click("#judge")

    assert page.inner_text("#verdict") == "Unsafe"
    assert page.input_value("#f-place-mawp") == "150 psi"
    assert page.input_value("#f-new-set") == "200 psi"
    context.close()
