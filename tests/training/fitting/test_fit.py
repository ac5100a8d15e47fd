"""Will it fit? as a page: judged from its query, nothing typed lost, every bad line marked where it stands."""

import re
from html import unescape
from urllib.parse import parse_qs, urlencode

import pytest
from django.urls import reverse

from simulator.replacement.air_parts import fitted_on
from simulator.replacement.kinds import KINDS
from tests.factories.people import MemberFactory
from training.fitting import sheets, words

pytestmark = pytest.mark.django_db

HTMX = {"HX-Request": "true"}
INLINE = re.compile(r"<style|\sstyle=|\son[a-z]+=|hx-on|javascript:|<script(?![^>]*\ssrc=)", re.IGNORECASE)
RELIEF = {"rig": "twin-60", "new.set": "150 psi", "new.capacity": "40 scfm", "new.stamp": "UV", "new.medium": "air",
          "new.seal": "unbroken", "new.thread": "1/4 NPT male"}  # fmt: skip
MOTOR = {"old.power": "3 hp", "old.frame": "56HZ", "new.power": "2 hp", "new.frame": "145T"}


@pytest.fixture
def hand(client):
    """The client of a member who is signed in."""
    client.force_login(MemberFactory())
    return client


def fit(hand, kind, sent=(), **more):
    """Ask as a page does, and follow to the address without blanks."""
    return hand.get(reverse("fitting:fit", args=[kind]), dict(sent), follow=True, **more)


def value_of(html, name):
    found = re.search(rf'name="{re.escape(name)}" value="([^"]*)"', html)
    return unescape(found.group(1)) if found else None


def verdict_of(html):
    return re.search(r'class="verdict v-([a-z-]+)"', html).group(1)


def test_a_stranger_is_sent_to_the_door(client):
    response = client.get(reverse("fitting:kinds"))

    assert response.status_code == 302
    assert response.headers["Location"].startswith("/sign-in/")


def test_every_kind_is_on_the_list_and_has_words(hand):
    text = hand.get(reverse("fitting:kinds")).text

    assert set(words.COUNTS) == set(KINDS)
    for kind in KINDS.values():
        assert reverse("fitting:fit", args=[kind.name]) in text
        assert kind.title in text


@pytest.mark.parametrize("kind", list(KINDS))
def test_empty_sheet_of_every_kind_has_a_named_field_for_every_line_and_is_not_judged(hand, kind):
    response = fit(hand, kind)

    assert response.status_code == 200
    assert 'class="verdict' not in response.text
    for sheet, lines in KINDS[kind].sheets.items():
        for line in lines:
            assert f'name="{sheets.field_name(sheet, line)}"' in response.text
    fields = re.findall(r'<(?:input|textarea) class="in" [^>]*?id="(f-[^"]+)"', response.text)
    assert len(fields) == len(set(fields))
    assert all(f'<label for="{field}"' in response.text for field in fields)
    assert not INLINE.search(response.text)


def test_groups_of_a_plate_hold_every_line_once():
    for kind in KINDS.values():
        names = [name for _, lines in words.grouped(kind.name, kind.sheets["new"]) for name in lines]
        assert sorted(names) == sorted(kind.sheets["new"])


def test_unknown_kind_is_not_found(hand):
    assert hand.get("/fit/gearbox/").status_code == 404
    assert hand.get("/fit/gearbox/card/").status_code == 404


def test_right_relief_valve_of_a_rig_fits_with_every_reason_its_source_and_standing(hand):
    text = fit(hand, "relief", RELIEF).text

    assert verdict_of(text) == "fits"
    assert text.count("Source: ") == text.count('<li class="reason')
    assert "published" in text
    assert "Ask for exactly this" in text


def test_reasons_stand_in_order_of_danger(hand):
    text = fit(hand, "relief", {**RELIEF, "new.set": "200 psi", "new.stamp": ""}).text

    order = re.findall(r'<span class="reason-v">([^<]+)</span>', text)
    ranks = ["Unsafe", "Does not fit", "Open question", "Fits with changes", "Fits"]
    assert order == sorted(order, key=ranks.index)
    assert order[0] == "Unsafe"
    assert verdict_of(text) == "unsafe"
    assert "200.0 psi" in text


def test_open_question_leads_to_the_field_that_answers_it(hand):
    text = fit(hand, "relief", {**RELIEF, "new.stamp": ""}).text

    assert verdict_of(text) == "unanswered"
    assert '<a href="#f-new-stamp">Answer it</a>' in text


def test_question_about_the_supply_leads_to_where_it_was_measured(hand):
    text = fit(hand, "motor", {"new.volts": "230", "new.power": "3 hp"}).text

    assert '<a href="#f-place-supply-volts">Answer it</a>' in text


