"""What was sent is read strictly: nothing is guessed at, nothing clipped."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from training.bench import deeds
from training.bench.case import checks, faults_of, repairs, rig_of
from training.bench.exceptions import NotUnderstood

LISTS = deeds.Lists(faults_of("twin-60"), checks(), tuple(repairs()), ("right", "wrong"), rig_of("twin-60"))


@pytest.mark.parametrize(
    ("deed", "details", "read"),
    [
        ("ask", {}, {}),
        ("hand", {"do": "start"}, {"do": "start"}),
        ("wait", {}, {"until": "event"}),
        ("wait", {"until": "90.5"}, {"until": 90.5}),
        ("check", {"check": "pump-up"}, {"check": "pump-up", "place": "lp-gauge"}),
        ("check", {"check": "listen-run", "place": "lp-drain"}, {"check": "listen-run", "place": "lp-drain"}),
        ("pin", {"note": "3"}, {"note": 3}),
        ("suspect", {"fault": "ring-wear"}, {"fault": "ring-wear", "out": True, "why": ""}),
        ("safe", {"step": "bleed"}, {"step": "bleed"}),
        (
            "name",
            {"fault": "intake-reed-leak", "location": "cyl1", "confidence": "sure"},
            {"named": [{"fault": "intake-reed-leak", "location": "cyl1"}], "confidence": "sure"},
        ),
        (
            "name",
            {"fault": "belt-slack", "second": "drain-leaks", "confidence": "unsure"},
            {
                "named": [
                    {"fault": "belt-slack", "location": ""},
                    {"fault": "drain-leaks", "location": ""},
                ],
                "confidence": "unsure",
            },
        ),
        ("repair", {"repair": "belt"}, {"repair": "belt"}),
        ("say", {"statement": "right"}, {"statement": "right"}),
    ],
)
def test_details_are_read_as_they_are_written_in_the_log(deed, details, read):
    assert deeds.read(deed, details, LISTS) == read


@pytest.mark.parametrize(
    ("deed", "details", "words"),
    [
        ("chekc", {}, "no deed 'chekc' here. The nearest is 'check'"),
        ("void", {}, "no deed 'void'"),
        ("hand", {"do": "strat"}, "The nearest is 'start'"),
        ("hand", {"doo": "start"}, "The nearest is 'do'"),
        ("ask", {"who": "me"}, "takes no details"),
        ("check", {"check": "pump-pu"}, "The nearest is 'pump-up'"),
        ("check", {"check": "pump-up", "place": "lp-drian"}, "no place for .* 'lp-drian'"),
        ("check", {}, "Choose a check"),
        ("wait", {"until": "nan"}, "finite number"),
        ("wait", {"until": "inf"}, "finite number"),
        ("wait", {"until": True}, "must be a number"),
        ("wait", {"until": "soon"}, "'soon' is none"),
        ("wait", {"until": []}, "must be a number"),
        ("pin", {"note": "1.5"}, "by its number"),
        ("pin", {"note": 0}, "by its number"),
        ("suspect", {"fault": "ring-ware"}, "The nearest is 'ring-wear'"),
        ("suspect", {"fault": "ring-wear", "out": "maybe"}, "either out"),
        ("suspect", {"fault": "ring-wear", "why": "x" * 401}, "401 characters; 400 at most"),
        ("suspect", {"fault": "ring-wear", "why": 7}, "must be words"),
        ("suspect", {"fault": ["ring-wear"]}, "no suspect"),
        ("safe", {"step": "blead"}, "The nearest is 'bleed'"),
        ("name", {"fault": "belt-slack"}, "Choose a confidence"),
        ("name", {"fault": "intake-reed-leak", "confidence": "sure"}, "Say where it sits: cyl1, cyl2"),
        (
            "name",
            {"fault": "intake-reed-leak", "location": "cyl3", "confidence": "sure"},
            "The nearest is 'cyl",
        ),
        ("name", {"fault": "belt-slack", "location": "cyl1", "confidence": "sure"}, "leave it out"),
        ("name", {"fault": "belt-slack", "second": "belt-slack", "confidence": "sure"}, "named twice"),
        ("repair", {"repair": "bletl"}, "The nearest is 'belt'"),
        ("say", {"statement": "rihgt"}, "The nearest is 'right'"),
    ],
)
def test_what_means_nothing_is_refused_with_the_way_to_mend_it(deed, details, words):
    with pytest.raises(NotUnderstood, match=words) as refused:
        deeds.read(deed, details, LISTS)

    assert refused.value.status == 422


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=5,
)
KEYS = (
    "do",
    "until",
    "check",
    "place",
    "note",
    "fault",
    "out",
    "why",
    "step",
    "location",
    "second",
    "confidence",
)


@given(
    st.sampled_from((*deeds._READERS, "void", "")),
    st.dictionaries(st.sampled_from((*KEYS, "repair", "statement", "x")), json_values, max_size=4),
)
def test_anything_sent_is_read_or_refused_and_never_breaks(deed, details):
    with suppress(NotUnderstood):
        assert isinstance(deeds.read(deed, details, LISTS), dict)


@pytest.mark.parametrize("deed", [{"fault": "x" * 100_000}, {"fault": "ring-wear", "y" * 100_000: "1"}])
def test_a_very_long_name_is_quoted_by_its_beginning(deed):
    with pytest.raises(NotUnderstood) as refused:
        deeds.read("suspect", deed, LISTS)

    assert len(str(refused.value)) < 300
    assert "\N{HORIZONTAL ELLIPSIS}" in str(refused.value)


@pytest.mark.parametrize("why", ["a\x00b", "\x1b[2J"])
def test_words_that_a_database_cannot_keep_are_refused(why):
    with pytest.raises(NotUnderstood, match="control character"):
        deeds.read("suspect", {"fault": "ring-wear", "why": why}, LISTS)


def test_words_in_any_script_and_over_lines_are_kept():
    why = "Ventil\u00a0dicht \U0001f468\u200d\U0001f527\r\n\tsiehe Notiz 3"

    assert deeds.read("suspect", {"fault": "ring-wear", "why": why}, LISTS)["why"] == why
