"""The pages, as a member gets them."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from tests.factories.papers import (
    PaperFactory,
    answer_all,
    handed_in,
    line_of,
    sitting_of,
)
from tests.factories.people import MemberFactory
from tests.training.papers.pages import LIST, at, hand_in, review
from training.papers import actions
from training.papers.models import Sitting

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "url", [LIST, "/papers/sittings/1/", "/papers/sittings/1/1/", "/papers/sittings/1/hand-in/"]
)
def test_stranger_is_sent_to_the_door(client, url):
    response = client.get(url)

    assert response.status_code == 302
    assert reverse("people:sign_in") in response["Location"]


def test_list_without_a_paper_says_what_will_be_there(client):
    client.force_login(MemberFactory())

    response = client.get(LIST)

    assert response.status_code == 200
    assert "No paper is set yet" in response.text


def test_list_offers_to_begin_then_to_go_on_then_shows_the_result(client):
    actions.load_drawer()
    client.force_login(MemberFactory())

    assert "Begin" in client.get(LIST).text

    client.post(reverse("papers:begin", args=["diagnose-replace-make-safe"]))
    assert "0 of 10 answered" in client.get(LIST).text

    handed_in(answer_all(Sitting.objects.get()))
    page = client.get(LIST).text
    assert "100 %" in page
    assert "Competent" in page


def test_beginning_leads_to_the_first_question_and_beginning_again_to_the_same_sitting(client):
    actions.load_drawer()
    client.force_login(MemberFactory())
    url = reverse("papers:begin", args=["diagnose-replace-make-safe"])

    first = client.post(url, follow=True)
    second = client.post(url, follow=True)

    assert first.redirect_chain == second.redirect_chain
    assert first.redirect_chain[-1][0] == at(Sitting.objects.get())


def test_beginning_takes_a_post_and_a_paper_on_offer(client):
    client.force_login(MemberFactory())
    PaperFactory(slug="gone", live=False)

    assert client.get(reverse("papers:begin", args=["gone"])).status_code == 405
    assert client.post(reverse("papers:begin", args=["gone"])).status_code == 404


def test_drawer_too_thin_for_a_paper_is_said_and_begins_nothing(client):
    client.force_login(MemberFactory())
    PaperFactory(slug="thin")

    response = client.post(reverse("papers:begin", args=["thin"]))

    assert response.status_code == 409
    assert "fewer than 1 questions on safety" in response.text
    assert not Sitting.objects.exists()


def test_saving_leads_to_the_next_question_and_from_the_last_to_the_hand_in(begun, client):
    sitting = begun({}, {})

    first = client.post(at(sitting, 1), {"chosen": "a"})
    last = client.post(at(sitting, 2), {"chosen": "b"})

    assert (first["Location"], last["Location"]) == (at(sitting, 2), hand_in(sitting))
    assert [line.answer for line in sitting.questions.order_by("position")] == [
        {"chosen": ["a"]},
        {"chosen": ["b"]},
    ]


@pytest.mark.parametrize(
    ("go", "place"),
    [("3", 3), ("1", 1), ("hand-in", None), ("99", None), ("", 2), ("-1", 2), ("9" * 40, 2), ("²", 2)],
)
def test_saving_goes_where_it_was_asked_to_go(begun, client, go, place):
    sitting = begun({}, {}, {})

    response = client.post(at(sitting, 1), {"chosen": "a", "go": go})

    assert response["Location"] == (at(sitting, place) if place else hand_in(sitting))


def test_kept_answer_is_on_its_page_again(begun, client):
    sitting = begun({"kind": "multiple"})
    client.post(at(sitting), {"chosen": ["a", "c"]})

    page = client.get(at(sitting)).text

    assert re.findall(r'value="(\w)" checked', page) == ["a", "c"]
    assert "Question 1, answered" in page


def test_order_is_given_by_the_place_of_each_step(begun, client):
    sitting = begun({"kind": "order"})

    client.post(at(sitting), {"place-a": "2", "place-b": "4", "place-c": "1", "place-d": "3"})

    assert sitting.questions.get().answer == {"order": ["c", "a", "d", "b"]}


@pytest.mark.parametrize(
    ("places", "words"),
    [
        (("1", "2", "2", "4"), "Place 2 is given more than once"),
        (("1", "2", "3", ""), "No place yet for"),
        (("1", "2", "3", "5"), "A place is a number from 1 to 4"),
        (("1", "2", "3", "x"), "A place is a number from 1 to 4"),
    ],
)
def test_order_that_is_none_is_given_back_with_the_way_to_mend_it(begun, client, places, words):
    sitting = begun({"kind": "order"})

    response = client.post(
        at(sitting), {f"place-{name}": place for name, place in zip("abcd", places, strict=True)}
    )

    assert response.status_code == 422
    assert words in response.text
    assert [step.place for step in response.context["question"].steps] == list(places)
    assert sitting.questions.get().answer is None


def test_order_left_without_any_place_is_left_open(begun, client):
    sitting = begun({"kind": "order"}, {})
    position = line_of(sitting, "order").position

    response = client.post(
        at(sitting, position), {"place-a": "", "place-b": "", "place-c": "", "place-d": ""}
    )

    assert response.status_code == 302
    assert line_of(sitting, "order").answer is None


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("20", "has no unit"),
        ("20 psi", "is not a current"),
        ("A 20", "The number comes first"),
        ("<b>20 A", "is not a current"),
        ("1,5 A", "is not a current"),
    ],
)
def test_number_without_meaning_is_given_back_with_the_way_to_mend_it(begun, client, typed, words):
    sitting = begun({"kind": "number"})

    response = client.post(at(sitting), {"typed": typed})

    assert response.status_code == 422
    assert response.context["question"].typed == typed
    assert words in response.text
    assert "<b>20" not in response.text
    assert 'aria-invalid="true"' in response.text
    assert sitting.questions.get().answer is None


@pytest.mark.parametrize("typed", ["20 A", "20.9 amps", "19000 mA", " 19.1  A "])
def test_number_in_any_unit_of_its_kind_is_kept(begun, client, typed):
    sitting = begun({"kind": "number"})

    client.post(at(sitting), {"typed": typed})

    assert handed_in(sitting).mark == Decimal(100)


def test_hand_in_page_lists_what_is_open_and_posting_it_leads_to_the_review(begun, client):
    sitting = begun({}, {}, {})
    client.post(at(sitting, 2), {"chosen": "a"})

    page = client.get(hand_in(sitting)).text
    response = client.post(hand_in(sitting))

    assert re.findall(r">Question (\d)</a>", page) == ["1", "3"]
    assert response["Location"] == review(sitting)
    assert Sitting.objects.get().handed_in_at is not None


def test_handing_in_twice_leads_to_the_same_review(begun, client):
    sitting = begun({})

    client.post(hand_in(sitting))
    before = Sitting.objects.values().get()
    again = client.post(hand_in(sitting), follow=True)

    assert again.status_code == 200
    assert Sitting.objects.values().get() == before


@pytest.mark.parametrize("sent", [{"chosen": "b"}, {"chosen": "z"}])
def test_answer_after_handing_in_is_refused_and_what_was_sent_is_shown(begun, client, sent):
    sitting = begun({})
    handed_in(sitting)

    response = client.post(at(sitting), sent)

    assert response.status_code == 409
    assert "has been handed in" in response.text
    assert sitting.questions.get().answer is None


def test_pages_of_a_sitting_that_was_handed_in_lead_to_its_review(begun, client):
    sitting = begun({})
    handed_in(sitting)

    assert client.get(at(sitting))["Location"] == review(sitting)
    assert client.get(hand_in(sitting))["Location"] == review(sitting)


@pytest.mark.parametrize("is_handed_in", [False, True])
@pytest.mark.parametrize("role", ["apprentice", "instructor", "manager"])
def test_somebody_elses_sitting_is_not_found(client, is_handed_in, role):
    sitting = sitting_of({})
    if is_handed_in:
        handed_in(sitting)
    client.force_login(MemberFactory(role=role))
    urls = (review(sitting), at(sitting), hand_in(sitting))

    assert [client.get(url).status_code for url in urls] == [404, 404, 404]
    assert [client.post(url).status_code for url in urls[1:]] == [404, 404]
    assert sitting.questions.get().answer is None


@pytest.mark.parametrize("position", [0, 3, 99, 10**30])
def test_question_that_is_not_there_is_not_found(begun, client, position):
    sitting = begun({}, {})

    assert client.get(at(sitting, position)).status_code == 404


def test_review_shows_each_answer_with_the_right_one_the_reason_and_the_source(begun, client):
    sitting = begun({}, {"kind": "number"})
    client.post(at(sitting, line_of(sitting, "number").position), {"typed": "40 A"})
    wrong = next(option for option in line_of(sitting).content["options"] if not option["right"])
    client.post(at(sitting, line_of(sitting).position), {"chosen": wrong["id"]})
    handed_in(sitting)

    page = client.get(review(sitting)).text

    for words in (
        wrong["reason"],
        "40 A",
        "20 A, give or take 5 %",
        "Doubled the wrong way.",
        "Not yet competent",
    ):
        assert words in page
    assert all(line.content["source"] in page for line in sitting.questions.all())


def test_review_says_which_safety_critical_questions_were_missed(begun, client):
    sitting = begun(*[{}] * 9, {"safety": True})
    critical = next(line.position for line in sitting.questions.all() if line.content["safety"])
    handed_in(answer_all(sitting, wrong=(critical,)))

    response = client.get(review(sitting))

    assert response.context["review"].safety_missed == (critical,)
    assert "Not yet competent" in response.text
    assert "at or above the line of 75 %" in response.text


def test_review_never_says_fail(begun, client):
    sitting = begun({}, {})
    handed_in(sitting)

    assert not re.search(r"\bfail", client.get(review(sitting)).text, re.IGNORECASE)


@pytest.mark.parametrize("count", [1, 10])
def test_review_asks_the_same_whatever_its_length(begun, client, count, django_assert_num_queries):
    sitting = begun(*[{}] * count)
    handed_in(sitting)

    with django_assert_num_queries(4):  # session, member, sitting, questions
        client.get(review(sitting))


def test_answers_are_kept_out_of_shared_caches(begun, client):
    sitting = begun({})

    assert "no-store" in client.get(at(sitting))["Cache-Control"]