def test_plates_without_anything_on_offer_wait_for_it(hand):
    text = fit(hand, "motor", {"old.power": "3 hp"}).text

    assert "Nothing is on offer yet" in text
    assert 'class="verdict' not in text
    assert "Nothing is on offer yet" not in fit(hand, "motor").text


def test_figures_are_in_the_readers_units(client):
    client.force_login(MemberFactory(unit_system="metric"))

    text = fit(client, "relief", {**RELIEF, "new.set": "200 psi"}).text

    assert "13.79 bar" in text


def test_spelling_changes_no_verdict(hand):
    one = fit(hand, "motor", {"old.power": "1-1/2 HP", "new.power": "1.1 kW"}).text
    other = fit(hand, "motor", {"old.power": "1 1/2 hp", "new.power": "1.1kW"}).text

    assert verdict_of(one) == verdict_of(other)


def test_address_without_blanks_is_the_one_to_pass_on_and_gives_the_same(hand):
    blanks = {sheets.field_name("new", line): "" for line in KINDS["motor"].sheets["new"]}
    first = fit(hand, "motor", {**blanks, **MOTOR})

    (address, status) = first.redirect_chain[0]
    assert status == 302
    assert "=&" not in address
    assert parse_qs(address.partition("?")[2]) == {name: [value] for name, value in MOTOR.items()}
    assert hand.get(address).status_code == 200
    assert f'value="http://testserver{address}"' in unescape(first.text)


def test_part_of_the_page_is_swapped_and_the_address_pushed(hand):
    response = hand.get(reverse("fitting:fit", args=["motor"]), {**MOTOR, "new.volts": ""}, headers=HTMX)

    assert response.status_code == 200
    assert response.text.lstrip().startswith('<div id="fit"')
    assert "<html" not in response.text
    assert response.headers["HX-Push-Url"] == f"/fit/motor/?{urlencode(MOTOR)}"


@pytest.mark.parametrize(
    ("kind", "sent", "field", "why"),
    [
        ("motor", {**MOTOR, "new.frame": "183X"}, "f-new-frame", "nearest are"),
        ("motor", {**MOTOR, "new.power": "big"}, "f-new-power", "HP or kW"),
        ("motor", {**MOTOR, "old.speed": "17?5"}, "f-old-speed", "half read"),
        ("motor", {**MOTOR, "place.breaker": "9**9**9"}, "f-place-breaker", "handle in the panel"),
        ("relief", {**RELIEF, "new.set": "150"}, "f-new-set", "SET"),
        ("relief", {**RELIEF, "place.between": "hope"}, "f-place-between", "Trace it by hand"),
        ("drive", {"new.belt": "Z9999Q"}, "f-new-belt", ""),
        ("motor", {**MOTOR, "new.power": "3" * 300}, "f-new-power", "longer than a line"),
        ("motor", {**MOTOR, "new.lines": "3 hp\ncolour=green"}, "f-new-lines", "colour"),
    ],
)
def test_bad_line_is_marked_where_it_stands_and_all_that_was_typed_is_kept(hand, kind, sent, field, why):
    response = fit(hand, kind, sent)

    assert response.status_code == 422
    assert f'id="{field}-err"' in response.text
    assert f'href="#{field}"' in response.text
    assert why in unescape(response.text)
    for name, value in sent.items():
        if not name.endswith(".lines") and name != "rig":
            assert value_of(response.text, name) == value
    assert 'class="verdict' not in response.text


def test_plate_that_contradicts_itself_says_which_line_and_where_to_look(hand):
    sent = {"new.power": "5 hp", "new.volts": "230", "new.amps": "3", "new.phase": "1"}

    text = fit(hand, "motor", sent).text

    assert "This cannot be judged yet" in text
    assert re.search(r'id="f-new-(amps|power)-err"', text)


def test_what_is_wrong_on_both_plates_is_told_at_once(hand):
    text = fit(hand, "motor", {"old.power": "big", "new.power": "small"}).text

    assert 'id="f-old-power-err"' in text
    assert 'id="f-new-power-err"' in text


def test_link_with_a_line_that_no_sheet_has_is_told_with_the_nearest(hand):
    response = fit(hand, "motor", {**MOTOR, "new.framee": "56"})

    assert response.status_code == 422
    assert "the nearest is 'new.frame'" in unescape(response.text)


def test_query_has_an_end(hand):
    sent = {sheets.field_name("new", line): "x" * 600 for line in KINDS["motor"].sheets["new"]}

    response = fit(hand, "motor", sent)

    assert response.status_code == 422
    assert "more than plates have" in response.text
    assert value_of(response.text, "new.power") == "x" * 600


