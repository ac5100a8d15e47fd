"""Claims of a fault's entry: read with every key checked, and held against figures in words."""

import math
from types import SimpleNamespace

import pytest

from simulator.components.spec import BadSpec
from simulator.expectations import read_expectations, unmet
from simulator.figures import FIGURES, PLACES, STATES, alike
from simulator.trace import CHANNELS, SOUND_PLACES

RIG = SimpleNamespace(slug="twin-60")
SOUND = {
    "pumping": {"pump_up": 340.0, "amps": 13.8, "stops": "yes", "leak:lp-drain": 0.0},
    "just-stopped": {"vent_time": 2.0},
    "settled": {"receiver_fall": 1.3},
    "restart": {"outcome": "starts"},
}


def claim(**table):
    return {"state": "pumping", "figure": "pump_up", **table}


def misses(table, severity=0.5, **found):
    """What a machine that differs from the sound one in some figures while pumping leaves unmet."""
    fault = SimpleNamespace(expect=read_expectations([table], "faults: 'worn'"))
    return unmet(fault, RIG, severity, {**SOUND, "pumping": {**SOUND["pumping"], **found}}, SOUND)


@pytest.mark.parametrize(
    ("table", "told"),
    [
        (claim(ration=[1, 2]), "unknown key 'ration'. Did you mean 'ratio'?"),
        ({"figure": "pump_up", "same": True}, "'state' is missing"),
        ({"state": "pumping", "same": True}, "'figure' is missing"),
        (claim(state="pumpin", same=True), "no state is called 'pumpin'. Did you mean 'pumping'?"),
        (claim(figure="pumpup", same=True), "'pumping' has no figure 'pumpup'. Did you mean 'pump_up'?"),
        (claim(figure="leak:lp-drian", same=True), "Did you mean 'leak:lp-drain'?"),
        (claim(figure="outcome", same=True), "'pumping' has no figure 'outcome'"),
        (claim(), "give one of ratio, change, value, is, same and no other; there is none"),
        (claim(ratio=[1, 2], same=True), "there is ratio, same"),
        (claim(ratio=1.2), "is not a pair of numbers. Write it as [1.2, 3.0]"),
        (claim(ratio=[1.2]), "is not a pair of numbers"),
        (claim(ratio=[1.2, "inf"]), "is not a pair of numbers"),
        (claim(ratio=[math.nan, 2.0]), "is not a pair of numbers"),
        (claim(ratio=[3.0, 1.2]), "the lower limit 3 is above the upper 1.2"),
        (claim(same=False), "write same = true or leave it out"),
        (claim(**{"is": "yes"}), "pump_up is a number"),
        (claim(figure="stops", ratio=[1, 2]), 'stops is a word; write is = "yes"'),
        (claim(figure="stops", **{"is": "nope"}), "stops is never 'nope'"),
        (claim(figure="stops", **{"is": ["yes", "maybe"]}), "stops is never 'maybe'"),
        (claim(same=True, severity=[0.5, 1.5]), "does not lie between 0 and 1"),
        (claim(same=True, severity=0.5), "is not a pair of numbers"),
        (claim(same=True, rigs="twin-60"), "is not a list of slugs"),
        (claim(same=True, rigs=["twin-6"]), "the fault is not one of rig 'twin-6'. Did you mean 'twin-60'?"),
        (claim(figure="everything", ratio=[1, 2]), "only same = true can be claimed"),
    ],
)
def test_a_claim_that_cannot_be_held_is_refused_with_its_place_and_the_way_to_mend_it(table, told):
    with pytest.raises(BadSpec) as refusal:
        read_expectations([claim(same=True), table], "faults: 'worn'", ["twin-60"])

    assert str(refusal.value).startswith("faults: 'worn': expect 2")
    assert told in str(refusal.value)


