"""Loading, beginning, answering and handing in, by what is left in the database."""

import shutil
from datetime import timedelta
from decimal import Decimal

import pytest
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import IntegrityError

from tests.factories.papers import (
    LATER,
    PaperFactory,
    QuestionFactory,
    answer_all,
    handed_in,
    line_of,
    right_answer,
    sitting_of,
)
from tests.factories.people import MONDAY, MemberFactory
from training.papers import actions
from training.papers.drawer import BadDrawer
from training.papers.exceptions import BadAnswer, DrawerTooThin, SittingClosed
from training.papers.models import Paper, Question, Sitting
from training.people.models import AuditEntry

pytestmark = pytest.mark.django_db


@pytest.fixture
def folder(tmp_path):
    shutil.copytree(settings.FIXTURES / "questions", tmp_path / "questions")
    return tmp_path / "questions"


def edit(folder, old, new):
    path = folder / "safety-one-answer.toml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_loading_twice_changes_nothing():
    first = actions.load_drawer()
    rows = list(Question.objects.order_by("slug").values())

    second = actions.load_drawer()

    assert first.added == len(rows) >= 36
    assert second == actions.Loaded(added=0, changed=0, unchanged=len(rows), retired=0)
    assert list(Question.objects.order_by("slug").values()) == rows
    assert Paper.objects.get().length == 10


def test_changed_words_count_up_the_version_of_that_question_only(folder):
    actions.load_drawer(questions=folder)
    edit(folder, "The lever at OFF, with a tag hung on it", "The lever at OFF and a tag on its handle")

    loaded = actions.load_drawer(questions=folder)

    assert (loaded.changed, loaded.added, loaded.retired) == (1, 0, 0)
    assert list(Question.objects.filter(version=2).values_list("slug", flat=True)) == [
        "lever-at-off-as-isolation"
    ]
    assert Question.objects.get(version=2).content["version"] == 2


def test_question_that_left_the_drawer_is_retired_and_comes_back_with_its_version(folder):
    actions.load_drawer(questions=folder)
    whole = (folder / "safety-one-answer.toml").read_text(encoding="utf-8")
    start = whole.index('[[question]]\nslug = "gauge-at-zero"')
    end = whole.index("[[question]]", start + 1)
    (folder / "safety-one-answer.toml").write_text(whole[:start] + whole[end:], encoding="utf-8")

    assert actions.load_drawer(questions=folder).retired == 1
    assert not Question.objects.get(slug="gauge-at-zero").live

    (folder / "safety-one-answer.toml").write_text(whole, encoding="utf-8")

    assert actions.load_drawer(questions=folder).changed == 1
    assert (
        Question.objects.get(slug="gauge-at-zero").live,
        Question.objects.get(slug="gauge-at-zero").version,
    ) == (True, 1)


def test_bad_drawer_leaves_the_database_as_it_was(folder):
    edit(folder, "criterion", "criterium")

    with pytest.raises(BadDrawer, match="unknown key 'criterium'; the nearest is 'criterion'"):
        actions.load_drawer(questions=folder)

    assert not Question.objects.exists()


def test_command_says_what_it_loaded_and_what_stops_it(capsys, settings, folder):
    call_command("load_drawer")

    assert "0 retired" in capsys.readouterr().out

    settings.FIXTURES = folder.parent
    with pytest.raises(CommandError, match=r"papers\.toml"):
        call_command("load_drawer")


def test_beginning_draws_the_paper_and_says_so_in_the_audit():
    actions.load_drawer()
    member = MemberFactory()

    sitting = actions.begin_sitting(paper=Paper.objects.get(), member=member, at=MONDAY, seed=7)

    assert [line.position for line in sitting.questions.order_by("position")] == list(range(1, 11))
    assert (sitting.started_at, sitting.seed, sitting.pass_percent) == (MONDAY, 7, 75)
    assert AuditEntry.objects.get(deed="paper-begun").actor == member


def test_beginning_again_gives_the_open_sitting():
    sitting = sitting_of({})

    again = actions.begin_sitting(paper=sitting.paper, member=sitting.member, at=LATER)

    assert again == sitting
    assert sitting.questions.count() == 1
    assert AuditEntry.objects.filter(deed="paper-begun").count() == 1


