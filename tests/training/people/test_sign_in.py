"""The door: who gets in, who waits, and what is said."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.factories.people import PASSWORD, MemberFactory
from training.people import actions
from training.people.models import AuditEntry, WrongTry

pytestmark = pytest.mark.django_db

SIGN_IN = "/sign-in/"


def wrong_tries(client, count, account="4471"):
    return [client.post(SIGN_IN, {"account": account, "password": "wrong"}) for _ in range(count)]


@pytest.mark.parametrize("account", ["4471", " 4471 ", "wren@ferrule.example", "WREN@ferrule.example"])
def test_crew_number_or_email_and_password_open_today(client, account):
    MemberFactory(crew_number="4471", email="wren@ferrule.example")

    response = client.post(SIGN_IN, {"account": account, "password": PASSWORD})

    assert response.status_code == 302
    assert response.headers["Location"] == reverse("front:today")
    assert client.get("/").status_code == 200
    assert AuditEntry.objects.get().deed == "signed-in"


def test_wrong_password_says_how_many_tries_are_left_and_keeps_the_account(client):
    MemberFactory(crew_number="4471")

    first, second = wrong_tries(client, 2)

    assert first.status_code == 422
    assert "do not go together. 4 tries left, then a ten-minute wait." in first.text
    assert "3 tries left" in second.text
    assert 'value="4471"' in second.text


def test_unknown_account_is_answered_like_a_wrong_password(client):
    MemberFactory(crew_number="4471")

    (known,) = wrong_tries(client, 1)
    (unknown,) = wrong_tries(client, 1, account="9999")

    assert known.context["form"].non_field_errors() == unknown.context["form"].non_field_errors()


def test_fifth_wrong_try_starts_a_wait_that_the_right_password_does_not_end(client):
    MemberFactory(crew_number="4471")

    *_, fifth = wrong_tries(client, 5)
    right = client.post(SIGN_IN, {"account": "4471", "password": PASSWORD})

    assert "Wait 10 minutes, then try again" in fifth.text
    assert right.status_code == 422
    assert "Wait 10 minutes" in right.text


def test_tries_sent_at_once_are_not_more_than_tries_one_after_another(client, monkeypatch):
    MemberFactory(crew_number="4471")
    looked_at = []

    def slow_look(**_):
        looked_at.append(1)
        if len(looked_at) < 8:  # the next try comes in while this one's password is looked at
            client.post(SIGN_IN, {"account": "4471", "password": "wrong"})

    monkeypatch.setattr(actions, "authenticate", slow_look)
    client.post(SIGN_IN, {"account": "4471", "password": "wrong"})

    assert len(looked_at) == 5


def test_after_the_wait_the_right_password_opens_again(client):
    MemberFactory(crew_number="4471")
    wrong_tries(client, 5)
    WrongTry.objects.update(at=timezone.now() - timedelta(minutes=11))

    response = client.post(SIGN_IN, {"account": "4471", "password": PASSWORD})

    assert response.status_code == 302
    assert not WrongTry.objects.exists()


def test_wait_of_one_account_does_not_shut_out_another(client):
    MemberFactory(crew_number="4471")
    MemberFactory(crew_number="4472")
    wrong_tries(client, 5)

    assert client.post(SIGN_IN, {"account": "4472", "password": PASSWORD}).status_code == 302


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"account": "", "password": "x"}, "Write your crew number or e-mail."),
        ({"account": "4471", "password": ""}, "Write your password."),
        ({"account": "4" * 300, "password": "x"}, "That is too long."),
    ],
)
def test_missing_words_are_named_beside_their_field(client, sent, said):
    response = client.post(SIGN_IN, sent)

    assert response.status_code == 422
    assert said in response.text


def test_member_who_left_cannot_sign_in(client):
    MemberFactory(crew_number="4471", is_active=False)

    assert client.post(SIGN_IN, {"account": "4471", "password": PASSWORD}).status_code == 422


@pytest.mark.parametrize(
    ("wanted", "goes_to"),
    [("/crew/", "/crew/"), ("https://elsewhere.example/", "/"), ("//elsewhere.example", "/")],
)
def test_sign_in_goes_on_to_our_own_pages_only(client, wanted, goes_to):
    MemberFactory(crew_number="4471")

    response = client.post(SIGN_IN, {"account": "4471", "password": PASSWORD, "next": wanted})

    assert response.headers["Location"] == goes_to


def test_stranger_is_sent_to_the_door_and_back(client):
    response = client.get("/crew/")

    assert response.headers["Location"] == "/sign-in/?next=/crew/"


def test_sign_out_needs_a_form_and_ends_the_session(client):
    client.force_login(MemberFactory())

    assert client.get("/sign-out/").status_code == 405
    assert client.post("/sign-out/").headers["Location"] == SIGN_IN
    assert client.get("/").status_code == 302


def test_unit_choice_is_kept_and_stays_on_the_page(client):
    member = MemberFactory()
    client.force_login(member)

    response = client.post("/units/", {"unit_system": "metric", "next": "/crew/"})

    member.refresh_from_db()
    assert member.unit_system == "metric"
    assert response.headers["Location"] == "/crew/"


def test_unknown_unit_system_is_refused(client):
    client.force_login(MemberFactory())

    assert client.post("/units/", {"unit_system": "cubits"}).status_code == 400


def test_new_password_opens_and_the_old_one_does_not(client):
    member = MemberFactory(crew_number="4471")

    actions.change_password(member=member, password="quarter-turn-cock-9", actor=None, at=timezone.now())

    assert client.post(SIGN_IN, {"account": "4471", "password": PASSWORD}).status_code == 422
    assert client.post(SIGN_IN, {"account": "4471", "password": "quarter-turn-cock-9"}).status_code == 302
