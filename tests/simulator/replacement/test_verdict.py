"""A judgement is as bad as its worst reason, and never silent."""

import json

import pytest

from simulator.replacement.verdict import Figure, Reason, Standing, Verdict, judge, plain


def reason(verdict, code="volts", **more):
    told = {"change": "turn the straps"} if verdict is Verdict.FITS_WITH_CHANGES else {}
    told |= {"question": "What does the meter read?"} if verdict is Verdict.UNANSWERED else {}
    return Reason(
        code, verdict, "volts", "So it is.", "So it must be.", "a book", Standing.PUBLISHED, **told | more
    )


def test_names_on_the_wire_run_from_mildest_to_worst():
    assert [verdict.value for verdict in sorted(Verdict, key=lambda verdict: verdict.danger)] == [
        "fits",
        "fits-with-changes",
        "unanswered",
        "does-not-fit",
        "unsafe",
    ]


def test_judgement_is_the_worst_reason_and_shows_it_first():
    judgement = judge("motor", [reason(verdict) for verdict in Verdict])

    assert judgement.verdict is Verdict.UNSAFE
    assert [one.verdict.danger for one in judgement.reasons] == [4, 3, 2, 1, 0]


def test_missing_data_is_worse_than_fits_and_asks():
    judgement = judge("motor", [reason(Verdict.FITS), reason(Verdict.UNANSWERED)])

    assert judgement.verdict is Verdict.UNANSWERED
    assert judgement.questions == ("What does the meter read?",)


def test_nothing_compared_is_no_fit():
    with pytest.raises(ValueError, match="without a single reason"):
        judge("motor", [])


@pytest.mark.parametrize("verdict", [Verdict.FITS_WITH_CHANGES, Verdict.UNANSWERED])
def test_reason_says_what_to_change_or_ask(verdict):
    with pytest.raises(ValueError, match=r"which|asks nothing"):
        reason(verdict, change="", question="")


@pytest.mark.parametrize("part", ["code", "line", "statement", "rule", "source"])
def test_reason_has_line_statement_rule_and_source(part):
    whole = {
        "code": "volts",
        "verdict": Verdict.FITS,
        "line": "volts",
        "statement": "So it is.",
        "rule": "So it must be.",
        "source": "a book",
        "standing": Standing.PUBLISHED,
    }

    with pytest.raises(ValueError, match=f"'{part}' is empty"):
        Reason(**whole | {part: ""})


def test_figure_is_shown_in_both_systems():
    figure = Figure("power", 2237.0, "power")

    assert (figure.shown("us"), figure.shown("metric")) == ("3.00 hp", "2.24 kW")
    assert Figure("service factor", 1.15).shown("us") == "1.15"


def test_plain_form_is_json_with_si_figures():
    judgement = judge("motor", [reason(Verdict.FITS, figures=(Figure("power", 2237.0, "power"),))], ["3 hp"])

    told = json.loads(json.dumps(plain(judgement)))

    assert told["verdict"] == "fits"
    assert told["reasons"][0]["figures"] == [{"title": "power", "value": 2237.0, "quantity": "power"}]
    assert told["parts_card"] == ["3 hp"]
