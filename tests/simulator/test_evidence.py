"""Evidence is computed by doing the same again with another fault in the machine."""

import itertools

import pytest

from simulator import evidence
from simulator.checks import load_checks
from simulator.evidence import HEALTHY, NOT_TAKEN, SEVERITIES, Deed
from simulator.evidence import tables as rooms
from simulator.faults import BadFault, Injected
from simulator.session import Session
from tests.simulator.at_the_machine import FAULTS, RIG

SUSPECTS = ("check-valve-seep", "unloader-leaks-running", "switch-diaphragm-leak", "drain-leaks")
DEEDS = (
    Deed(0.0, "start"),
    Deed(5.0, "check", "listen-stop", "lp-unloader-port", "1"),
    Deed(300.0, "wait"),
    Deed(310.0, "check", "listen-run", "lp-unloader-port", "2"),
    Deed(600.0, "check", "drain-feel", "lp-drain", "3"),
    Deed(900.0, "stop"),
    Deed(901.0, "isolate"),
    Deed(902.0, "lock"),
    Deed(960.0, "check", "soap", "lp-switch-cover", "4"),
    Deed(1400.0, "check", "bleed-down", "lp-gauge", "5"),
)


@pytest.fixture(scope="module")
def table():
    return evidence.build_table(RIG, FAULTS, (HEALTHY, *SUSPECTS))


def test_variants_are_every_severity_at_every_location():
    assert evidence.variants(RIG, FAULTS, HEALTHY) == ((),)
    assert len(evidence.variants(RIG, FAULTS, "check-valve-seep")) == len(SEVERITIES)
    assert len(evidence.variants(RIG, FAULTS, "intake-reed-leak")) == 2 * len(SEVERITIES)
    assert evidence.variants(RIG, FAULTS, "motor-low-on-high") == ((Injected("motor-low-on-high"),),)


def test_an_unknown_suspect_names_the_nearest():
    with pytest.raises(BadFault, match="check-valve-seep"):
        evidence.variants(RIG, FAULTS, "check-valve-sepe")


def test_a_replay_gives_the_same_every_time():
    injected = [Injected("check-valve-seep", 0.65)]
    first, second = (evidence.replay(Session(RIG, FAULTS, injected, 4), DEEDS) for _ in range(2))

    assert first == second
    assert [outcome is None for outcome in first] == [deed.do != "check" for deed in DEEDS]
    assert first[1] == "psst-goes-on"


def test_a_check_that_the_state_forbids_is_not_taken_and_the_replay_goes_on():
    deeds = (Deed(0.0, "check", "belt-tension"), Deed(10.0, "check", "tank-gauge"))

    assert evidence.replay(Session(RIG, FAULTS, [], 1), deeds) == (NOT_TAKEN, "in-the-band")


def test_a_hand_that_is_kept_waiting_does_the_next_deed_at_once():
    session = Session(RIG, FAULTS, [], 1)
    evidence.replay(
        session, (Deed(0.0, "check", "listen-settled", "lp-drain"), Deed(1.0, "check", "tank-gauge"))
    )

    assert session.clock == pytest.approx((2.0 + 0.5) * 60.0)


def test_the_same_deeds_are_done_under_every_hypothesis():
    found = evidence.outcomes(RIG, FAULTS, DEEDS, (HEALTHY, "drain-leaks"))

    assert set(found) == {HEALTHY, "drain-leaks"}
    assert found[HEALTHY][()] == (
        None, "psst-then-silent", None, "usual-sound", "no-bubbles", None, None, None, "no-bubbles", "holds",
    )  # fmt: skip
    assert len(found["drain-leaks"]) == len(SEVERITIES)
    assert all(row[4] != "no-bubbles" for row in found["drain-leaks"].values())


