"""The call book and the repairs: every key checked, every call workable."""

import pytest

from simulator.checks import load_checks
from simulator.faults import load_faults
from simulator.rig import load_rigs
from training.cases import actions
from training.cases.book import BadBook, load_calls, load_repairs
from training.cases.models import Call

RIG = "twin-60"
REPAIR = """
[[repair]]
slug = "drain"
title = "Drain renewed"
minutes = 20
safe = "S3"
part = "Drain"
cost = 9
cures = ["drain-leaks"]
"""


def write(tmp_path, text):
    path = tmp_path / "book.toml"
    path.write_text(text, encoding="utf-8")
    return path


def calls_text(**changes):
    row = {
        "slug": '"x"',
        "no": '"C-1"',
        "title": '"X"',
        "rig": f'"{RIG}"',
        "faults": '[{ fault = "drain-leaks", severity = 0.5 }]',
        "kind": '"single"',
        "grade": '"G1"',
        "par_minutes": "10",
        "best_path": "[]",
        "lookalikes": "[]",
        "complaint": '"It starts by itself."',
        "setting": '"A shed."',
        "answer_says": '"The drain."',
        "interview": '{ since = "Monday." }',
    } | changes
    lines = [f"{key} = {value}" for key, value in row.items() if value]
    told = "".join(
        f'[[call.statements]]\nslug = "{slug}"\nright = {right}\nwords = "w"\nwhy = "y"\n'
        for slug, right in (("a", "true"), ("b", "false"), ("c", "false"))
    )
    return '[questions]\nsince = "When?"\n[[call]]\n' + "\n".join(lines) + "\n" + told


def test_there_are_calls_on_every_rig_and_on_most_systems():
    calls, faults = load_calls().values(), load_faults()

    assert {call.rig for call in calls} == set(load_rigs())
    assert len({faults[given["fault"]].system for call in calls for given in call.faults}) >= 11


@pytest.mark.parametrize("call", load_calls().values(), ids=lambda call: call.slug)
def test_a_call_names_its_fault_nowhere_that_a_learner_reads_first(call):
    faults = load_faults()
    read_first = f"{call.slug} {call.title} {call.complaint} {call.setting}".casefold()

    for given in call.faults:
        assert given["fault"] not in read_first
        assert faults[given["fault"]].title.casefold() not in read_first


@pytest.mark.parametrize("call", load_calls().values(), ids=lambda call: call.slug)
def test_a_best_path_and_lookalikes_are_of_the_rig(call):
    checks, faults = load_checks(), load_faults()

    for item in call.best_path:
        slug, _, place = item.partition(":")
        assert checks[slug].place(place).slug == (place or checks[slug].places[0].slug)
    assert set(call.lookalikes) <= {slug for slug, fault in faults.items() if call.rig in fault.rigs}
    assert not set(call.lookalikes) & {given["fault"] for given in call.faults}


def test_every_fault_of_a_call_has_exactly_one_right_repair_and_the_list_tempts():
    repairs = load_repairs().values()
    for slug in {given["fault"] for call in load_calls().values() for given in call.faults}:
        assert len([one for one in repairs if slug in one.right_for]) == 1, slug
    assert len([one for one in repairs if not one.right_for]) >= 8
    assert any(one.prohibited for one in repairs)


def test_no_repair_cures_or_is_right_for_an_unknown_fault():
    known = load_faults()

    for one in load_repairs().values():
        assert {*one.cures, *one.right_for} <= set(known), one.slug


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (REPAIR.replace("minutes", "minuts"), "unknown key 'minuts'; the nearest is 'minutes'"),
        (REPAIR.replace('safe = "S3"', 'safe = "S7"'), "safe is 'S7'; it must be one of S0, S2, S3"),
        (REPAIR.replace('part = "Drain"\n', ""), "'part' is missing"),
        (REPAIR.replace("minutes = 20", "minutes = nan"), "minutes must be above 0"),
        (REPAIR + REPAIR, "'drain' is there twice"),
    ],
)
def test_a_repair_that_cannot_be_is_refused_with_the_way_to_mend_it(tmp_path, text, words):
    with pytest.raises(BadBook, match=words):
        load_repairs(write(tmp_path, text))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"kind": '"triple"'}, "kind is 'triple'"),
        ({"grade": '"G9"'}, "grade is 'G9'"),
        ({"par_minutes": "0"}, "par_minutes must be above 0"),
        ({"setting": ""}, "'setting' is missing"),
        ({"colour": '"red"'}, "unknown key 'colour'"),
        ({"faults": '[{ fualt = "drain-leaks" }]'}, "unknown key 'fualt'; the nearest is 'fault'"),
        ({"interview": "{ since = 'a', cause = 'b' }"}, "unknown key 'cause'"),
    ],
)
def test_a_call_that_cannot_be_is_refused_with_the_way_to_mend_it(tmp_path, changes, words):
    with pytest.raises(BadBook, match=words):
        load_calls(write(tmp_path, calls_text(**changes)))


def test_two_right_statements_are_refused(tmp_path):
    text = calls_text().replace("right = false", "right = true")

    with pytest.raises(BadBook, match="exactly one is right"):
        load_calls(write(tmp_path, text))


@pytest.mark.django_db
def test_the_book_can_be_loaded_twice_and_a_call_that_left_goes_off_the_sheet(tmp_path):
    assert actions.load_cases() == len(load_calls())
    assert actions.load_cases() == Call.objects.count() == len(load_calls())

    actions.load_cases(path=write(tmp_path, calls_text()))

    assert list(Call.objects.filter(live=True).values_list("slug", flat=True)) == ["x"]
    assert Call.objects.count() == len(load_calls()) + 1


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"rig": '"twin-99"'}, "no rig 'twin-99'"),
        ({"faults": '[{ fault = "drain-leak" }]'}, "no fault 'drain-leak'"),
        ({"faults": '[{ fault = "intake-reed-leak", location = "cyl9" }]'}, "sits in: cyl1, cyl2"),
    ],
)
@pytest.mark.django_db
def test_a_call_the_simulator_cannot_play_is_not_loaded(tmp_path, changes, words):
    with pytest.raises(ValueError, match=words):
        actions.load_cases(path=write(tmp_path, calls_text(**changes)))

    assert not Call.objects.exists()
