"""An attempt just begun; later states are reached by the real deeds."""

from datetime import timedelta
from itertools import count

from simulator.replacement.air_parts import fitted_on
from tests.factories.cases import CallFactory
from tests.factories.people import MONDAY, MemberFactory
from training.bench import actions
from training.bench.case import checks, faults_of, repairs, rig_of
from training.bench.exceptions import Refusal

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


def safely(attempt, deed, *details, **more):
    """Do it, or nothing where it does not apply any more."""
    try:
        return act(attempt, deed, *details, **more)
    except Refusal:
        return None


def make_safe(attempt, needed="S3"):
    """Do the steps of Make safe that do not hold yet."""
    for step in ("stop", "isolate", "lock", "bleed", "vent", "try")[: 3 if needed == "S2" else 6]:
        safely(attempt, "safe", step=step)


def restore(attempt):
    """Bring a machine that was made safe back to power."""
    for do in ("shut-drain", "shut-head-vent", "unlock", "restore"):
        safely(attempt, "hand", do=do)


def check_safely(attempt, name):
    """Take one check in the state it asks for, as a careful hand does."""
    slug, _, place = name.partition(":")
    needed = checks()[slug].safe
    if needed in ("S2", "S3") or (place == "lp-switch-cover" and slug == "soap"):
        make_safe(attempt, "S3" if needed == "S3" else "S2")
    else:
        restore(attempt)
    return act(attempt, "check", check=slug, place=place)


def work_to_the_end(attempt, path=None, repair=None, statement=None):
    """Do a call by its best path: check, name, mend, prove, tell, close."""
    for name in attempt.call.best_path if path is None else path:
        check_safely(attempt, name)
    name_the_truth(attempt)
    return finish(attempt, *([repair] if repair else right_repairs(attempt)), statement=statement)


def right_repairs(attempt):
    """The right repair of each true fault."""
    return [
        next(one.slug for one in repairs().values() if true["fault"] in one.right_for)
        for true in attempt.call.faults
    ]


def name_the_truth(attempt, confidence="sure"):
    """Write what is truly wrong in ink; where a fault may sit anywhere, the first place is said."""
    details = {}
    for true, fault, location in zip(
        attempt.call.faults, ("fault", "second"), ("location", "second_location"), strict=False
    ):
        places = faults_of(attempt.call.rig)[true["fault"]].locations_on(rig_of(attempt.call.rig))
        details[fault] = true["fault"]
        details[location] = true.get("location") or (places[0] if places else "")
    return act(attempt, "name", confidence=confidence, **details)


def write_ticket(attempt):
    """Ask for the part that came on the rig, where the call needs one."""
    part = attempt.call.part
    if part:
        fitted = fitted_on(attempt.call.rig, part["kind"], part.get("guards", "")).fitted
        lines = {f"new.{line.replace(' ', '-')}": value for line, value in fitted.items()}
        act(attempt, "ticket", kind=part["kind"], **lines)


def finish(attempt, *chosen, statement=None, ticket=True):
    """Ask for the part, mend in the state each repair asks for, prove, tell and close after the naming."""
    if ticket:
        write_ticket(attempt)
    for repair in chosen:
        needed = repairs()[repair].safe
        if needed != "S0":
            make_safe(attempt, needed)
        act(attempt, "repair", repair=repair)
    act(attempt, "proof")
    right = next(row["slug"] for row in attempt.call.statements if row["right"])
    act(attempt, "say", statement=statement or right)
    return act(attempt, "close")
