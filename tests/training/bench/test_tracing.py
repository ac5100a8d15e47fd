"""The strip chart shows what the fixed instruments show, the receiver's own gauge with what is wrong with it."""

from types import SimpleNamespace

import pytest

from tests.simulator.any_machine import machine_of
from training.bench import tracing


def chart(session):
    return tracing.history(SimpleNamespace(session=session))["ch"]["tank"]


def bled(**changes):
    session = machine_of("twin-60", **changes)
    session.operate("open-drain")
    session.run(30.0)
    session.operate("shut-drain")
    return session


def test_a_stuck_needle_does_not_move_on_the_chart():
    assert max(chart(bled())) - min(chart(bled())) > 5.0
    assert len(set(chart(bled(gauge__tank__state="stuck")))) == 1


def test_a_shifted_needle_is_off_all_along_the_chart():
    sound, shifted = chart(bled()), chart(bled(gauge__tank__offset_psi=12.0))

    assert [b - a for a, b in zip(sound, shifted, strict=True)] == pytest.approx(
        [12.0] * len(sound), abs=0.11
    )


def test_a_choked_needle_goes_on_from_where_it_was():
    session = bled(gauge__tank__state="snubbed")
    so_far = chart(session)
    ahead = tracing.ahead(SimpleNamespace(session=session), 30.0)["ch"]["tank"]

    assert ahead[0] == pytest.approx(so_far[-1], abs=0.11)
    assert ahead[-1] < ahead[0] - 1.0
