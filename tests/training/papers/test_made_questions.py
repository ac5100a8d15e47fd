"""Made questions in a sitting: drawn, frozen, shown without their key, marked, reviewed."""

import re
from collections import Counter
from html import unescape

import pytest
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import CommandError
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from tests.factories.papers import PaperFactory, answer_all, handed_in
from tests.factories.people import MONDAY, MemberFactory
from tests.training.papers.pages import at, review
from training.papers import actions, drawer, rules
from training.papers.exceptions import DrawerTooThin
from training.papers.makers import MAKERS, make
from training.papers.models import Paper, Question, SittingQuestion

PAPER = drawer.read_papers(settings.FIXTURES / "papers.toml")["diagnose-replace-make-safe"]
MADE = {"diagnosis": 1, "motor": 2, "safety": 1}


@pytest.fixture
def loaded(db):
    actions.load_drawer()
    return Paper.objects.get()


def begin(paper, member=None, seed=7):
    return actions.begin_sitting(paper=paper, member=member or MemberFactory(), at=MONDAY, seed=seed)


def contents(sitting):
    return [line.content for line in sitting.questions.order_by("position")]


def made(sitting):
    return [one for one in contents(sitting) if one["slug"] in MAKERS]


def all_made(seed=7, **member):
    """A sitting of a paper whose every question is made: nine of motors, five of vessels."""
    paper = PaperFactory(
        draw={"motor": 9, "safety": 5}, made={"motor": 9, "safety": 5}, at_least={"number": 1}
    )
    return begin(paper, MemberFactory(**member), seed)


def test_paper_of_ten_says_how_many_come_from_makers(loaded):
    assert loaded.made == MADE
    assert Counter(one["area"] for one in made(begin(loaded))) == MADE
    assert len(contents(begin(loaded))) == 10


def test_drawer_holds_a_specimen_of_every_maker_and_retires_it_with_its_maker(loaded, monkeypatch):
    assert set(MAKERS) <= set(Question.objects.filter(live=True).values_list("slug", flat=True))

    monkeypatch.setattr(actions, "specimens", dict)
    with pytest.raises(DrawerTooThin, match="question makers"):  # the paper still asks for them
        actions.load_drawer()


def test_same_seed_and_units_draw_the_same_sitting_and_another_seed_other_numbers(loaded):
    first, again = begin(loaded), begin(loaded)

    assert contents(first) == contents(again)
    assert contents(begin(loaded, seed=8)) != contents(first)


def test_maker_drawn_in_another_sitting_asks_with_other_numbers():
    cards = [actions._card(make(MAKERS["made-pump-speed"], "specimen", "us"), "", "us")]
    one, other = (rules.draw(cards, {"motor": 1}, {}, seed, {"motor": 1})[0]["stem"] for seed in (1, 2))

    assert one != other


@pytest.mark.parametrize(("units", "other"), [("us", r"\d (bar|L/min)\b"), ("metric", r"\d (psi|cfm)\b")])
def test_sitting_speaks_the_units_of_its_member(loaded, units, other):
    stems = " ".join(one["stem"] for one in contents(all_made(unit_system=units)))

    assert not re.search(other, stems)


def test_sitting_of_made_questions_is_sat_and_marked(loaded):
    right = handed_in(answer_all(all_made()))
    wrong = handed_in(answer_all(all_made(), wrong=range(1, 15)))

    assert (right.mark, right.result) == (100, "competent")
    assert wrong.mark == 0


@pytest.mark.parametrize("units", ["us", "metric"])
def test_whole_paper_with_made_questions_can_be_passed(loaded, units):
    for seed in range(6):
        held = handed_in(answer_all(begin(loaded, MemberFactory(unit_system=units), seed)))

        assert (held.mark, held.result) == (100, "competent")


def test_sitting_stays_as_it_was_drawn_when_its_makers_have_changed_or_gone(loaded, monkeypatch):
    sitting = begin(loaded)
    before = contents(sitting)
    monkeypatch.setattr(actions, "MAKERS", {})
    Question.objects.filter(slug__in=MAKERS).update(live=False)

    assert handed_in(answer_all(sitting)).mark == 100
    assert contents(sitting) == before


