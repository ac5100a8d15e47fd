"""Every fault on every rig that can have it, at three severities: the simulated machine shows what its entry claims.

The claims are the trade's (common practice, no source): see `expect` of each entry. They stand in the catalogue for
these tests alone; nothing in the machine reads them.
"""

import pytest

from simulator.expectations import EVERYTHING, unmet
from simulator.faults import Injected, load_faults
from simulator.figures import FIGURES
from simulator.rig import load_rigs
from simulator.trial import figures, healthy_figures

RIGS = load_rigs()
FAULTS = load_faults()
SEVERITIES = (0.1, 0.5, 1.0)


def severities(fault):
    return SEVERITIES if fault.graded else (None,)


CASES = [
    (fault, RIGS[rig], severity)
    for fault in FAULTS.values()
    for rig in fault.rigs
    for severity in severities(fault)
]


@pytest.mark.parametrize(
    ("fault", "rig", "severity"),
    CASES,
    ids=[
        f"{rig.slug}-{fault.slug}" + ("" if severity is None else f"-{severity:g}")
        for fault, rig, severity in CASES
    ],
)
def test_fault_shows_what_its_entry_claims(fault, rig, severity):
    place = next(iter(fault.locations_on(rig)), None)
    found = figures(rig, FAULTS, [Injected(fault.slug, severity, place)])

    missed = unmet(fault, rig, severity, found, healthy_figures(rig))

    at = "" if severity is None else f" at severity {severity:g}"
    assert not missed, "\n  ".join([f"{fault.slug} on {rig.slug}{at}:", *missed])


@pytest.mark.parametrize("fault", FAULTS.values(), ids=FAULTS)
def test_every_claim_of_an_entry_is_held_somewhere(fault):
    """A claim for a severity that no run has, or of a figure that none of the rigs has, would never be looked at."""
    assert fault.expect
    for claim in fault.expect:
        assert any(
            claim.is_made(rig, severity)
            and (claim.figure == EVERYTHING or claim.figure in healthy_figures(RIGS[rig])[claim.states[0]])
            for rig in fault.rigs
            for severity in severities(fault)
        ), f"{fault.slug}: {claim}"


# What an eye or an ear finds and no figure of the trial shows, on all rigs or on one.
BY_EYE_AND_EAR = {"belt-misaligned", "motor-wrong-frame", "oil-overfilled"}
NOT_ON = {("rod-bearing-knock", "engine-30"), ("oil-low", "engine-30"), ("overload-trips-early", "oilfree-6")}


@pytest.mark.parametrize("fault", FAULTS.values(), ids=FAULTS)
def test_a_sound_machine_would_not_pass_for_the_worst_of_it(fault):
    """Claims that a machine with nothing wrong meets as well would hold of any fault."""
    if fault.slug in BY_EYE_AND_EAR or any(claim.figure == EVERYTHING for claim in fault.expect):
        return
    for slug in fault.rigs:
        if (fault.slug, slug) not in NOT_ON:
            sound = healthy_figures(RIGS[slug])
            assert unmet(fault, RIGS[slug], severities(fault)[-1], sound, sound), slug


def test_every_figure_is_one_that_some_rig_has():
    had = {
        (state, name)
        for rig in RIGS.values()
        for state, read in healthy_figures(rig).items()
        for name in read
    }

    assert had == {(state, name) for state, known in FIGURES.items() for name in known}
