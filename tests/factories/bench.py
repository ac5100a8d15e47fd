"""An attempt just begun; later states are reached by the real deeds."""

from datetime import timedelta
from itertools import count

from tests.factories.cases import CallFactory
from tests.factories.people import MONDAY, MemberFactory
from training.bench import actions

SEED = 7
_keys = count(1)


def begin(call="longer-than-tea", learner=None, seed=SEED):
    """Open an attempt on a call of the fixtures."""
    return actions.open_attempt(
        learner=learner or MemberFactory(), call=CallFactory(slug=call), now=MONDAY, seed=seed
    )


def act(attempt, deed, key=None, at=None, **details):
    """Do one deed now on the rig's clock."""
    number = next(_keys)
    return actions.act(
        attempt=attempt,
        key=key or f"key-{number}",
        at=at,
        deed=deed,
        details=details,
        now=MONDAY + timedelta(seconds=number),
    )


def check(attempt, name):
    """Take one check written as in the call book: "listen-run:lp-drain"."""
    slug, _, place = name.partition(":")
    return act(attempt, "check", check=slug, place=place)


def make_safe(attempt):
    """Do the steps of Make safe that do not hold yet."""
    for step in ("stop", "isolate", "lock", "bleed", "vent", "try"):
        act(attempt, "safe", step=step)


def work_to_the_end(attempt, path=None, repair=None, statement=None):
    """Do a call by its best path: check, name, mend, prove, tell, close."""
    call = attempt.call
    for name in call.best_path if path is None else path:
        check(attempt, name)
    true = call.faults[0]
    act(attempt, "name", fault=true["fault"], location=true.get("location", ""), confidence="sure")
    return finish(attempt, repair, statement)


def finish(attempt, repair, statement=None):
    """Mend, prove, tell and close after the naming."""
    act(attempt, "repair", repair=repair)
    act(attempt, "proof")
    right = next(row["slug"] for row in attempt.call.statements if row["right"])
    act(attempt, "say", statement=statement or right)
    return act(attempt, "close")