def test_second_open_sitting_of_a_paper_is_refused_by_the_database():
    sitting = sitting_of({})

    with pytest.raises(IntegrityError):
        Sitting.objects.create(
            member=sitting.member, paper=sitting.paper, seed=1, pass_percent=75, started_at=LATER
        )


def test_members_and_papers_have_open_sittings_of_their_own():
    sitting = sitting_of({})
    other_paper = PaperFactory(draw={"safety": 1})

    actions.begin_sitting(paper=sitting.paper, member=MemberFactory(), at=MONDAY)
    actions.begin_sitting(paper=other_paper, member=sitting.member, at=MONDAY)

    assert Sitting.objects.count() == 3


def test_new_sitting_can_begin_after_handing_in():
    sitting = handed_in(sitting_of({}))

    again = actions.begin_sitting(paper=sitting.paper, member=sitting.member, at=LATER)

    assert again != sitting


def test_thin_drawer_leaves_no_sitting_behind():
    with pytest.raises(DrawerTooThin):
        actions.begin_sitting(paper=PaperFactory(), member=MemberFactory(), at=MONDAY)

    assert not Sitting.objects.exists()


def test_later_edit_of_the_drawer_never_reaches_a_sitting(folder):
    actions.load_drawer(questions=folder)
    for seed in range(60):
        sitting = actions.begin_sitting(
            paper=Paper.objects.get(), member=MemberFactory(), at=MONDAY, seed=seed
        )
        line = sitting.questions.filter(question__slug="lever-at-off-as-isolation").first()
        if line:
            break
    before = line.content
    edit(folder, "What isolates it?", "What would you call isolated?")
    actions.load_drawer(questions=folder)

    line.refresh_from_db()

    assert line.content == before
    assert line.content["version"] == 1
    assert Question.objects.get(slug="lever-at-off-as-isolation").version == 2


def give(sitting, given, kind="single", at=LATER):
    line = line_of(sitting, kind)
    actions.answer_question(sitting=sitting, position=line.position, given=given, at=at)
    line.refresh_from_db()
    return line


def test_answer_can_be_changed_and_taken_back():
    sitting = sitting_of({})

    assert give(sitting, {"chosen": ["a"]}).answer == {"chosen": ["a"]}
    assert give(sitting, {"chosen": ["c"]}).answer == {"chosen": ["c"]}
    assert give(sitting, {"chosen": []}).answer is None


def test_same_answer_again_keeps_the_time_it_was_given():
    sitting = sitting_of({})
    give(sitting, {"chosen": ["a"]}, at=LATER)

    line = give(sitting, {"chosen": ["a"]}, at=LATER + timedelta(minutes=5))

    assert line.answered_at == LATER


def test_number_is_kept_as_typed_and_in_si():
    line = give(sitting_of({"kind": "number"}), {"typed": " 20.5 amps "}, "number")

    assert line.answer == {"text": "20.5 amps", "value": 20.5}


@pytest.mark.parametrize(
    ("kind", "given", "words"),
    [
        ("single", {"chosen": ["z"]}, "not on this page"),
        ("single", {"chosen": ["a", "b"]}, "one answer only"),
        ("multiple", {"chosen": ["a", "z"]}, "not on this page"),
        ("order", {"order": ["a", "b"]}, "its own place"),
        ("order", {"order": ["a", "a", "b", "c"]}, "its own place"),
        ("number", {"typed": "20"}, "has no unit. Write the number and its unit (A, mA)"),
        ("number", {"typed": "20 psi"}, "'20 psi' is not a current"),
        ("number", {"typed": "twenty amps"}, "is not a current"),
        ("number", {"typed": "9**9**9 A"}, "is not a current"),
        ("number", {"typed": "x" * 5000}, "too long"),
    ],
)
def test_what_is_no_answer_is_refused_and_the_earlier_one_stays(kind, given, words):
    sitting = sitting_of({"kind": kind})
    line = line_of(sitting, kind)
    give(sitting, right_answer(line), kind)
    kept = line_of(sitting, kind).answer

    with pytest.raises(BadAnswer) as refusal:
        give(sitting, given, kind)

    assert words in str(refusal.value)
    assert line_of(sitting, kind).answer == kept