def test_no_page_of_an_open_sitting_holds_key_reason_or_belief(client, loaded):
    sitting = all_made()
    client.force_login(sitting.member)

    for line in SittingQuestion.objects.filter(sitting=sitting):
        page = unescape(client.get(at(sitting, line.position)).text)
        question = line.content
        secret = [question["slug"], question["explanation"], question["source"]]
        secret += [part["reason"] for part in question["options"] + question["steps"]]
        secret += [part["belief"] for part in question["options"] if "belief" in part]
        if question["number"]:
            secret += [slip["reason"] for slip in question["number"]["slips"]]
            assert not re.search(
                rf"(?<![\d.]){re.escape(question['number']['shown'])}(?![\d.])", page.split("<main")[1]
            )
        assert question["stem"] in page
        for text in secret:
            assert text not in page


def test_review_says_why_each_wrong_answer_is_wrong_and_where_that_is_from(client, loaded):
    sitting = handed_in(answer_all(all_made(), wrong=range(1, 15)))
    client.force_login(sitting.member)

    page = unescape(client.get(review(sitting)).text)

    for question in contents(sitting):
        assert question["number"] is None or question["number"]["slips"][0]["reason"] in page
        assert all(option["reason"] in page for option in question["options"])
        assert question["source"] in page


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("made = { safety = 4 }", "made asks for more questions on safety than draw gives"),
        ("made = { motor = 1 }", "made asks for more questions on motor than draw gives"),
        ("made = { saftey = 1 }", "unknown key 'saftey'; the nearest is 'safety'"),
        ("made = { safety = 0 }", "safety must be a whole number from 1 up"),
        ("maid = { safety = 1 }", "unknown key 'maid'; the nearest is 'made'"),
    ],
)
def test_paper_that_asks_for_too_many_made_questions_is_refused(tmp_path, line, words):
    path = tmp_path / "papers.toml"
    path.write_text(
        '[[paper]]\nslug = "first"\ntitle = "First"\nlede = "Three."\npass_percent = 75\n'
        f"draw = {{ safety = 3 }}\nat_least = {{ single = 1 }}\n{line}\n",
        encoding="utf-8",
    )

    with pytest.raises(drawer.BadDrawer, match=re.escape(words)):
        drawer.read_papers(path)


def test_paper_that_says_nothing_of_makers_has_none(tmp_path):
    path = tmp_path / "papers.toml"
    path.write_text(
        '[[paper]]\nslug = "first"\ntitle = "First"\nlede = "Three."\npass_percent = 75\n'
        "draw = { safety = 3 }\nat_least = { single = 1 }\n",
        encoding="utf-8",
    )

    assert drawer.read_papers(path)["first"].made == {}


ENTRIES = drawer.read_questions(settings.FIXTURES / "questions") | actions.specimens()
CARDS = [actions._card(entry.question, entry.family, "us") for entry in ENTRIES.values()]


@hypothesis_settings(max_examples=15)
@given(st.integers(0, 2**31 - 1))
def test_draw_has_the_made_questions_asked_for_and_no_family_twice(seed):
    questions = rules.draw(CARDS, PAPER.draw, PAPER.at_least, seed, PAPER.made)
    families = [ENTRIES[one["slug"]].family for one in questions if ENTRIES[one["slug"]].family]

    assert Counter(one["area"] for one in questions if one["slug"] in MAKERS) == MADE
    assert len(set(families)) == len(families)
    assert {"multiple", "order", "number"} <= {one["kind"] for one in questions}


def test_instructor_is_shown_what_a_maker_makes(capsys):
    call_command("preview_question")

    assert "made-pump-speed  (motor, U2.4a, number, application)" in capsys.readouterr().out

    call_command("preview_question", "made-which-relief", units="metric")
    shown = capsys.readouterr().out
    question = make(MAKERS["made-which-relief"], "1", "metric")

    assert question["stem"] in shown
    assert question["source"] in shown
    assert shown.count("\n  * ") == 1

    for slug in ("made-pump-speed", "made-order-of-motor-sizes"):
        call_command("preview_question", slug, seed="3")
        assert make(MAKERS[slug], "3", "us")["explanation"] in capsys.readouterr().out


def test_unknown_maker_is_refused_with_the_nearest():
    with pytest.raises(CommandError, match="Did you mean 'made-pump-speed'"):
        call_command("preview_question", "made-pump-sped")