@pytest.mark.parametrize(
    ("table", "found", "met"),
    [
        (claim(ratio=[1.2, 3.0]), {"pump_up": 510.0}, True),
        (claim(ratio=[1.2, 3.0]), {"pump_up": 360.0}, False),
        (claim(ratio=[1.2, math.inf]), {"pump_up": math.inf}, True),
        (claim(ratio=[1.2, 3.0]), {"pump_up": math.inf}, False),
        (claim(change=[30.0, 60.0]), {"pump_up": 380.0}, True),
        (claim(change=[30.0, 60.0]), {"pump_up": 340.0}, False),
        (claim(change=[-math.inf, -10.0]), {"pump_up": 340.0}, False),
        (claim(value=[300.0, 350.0]), {"pump_up": 340.0}, True),
        (claim(same=True), {"pump_up": 349.0}, True),
        (claim(same=True), {"pump_up": 360.0}, False),
        (claim(same=True), {"pump_up": math.inf}, False),
        (claim(figure="leak:lp-drain", same=True), {"leak:lp-drain": 0.7}, True),
        (claim(figure="leak:lp-drain", same=True), {"leak:lp-drain": 7.0}, False),
        (claim(figure="leak:lp-drain", ratio=[2.0, 9.0]), {"leak:lp-drain": 7.0}, False),
        (claim(figure="stops", **{"is": "no"}), {"stops": "no"}, True),
        (claim(figure="stops", **{"is": "no"}), {}, False),
        (claim(figure="stops", **{"is": ["no", "yes"]}), {}, True),
        (claim(figure="interstage", value=[30.0, 50.0]), {}, True),  # a rig of one stage has none
        ({"figure": "everything", "same": True}, {}, True),
        ({"figure": "everything", "same": True}, {"amps": 15.0}, False),
        ({"state": "settled", "figure": "everything", "same": True}, {"amps": 15.0}, True),
    ],
)
def test_a_claim_is_met_or_not(table, found, met):
    assert (misses(table, **found) == []) is met


def test_a_claim_is_made_where_it_says_so():
    late = claim(ratio=[2.0, 3.0], severity=[0.4, 1.0])
    elsewhere = claim(ratio=[2.0, 3.0], rigs=["single-20"])

    assert misses(late, severity=0.1) == []
    assert misses(late, severity=0.5) != []
    assert misses(late, severity=None) != []
    assert misses(elsewhere) == []


def test_a_miss_says_what_came_out_and_what_was_expected():
    assert misses(claim(ratio=[1.2, 3.0]), pump_up=374.0) == [
        "pumping pump_up: 374 s against 340 s on a sound machine, that is 1.1 times; expected 1.2 to 3 times"
    ]
    assert misses(claim(figure="amps", change=[2.0, math.inf]), amps=14.8) == [
        "pumping amps: 14.8 A against 13.8 A on a sound machine, that is +1 A; expected at least +2 A"
    ]
    assert misses(claim(figure="stops", **{"is": "no"})) == ["pumping stops: 'yes', expected no"]
    assert misses(claim(same=True), pump_up=math.inf) == [
        "pumping pump_up: never, expected as on a sound machine, 340 s"
    ]


def test_a_figure_that_could_not_be_read_is_a_miss():
    fault = SimpleNamespace(
        expect=read_expectations([{"state": "settled", "figure": "receiver_fall", "same": True}], "x")
    )
    [miss] = unmet(fault, RIG, None, {**SOUND, "settled": {}}, SOUND)

    assert "could not be read" in miss


def test_every_place_that_can_leak_has_a_figure():
    assert {f"leak:{place}" for place in PLACES} == {
        name for name in CHANNELS if name.startswith("leak:")
    } | set(SOUND_PLACES)


def test_every_state_has_figures_that_are_numbers_or_words():
    assert set(FIGURES) == set(STATES)
    assert all(bool(one.kind) != bool(one.words) for state in STATES for one in FIGURES[state].values())


def test_readers_differ_by_less_than_their_error():
    assert alike("pumping", "pump_up", 341.0, 340.0)
    assert alike("settled", "receiver_fall", 2.9, 1.0)
    assert not alike("settled", "receiver_fall", 3.1, 1.0)
    assert alike("pumping", "pump_up", math.inf, math.inf)