@pytest.mark.parametrize("quantity", ["speed_rpm", "percent", "count"])
def test_unit_must_be_written_even_where_only_one_is_possible(quantity):
    number = {"quantity": quantity, "key": 20.0, "shown": "20", "tolerance": 0.05, "slips": []}
    question = line_of(sitting_of({"kind": "number"}), "number").content | {"number": number}

    with pytest.raises(BadAnswer, match="'20' has no unit"):
        actions.read_answer(question, {"typed": "20"})


def test_paper_is_marked_as_a_whole_when_handed_in():
    sitting = answer_all(sitting_of(*[{}] * 7, {"kind": "multiple"}, {"kind": "order"}, {"kind": "number"}))

    held = handed_in(sitting)

    assert (held.mark, held.result, held.handed_in_at) == (Decimal("100.00"), "competent", LATER)
    assert {line.points for line in held.questions.all()} == {Decimal(1)}
    assert AuditEntry.objects.get(deed="paper-handed-in").details["result"] == "competent"


@pytest.mark.parametrize(
    ("wrong", "mark", "result"), [((1,), "75.00", "competent"), ((1, 2), "50.00", "not yet competent")]
)
def test_pass_line_is_seventy_five_per_cent(wrong, mark, result):
    held = handed_in(answer_all(sitting_of({}, {}, {}, {}), wrong=wrong))

    assert (held.mark, held.result) == (Decimal(mark), result)


def test_one_safety_critical_question_missed_is_not_yet_competent_whatever_the_mark():
    sitting = sitting_of(*[{}] * 9, {"safety": True})
    critical = next(line.position for line in sitting.questions.all() if line.content["safety"])

    held = handed_in(answer_all(sitting, wrong=(critical,)))

    assert (held.mark, held.result) == (Decimal("90.00"), "not yet competent")


def test_partly_right_safety_critical_question_counts_as_missed():
    sitting = sitting_of(*[{}] * 9, {"safety": True, "kind": "multiple"})
    answer_all(sitting)
    half = right_answer(line_of(sitting, "multiple"))["chosen"][:1]
    give(sitting, {"chosen": half}, "multiple")

    held = handed_in(sitting)

    assert (held.mark, held.result) == (Decimal("95.00"), "not yet competent")


def test_mark_is_rounded_down_so_that_none_looks_like_the_line_without_being_on_it():
    held = handed_in(answer_all(sitting_of({}, {}, {}), wrong=(1,)))

    assert held.mark == Decimal("66.66")


def test_handing_in_again_changes_nothing():
    sitting = handed_in(answer_all(sitting_of({}, {}), wrong=(1,)))
    before = Sitting.objects.filter(pk=sitting.pk).values().get()

    again = handed_in(sitting, at=LATER + timedelta(days=1))

    assert again.handed_in_at == LATER
    assert Sitting.objects.filter(pk=sitting.pk).values().get() == before
    assert AuditEntry.objects.filter(deed="paper-handed-in").count() == 1


def test_no_answer_is_taken_after_handing_in_even_from_a_page_opened_before():
    sitting = sitting_of({})
    give(sitting, {"chosen": ["a"]})
    handed_in(sitting)

    with pytest.raises(SittingClosed, match="handed in"):
        give(sitting, {"chosen": ["b"]})

    assert line_of(sitting).answer == {"chosen": ["a"]}


def test_pass_line_of_a_sitting_is_the_one_it_was_begun_with():
    sitting = answer_all(sitting_of({}, {}, {}, {}), wrong=(1,))
    Paper.objects.update(pass_percent=80)

    assert handed_in(sitting).result == "competent"


def test_retired_question_is_not_drawn():
    QuestionFactory(area="safety", live=False)

    with pytest.raises(DrawerTooThin):
        actions.begin_sitting(paper=PaperFactory(), member=MemberFactory(), at=MONDAY)
