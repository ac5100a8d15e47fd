"""A paper in a real browser: keyboard alone, without script, and what a screen reader is told."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse

from tests.factories.papers import (
    LATER,
    PaperFactory,
    answer_all,
    handed_in,
    line_of,
    right_answer,
    sitting_of,
)
from tests.factories.people import MONDAY, MemberFactory
from training.papers import actions
from training.papers.models import Sitting

pytestmark = pytest.mark.django_db(transaction=True)

KINDS = ("single", "multiple", "order", "number")


def at(live_server, sitting, position=1):
    return live_server.url + reverse("papers:question", args=[sitting.pk, position])


def steps_shown(page):
    return page.locator(".order-t").all_inner_texts()


def test_steps_are_put_in_order_by_keyboard_alone(sign_in_browser, live_server):
    sitting = sitting_of({"kind": "order"})
    question = sitting.questions.get().content
    texts = {step["id"]: step["text"] for step in question["steps"]}
    wanted = [texts[i] for i in right_answer(sitting.questions.get())["order"]]
    page = sign_in_browser(sitting.member)
    page.goto(at(live_server, sitting))

    for place, text in enumerate(wanted):
        button = page.get_by_role("button", name=f"Move up: {text}")
        button.focus()
        while steps_shown(page).index(text) > place:
            page.keyboard.press("Enter")
    assert page.locator("[data-say]").inner_text().endswith("of 4")
    page.get_by_role("button", name="Save and see what is open").press("Enter")
    page.wait_for_url("**/hand-in/")
    page.get_by_role("button", name="Hand in").press("Enter")
    page.wait_for_url(f"**/sittings/{sitting.pk}/")

    assert page.get_by_role("heading", name="Competent", exact=True).is_visible()
    assert Sitting.objects.get().mark == 100


def test_moved_step_keeps_the_focus_and_its_new_place_is_said(sign_in_browser, live_server):
    sitting = sitting_of({"kind": "order"})
    page = sign_in_browser(sitting.member)
    page.goto(at(live_server, sitting))
    second = steps_shown(page)[1]

    button = page.get_by_role("button", name=f"Move up: {second}")
    button.press("Enter")

    assert button.evaluate("button => button === document.activeElement")
    assert page.locator("[data-say]").inner_text() == f"{second}, now 1 of 4"
    assert button.get_attribute("aria-disabled") == "true"


def test_answer_is_kept_when_its_page_is_left_by_the_step_bar(sign_in_browser, live_server):
    sitting = sitting_of({}, {}, {})
    page = sign_in_browser(sitting.member)
    page.goto(at(live_server, sitting))

    page.get_by_role("radio").nth(1).check()
    page.get_by_role("link", name="Question 3, still open").click()
    page.wait_for_url(at(live_server, sitting, 3))

    assert sitting.questions.get(position=1).answer == {"chosen": ["b"]}
    assert page.get_by_role("link", name="Question 1, answered").is_visible()


def test_untouched_order_is_left_open_when_its_page_is_left_by_the_step_bar(sign_in_browser, live_server):
    sitting = sitting_of({"kind": "order"}, {})
    line = line_of(sitting, "order")
    page = sign_in_browser(sitting.member)
    page.goto(at(live_server, sitting, line.position))

    page.get_by_role("link", name=f"Question {3 - line.position}, still open").click()
    page.wait_for_url(at(live_server, sitting, 3 - line.position))

    assert line_of(sitting, "order").answer is None


def test_refused_number_keeps_what_was_typed_and_gets_the_focus(sign_in_browser, live_server):
    sitting = sitting_of({"kind": "number"})
    page = sign_in_browser(sitting.member)
    page.goto(at(live_server, sitting))

    page.get_by_label("Your answer").fill("20")
    page.keyboard.press("Enter")
    page.get_by_text("has no unit").wait_for()
    field = page.get_by_label("Your answer")

    assert field.input_value() == "20"
    assert field.evaluate("field => field === document.activeElement")


def test_whole_paper_can_be_taken_without_script(chromium, live_server, client):
    sitting = sitting_of(*({"kind": kind} for kind in KINDS))
    client.force_login(sitting.member)
    context = chromium.new_context(java_script_enabled=False)
    cookie = client.cookies["pumpwright-session"]
    context.add_cookies([{"name": cookie.key, "value": cookie.value, "url": live_server.url}])
    page = context.new_page()
    page.goto(live_server.url + reverse("papers:papers"))
    page.get_by_role("link", name="Go on with this paper").click()

    for line in sitting.questions.order_by("position"):
        given = right_answer(line)
        for option in given.get("chosen", []):
            page.locator(f"input[value='{option}']").check()
        for place, step in enumerate(given.get("order", []), 1):
            page.locator(f"select[name='place-{step}']").select_option(str(place))
        if "typed" in given:
            page.get_by_label("Your answer").fill(given["typed"])
        page.get_by_role("button", name="Save and").click()
    page.get_by_role("button", name="Hand in").click()
    heading = page.get_by_role("heading", name="Competent", exact=True)
    heading.wait_for()
    context.close()

    assert Sitting.objects.get().mark == 100


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1440])
def test_every_page_of_a_paper_is_free_of_accessibility_violations(
    sign_in_browser, live_server, width, scheme
):
    sitting = sitting_of(*({"kind": kind, "safety": kind == "single"} for kind in KINDS))
    page = sign_in_browser(sitting.member)
    page.set_viewport_size({"width": width, "height": 900})
    page.emulate_media(color_scheme=scheme)
    urls = [at(live_server, sitting, position) for position in range(1, 5)]
    urls += [
        live_server.url + reverse("papers:hand_in", args=[sitting.pk]),
        live_server.url + reverse("papers:papers"),
    ]
    number = line_of(sitting, "number").position
    actions.answer_question(sitting=sitting, position=number, given={"typed": "40 A"}, at=LATER)

    found = []
    for url in urls:
        page.goto(url)
        found += violations(page)
    page.goto(at(live_server, sitting, number))
    page.get_by_label("Your answer").fill("20 psi")
    page.get_by_role("button", name="Save and").click()
    page.get_by_text("Not kept yet.").wait_for()
    found += violations(page)
    handed_in(answer_all(sitting, wrong=(1, 2)))
    page.goto(live_server.url + reverse("papers:sitting", args=[sitting.pk]))
    found += violations(page)
    page.goto(live_server.url + reverse("papers:papers"))
    found += violations(page)

    assert found == []


@pytest.mark.parametrize(("width", "scheme", "units"), [(390, "dark", "metric"), (1440, "light", "us")])
def test_made_questions_and_their_review_are_free_of_accessibility_violations(
    sign_in_browser, live_server, width, scheme, units
):
    actions.load_drawer()
    paper = PaperFactory(
        draw={"motor": 3, "safety": 3}, made={"motor": 3, "safety": 3}, at_least={"multiple": 1}
    )
    member = MemberFactory(unit_system=units)
    sitting = actions.begin_sitting(paper=paper, member=member, at=MONDAY, seed=3)
    page = sign_in_browser(member)
    page.set_viewport_size({"width": width, "height": 900})
    page.emulate_media(color_scheme=scheme)

    found = []
    for line in sitting.questions.all():
        page.goto(at(live_server, sitting, line.position))
        found += violations(page)
    handed_in(answer_all(sitting, wrong=(1, 2, 3)))
    page.goto(live_server.url + reverse("papers:sitting", args=[sitting.pk]))
    found += violations(page)

    assert found == []


def violations(page):
    """Each broken rule with the first element that breaks it, and any page wider than its window."""
    found = [(one["id"], one["nodes"][0]["html"][:200]) for one in Axe().run(page).response["violations"]]
    if page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"):
        found.append(("wider than the window", page.url))
    return found