@pytest.mark.parametrize("text", ["\x00", "<b>&\"'", "\ud7ff\u202e", "½", "🦉"])
def test_any_text_is_shown_again_and_breaks_nothing(hand, text):
    response = fit(hand, "motor", {"new.power": text})

    assert response.status_code in (200, 422)
    assert "<b>&" not in response.text


def test_plates_of_a_rig_are_filled_in_and_own_lines_kept(hand):
    response = fit(hand, "motor", {"rig": "twin-60", "old.power": "4 hp"})

    assert value_of(response.text, "old.power") == "4 hp"
    assert value_of(response.text, "old.frame") == "56HZ"
    assert "1 line of your own is kept" in response.text


def test_line_of_a_rig_that_was_cleared_stays_cleared(hand):
    response = fit(hand, "motor", {"rig": "twin-60", "was": "twin-60", "old.power": "3 hp"})

    assert value_of(response.text, "old.frame") == ""


def test_another_rig_takes_the_place_of_the_first_but_not_of_own_lines(hand):
    first = dict(sheets.of_rig("motor", "twin-60")["old"])
    sent = {sheets.field_name("old", line): value for line, value in first.items()} | {"old.frame": "145T"}

    response = fit(hand, "motor", {**sent, "rig": "metric-100", "was": "twin-60", "new.power": "4 kW"})

    assert value_of(response.text, "old.power") == "4 kW"
    assert value_of(response.text, "old.frame") == "145T"
    assert value_of(response.text, "new.power") == "4 kW"


def test_rig_without_such_a_part_says_so(hand):
    response = fit(hand, "motor", {"rig": "engine-30", "new.power": "5 hp"})

    assert response.status_code == 422
    assert "no electric motor" in response.text
    assert value_of(response.text, "new.power") == "5 hp"


def test_unknown_rig_offers_the_nearest(hand):
    response = fit(hand, "motor", {"rig": "twin-6"})

    assert response.status_code == 422
    assert "twin-60" in response.text


def test_pasted_plate_is_sorted_into_the_lines(hand):
    text = fit(hand, "motor", {"new.lines": "1-1/2 HP; 115/230 V\n15.0/7.5 A\nPH 1\nFR 56"}).text

    assert value_of(text, "new.volts") == "115/230"
    assert value_of(text, "new.frame") == "56"
    assert verdict_of(text)


def test_both_motors_are_drawn_with_a_name_and_their_dimensions_in_words(hand):
    text = fit(hand, "motor", {"old.frame": "56HZ", "new.frame": "145T", "new.power": "3 hp"}).text

    assert text.count('role="img"') == 2  # for a desk and for a phone
    assert "Foot holes across: old 4.88 in, new 5.5 in" in text
    assert "The same as a table" in text
    assert not INLINE.search(text)


def test_what_is_not_known_is_not_drawn(hand):
    text = fit(hand, "motor", {"old.frame": "56HZ", "new.power": "3 hp"}).text

    assert "foot holes across of the new motor" in text
    assert "new not known" in text


def test_parts_card_says_what_to_ask_for_and_defers(hand):
    text = hand.get(reverse("fitting:card", args=["relief"]), RELIEF).text

    assert "Ask for exactly this" in text
    assert "local codes" in text
    assert "licensed electrician" in text
    assert "Never" in text
    assert not INLINE.search(text)


def test_card_of_what_cannot_be_judged_leads_back_to_the_plates(hand):
    response = hand.get(reverse("fitting:card", args=["relief"]), {"new.set": "high"}, follow=True)

    assert response.redirect_chain[0][0].startswith("/fit/relief/?")
    assert response.status_code == 422
    assert value_of(response.text, "new.set") == "high"


@pytest.mark.parametrize("kind", ["check-valve", "switch", "gauge", "drain", "filter", "tube", "breather"])
def test_what_came_on_a_rig_fits_it(hand, kind):
    fitted = fitted_on("twin-60", kind).fitted
    sent = {sheets.field_name("new", line): value for line, value in fitted.items()}

    assert verdict_of(fit(hand, kind, {"rig": "twin-60", **sent}).text) == "fits"


def test_policy_lets_nothing_inline_in(hand):
    policy = fit(hand, "motor", MOTOR).headers["Content-Security-Policy"]

    assert "unsafe-inline" not in policy
    assert "style-src 'self'" in policy


def test_page_asks_the_database_for_session_and_member_alone(hand, django_assert_num_queries):
    with django_assert_num_queries(2):
        hand.get(reverse("fitting:fit", args=["motor"]), MOTOR)


def test_navigation_leads_here(hand):
    text = hand.get(reverse("front:today")).text

    assert f'<a href="{reverse("fitting:kinds")}">Will it fit?</a>' in text
