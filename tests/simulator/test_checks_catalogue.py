"""The fixtures of checks are read key by key, and what is wrong in them is said with the nearest right word."""

from pathlib import Path

import pytest

from simulator.checks import BadCheck, UnknownCheck, find_check, load_checks
from simulator.checks.taking import PROTOCOLS

GOOD = """
[places]
belt = "Belt"
[[check]]
slug = "look"
title = "Look"
tool = "look"
minutes = 1
safe = "S0"
places = ["belt"]
instrument = "eyes"
caution = "Hands off."
done = "Looks."
stop = []
[check.outcomes]
nothing-odd = "Nothing odd."
"""


def written(tmp_path: Path, text: str) -> Path:
    (tmp_path / "checks.toml").write_text(text, encoding="utf-8")
    return tmp_path


def test_every_check_has_a_protocol_and_every_protocol_a_check():
    assert set(load_checks()) == set(PROTOCOLS)


def test_every_tool_of_the_roll_has_a_check():
    assert {check.tool for check in load_checks().values()} == {
        "look", "listen", "feel", "soap", "clamp", "volts", "probe", "time",
    }  # fmt: skip


def test_places_outcomes_and_cautions_are_written_for_each_check():
    for check in load_checks().values():
        assert check.places, check.slug
        # What is told is the call's own text: there is nothing else an interview could find.
        assert len(check.outcomes) >= (1 if check.slug == "interview" else 2), check.slug
        assert check.caution.endswith("."), check.slug
        assert check.stop <= set(check.outcomes), check.slug


def test_no_outcome_is_worded_twice_within_a_check():
    for check in load_checks().values():
        assert len(set(check.outcomes.values())) == len(check.outcomes), check.slug


@pytest.mark.parametrize(
    ("right", "wrong", "complaint"),
    [
        ('tool = "look"', 'tool = "lok"', "unknown 'lok'. Did you mean 'look'?"),
        ("minutes = 1", "minuets = 1", "unknown 'minuets'. Did you mean 'minutes'?"),
        ("minutes = 1", "minutes = 0", "'minutes' is 0; it must be above zero."),
        ("minutes = 1", 'minutes = "one"', "'minutes' is 'one', which is of the wrong kind."),
        ("minutes = 1", "minutes = nan", "'minutes' is nan; it must be above zero."),
        ('safe = "S0"', 'safe = "S9"', "unknown 'S9'."),
        ('["belt"]', '["bell"]', "unknown 'bell'. Did you mean 'belt'?"),
        ('["belt"]', "[]", "needs at least one place"),
        ("stop = []", 'stop = ["nothing-od"]', "Did you mean 'nothing-odd'?"),
        ('caution = "Hands off."', "", "'caution' is missing."),
        ("stop = []", 'stop = []\nneeds = ["belts"]', "unknown 'belts'. Did you mean 'belt'?"),
        (
            'belt = "Belt"',
            'belt = { title = "Belt", needs = ["bel"] }',
            "unknown 'bel'. Did you mean 'belt'?",
        ),
        ('belt = "Belt"', "belt = { needs = [] }", "needs a title"),
        ('[places]\nbelt = "Belt"', '[place]\nbelt = "Belt"', "unknown 'place'. Did you mean 'places'?"),
    ],
)
def test_a_wrong_entry_is_refused_with_the_way_to_mend_it(tmp_path, right, wrong, complaint):
    assert right in GOOD

    with pytest.raises(BadCheck) as refusal:
        load_checks(written(tmp_path, GOOD.replace(right, wrong)))

    assert complaint in str(refusal.value)


def test_a_check_twice_is_refused(tmp_path):
    twice = GOOD + GOOD.split("belt = ")[1].split("\n", 1)[1]

    with pytest.raises(BadCheck, match="is there twice"):
        load_checks(written(tmp_path, twice))


def test_an_unknown_check_names_the_nearest():
    with pytest.raises(UnknownCheck, match="Did you mean 'pump-up'"):
        find_check("pumpup")


def test_an_unknown_place_names_the_places_there_are():
    with pytest.raises(UnknownCheck, match="can be done at: lp-gauge"):
        find_check("pump-up").place("belt")


def test_an_empty_place_is_the_first_one():
    assert find_check("listen-stop").place("").slug == "lp-unloader-port"
