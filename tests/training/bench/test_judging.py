"""What findings are worth: weighed on the machine with every other fault in it."""

import pytest

from simulator.evidence import Deed
from simulator.faults import Injected
from training.bench import judging
from training.bench.case import Case
from training.bench.job import Line

SEEP = Case.begin("twin-60", [Injected("check-valve-seep", 0.65)], 3)
IN_QUESTION = frozenset(
    {"switch-diaphragm-leak", "unloader-leaks-running", "drain-leaks", "ring-wear", "nofault-settle-drop"}
)


def weighed(lines):
    """Weigh these lines against the suspects in question, and the truth."""
    return judging.evidence(SEEP, lines, IN_QUESTION | SEEP.true_faults)


NOTHING = judging.Evidence({}, 0, IN_QUESTION)


def checks_of(*wanted):
    pairs = [one.partition(":") for one in wanted]
    return tuple(
        Line(number, 0.0, "check", {"check": check, "place": place})
        for number, (check, _, place) in enumerate(pairs, start=1)
    )


def test_no_finding_rules_nothing_out():
    assert weighed(()) == NOTHING


def test_a_look_at_the_relief_rules_nothing_out_and_shows_nothing():
    found = weighed(checks_of("look:lp-tank-relief"))

    assert found == NOTHING


def test_a_blow_that_goes_on_after_the_stop_leaves_only_the_check_valve():
    found = weighed(checks_of("look:lp-tank-relief", "listen-stop:lp-unloader-port"))

    assert set(found.ruled_out) == IN_QUESTION
    assert set(found.ruled_out.values()) == {2}
    assert found.shows_fault == 2


def test_the_true_fault_is_never_ruled_out():
    assert "check-valve-seep" not in weighed(checks_of("drain-feel:lp-drain")).ruled_out


def test_what_was_not_carried_out_is_no_evidence():
    unsafe = checks_of("soap:lp-switch-cover")

    assert weighed(unsafe) == NOTHING


def test_findings_after_the_naming_do_not_count():
    name = Line(1, 0.0, "name", {"named": [{"fault": "belt-slack", "location": ""}], "confidence": "sure"})
    later = Line(2, 0.0, "check", {"check": "listen-stop", "place": "lp-unloader-port"})

    assert weighed((name, later)) == NOTHING


def test_more_findings_never_rule_less_out():
    some = weighed(checks_of("pump-up:lp-gauge"))
    more = weighed(checks_of("pump-up:lp-gauge", "drain-feel:lp-drain"))

    assert some.ruled_out.items() <= more.ruled_out.items()


def test_a_mark_is_weighed_before_the_database_is_locked(monkeypatch):
    lines = checks_of("listen-stop:lp-unloader-port")
    name = Line(2, 120.0, "name", {"named": [{"fault": "belt-slack", "location": ""}], "confidence": "sure"})
    weighed(lines)
    monkeypatch.setattr(judging, "redo", lambda *_: pytest.fail("weighed twice"))

    assert weighed((*lines, name)).shows_fault == 1


def test_a_check_that_could_not_be_taken_on_a_suspects_machine_settles_nothing():
    not_made_safe = Deed(0.0, "check", "capacitor", "motor", "line-1")

    assert judging._parted(SEEP, [not_made_safe], ["start-open"], [()]) is None