def test_findings_part_the_truth_from_its_suspects_but_never_from_itself():
    truth = [Injected("check-valve-seep", 0.6)]
    seen = evidence.replay(Session(RIG, FAULTS, truth, 0), DEEDS)

    parted = evidence.separates(RIG, FAULTS, DEEDS, seen, (HEALTHY, "check-valve-seep", *SUSPECTS[1:]))

    assert parted["check-valve-seep"] == ()
    assert {s.check for s in parted[HEALTHY]} >= {"listen-stop", "bleed-down"}
    assert "listen-stop" in {s.check for s in parted["unloader-leaks-running"]}
    assert {s.check for s in parted["switch-diaphragm-leak"]} >= {"listen-stop", "soap"}
    for separation in itertools.chain.from_iterable(parted.values()):
        assert separation.seen not in separation.instead
        assert separation.seen in load_checks()[separation.check].outcomes


def test_nothing_seen_parts_nothing():
    seen = (None,) * len(DEEDS)

    assert evidence.separates(RIG, FAULTS, DEEDS, seen, SUSPECTS) == dict.fromkeys(SUSPECTS, ())


def test_the_table_holds_every_check_at_every_place_under_every_suspect(table):
    assert set(table.outcomes) == set(evidence.standard_checks(RIG))
    for (check, _), by_suspect in table.outcomes.items():
        assert set(by_suspect) == {HEALTHY, *SUSPECTS}
        known = {*load_checks()[check].outcomes, NOT_TAKEN}
        assert set(itertools.chain.from_iterable(by_suspect.values())) <= known
    assert all(minutes >= 0.0 for minutes in table.minutes.values())


def test_best_next_parts_what_it_says_and_is_cheapest_first(table):
    ranked = evidence.best_next(table, SUSPECTS)

    costs = [n.minutes / len(n.parts) for n in ranked]
    assert costs == sorted(costs)
    for following in ranked:
        for one, other in following.parts:
            assert not set(following.outcomes[one]) & set(following.outcomes[other])


def test_best_next_finds_listening_for_a_hiss_that_only_comes_while_pumping(table):
    ranked = evidence.best_next(table, ("check-valve-seep", "unloader-leaks-running"))

    assert ranked[0].minutes < 5.0
    assert ("listen-stop", "lp-unloader-port") in {(n.check, n.place) for n in ranked[:4]}


def test_one_suspect_alone_needs_no_further_check(table):
    assert evidence.best_next(table, ("drain-leaks",)) == ()


def test_a_suspect_is_worked_out_once_and_kept_between_starts(tmp_path, monkeypatch):
    monkeypatch.setattr(rooms, "_rows", {})
    told = []

    built = evidence.outcome_table(
        RIG, FAULTS, ("drain-leaks",), tmp_path, lambda done, of: told.append((done, of))
    )
    monkeypatch.setattr(rooms, "build_table", lambda *_, **__: pytest.fail("built again"))
    assert evidence.outcome_table(RIG, FAULTS, ("drain-leaks",), tmp_path) == built
    monkeypatch.setattr(rooms, "_rows", {})
    assert evidence.outcome_table(RIG, FAULTS, ("drain-leaks",), tmp_path) == built

    assert told == [(1, 1)]
    assert [path.suffix for path in tmp_path.iterdir()] == [".json"]


def test_another_suspect_is_put_beside_what_is_kept(tmp_path, monkeypatch):
    monkeypatch.setattr(rooms, "_rows", {})
    evidence.outcome_table(RIG, FAULTS, ("drain-leaks",), tmp_path)

    both = evidence.outcome_table(RIG, FAULTS, ("drain-leaks", "motor-low-on-high"), tmp_path)

    assert all(set(row) == {"drain-leaks", "motor-low-on-high"} for row in both.outcomes.values())
    assert len(list(tmp_path.iterdir())) == 2


def test_everything_a_rig_can_have_is_a_suspect_and_so_is_nothing_wrong():
    suspects = evidence.suspects_of(RIG, FAULTS)

    assert suspects[0] == HEALTHY
    assert {"ring-wear", "motor-low-on-high"} <= set(suspects)
    assert "pilot-drifted" not in suspects
