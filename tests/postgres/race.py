"""Threads that race on one attempt, on the database that PUMPWRIGHT_DATABASE_URL names; prints what came of it.

Run by `test_bench_race.py` as a process of its own, so that every thread has its own real connection.
"""

import json
import os
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from threading import Barrier

import django

MONDAY = datetime(2026, 11, 23, 8, tzinfo=UTC)


def at_once(*deeds):
    """Run all deeds at the same moment, each in a thread with its own connection."""
    from django.db import connections  # noqa: PLC0415  needs Django set up

    gate = Barrier(len(deeds))

    def run(deed):
        try:
            gate.wait(timeout=60)
            return deed()
        finally:
            connections.close_all()

    with ThreadPoolExecutor(len(deeds)) as pool:
        return [future.result(timeout=300) for future in [pool.submit(run, deed) for deed in deeds]]


def sender(attempt):
    """Return a function that makes a deed ready to be sent, answering with what came of it."""
    from training.bench import actions  # noqa: PLC0415
    from training.bench.exceptions import Refusal  # noqa: PLC0415

    def send(key, deed, at=None, **details):
        def run():
            try:
                outcome = actions.act(attempt=attempt, key=key, at=at, deed=deed, details=details, now=MONDAY)
            except Refusal as refusal:
                return type(refusal).__name__
            return [outcome.number, outcome.repeated, outcome.words]

        return run

    return send


def main():
    """Race, and print the findings as JSON."""
    from tests.factories.bench import begin  # noqa: PLC0415
    from tests.factories.cases import CallFactory  # noqa: PLC0415
    from training.bench import actions  # noqa: PLC0415
    from training.bench.models import Attempt, AttemptResult  # noqa: PLC0415

    attempt = begin()
    send = sender(attempt)
    found = {"same key": at_once(*[send("same", "check", check="intake-feel")] * 8)}
    found["two keys"] = at_once(
        send("one", "check", check="breather-feel"), send("two", "check", check="breather-feel")
    )
    clock = attempt.entries.order_by("-number").first().ended
    found["two keys at one moment"] = at_once(
        send("three", "check", clock, check="tank-gauge"), send("four", "check", clock, check="tank-gauge")
    )
    other = CallFactory(slug="hot-paint-smell")

    def open_it():
        return actions.open_attempt(learner=attempt.learner, call=other, now=MONDAY).pk

    found["openings"] = len(set(at_once(*[open_it] * 4)))
    found["attempts"] = Attempt.objects.filter(call=other).count()

    send("name", "name", fault="intake-reed-leak", location="cyl2", confidence="sure")()
    for key, deed, details in (
        ("repair", "repair", {"repair": "none"}),
        ("proof", "proof", {}),
        ("say", "say", {"statement": "reed"}),
    ):
        send(key, deed, **details)()
    found["closings"] = at_once(send("close-1", "close"), send("close-2", "close"))
    found["results"] = AttemptResult.objects.filter(attempt=attempt).count()
    found["numbers"] = list(attempt.entries.order_by("number").values_list("number", flat=True))
    found["keys"] = list(attempt.entries.order_by("number").values_list("key", flat=True))
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    django.setup()
    main()
