"""What is never done as a test: refused wherever it is prohibited, with what it does and what to do instead.

Order of work and the acts themselves after public safety rules (29 CFR 1910.147, 1910.169, 1910.242 and 1910.333,
from memory) and common practice, no source.
"""

import pytest

from simulator.evidence import made_safe
from simulator.hazards import Prohibited
from simulator.prohibited import ACTS, UnknownAct, check_may_try
from tests.simulator.any_machine import RIGS, machine_of

# Allowed once the machine is locked out, or locked out and at zero and cold.
WHEN_LOCKED = ("spin-by-hand", "soap-live-switch", "trust-the-lever")
WHEN_AT_ZERO = ("open-under-pressure", "tighten-under-pressure")
NEVER = [act for act in ACTS if act not in (*WHEN_LOCKED, *WHEN_AT_ZERO)]


@pytest.mark.parametrize("slug", RIGS)
@pytest.mark.parametrize("act", ACTS)
def test_no_act_is_let_pass_on_a_machine_that_can_start(slug, act):
    with pytest.raises(Prohibited) as refusal:
        check_may_try(machine_of(slug), act)

    assert ACTS[act].harm in str(refusal.value)
    assert ACTS[act].instead in str(refusal.value)


@pytest.mark.parametrize("slug", RIGS)
@pytest.mark.parametrize("act", NEVER)
def test_some_are_not_done_on_the_safest_machine_either(slug, act):
    with pytest.raises(Prohibited, match="never"):
        check_may_try(made_safe(machine_of(slug), "S3"), act)


@pytest.mark.parametrize("slug", RIGS)
@pytest.mark.parametrize("act", WHEN_LOCKED)
def test_what_only_a_live_machine_makes_deadly_is_work_once_it_is_locked_out(slug, act):
    check_may_try(made_safe(machine_of(slug), "S2"), act)


@pytest.mark.parametrize("slug", RIGS)
@pytest.mark.parametrize("act", WHEN_AT_ZERO)
def test_a_joint_waits_for_zero_and_then_is_work(slug, act):
    with pytest.raises(Prohibited):
        check_may_try(made_safe(machine_of(slug), "S2"), act)
    check_may_try(made_safe(machine_of(slug), "S3"), act)


def test_that_it_would_have_gone_well_once_is_said_and_makes_it_no_better():
    at_zero = made_safe(machine_of("twin-60"), "S3")
    at_zero.operate("unlock")

    with pytest.raises(Prohibited, match="gone well this once"):
        check_may_try(at_zero, "open-under-pressure")


def test_an_unknown_act_names_the_nearest():
    with pytest.raises(UnknownAct, match="Did you mean 'spin-by-hand'"):
        check_may_try(machine_of("twin-60"), "spin-by-hands")
