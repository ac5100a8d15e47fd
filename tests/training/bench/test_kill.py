"""Killed without warning, between two deeds or inside one: what was acknowledged is there, nothing is there twice."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import connections

from tests.factories.bench import begin
from tests.training.bench.kill_worker import PLAN
from training.bench import queries
from training.bench.case import Case
from training.bench.models import AttemptResult
from training.bench.replay import replay_afresh

ROOT = Path(settings.BASE)
# How long each worker lives after it has acknowledged so many deeds: within a deed wherever that falls.
KILLS = ((1, 0.0), (3, 0.02), (6, 0.05), (8, 0.4), (2, 0.1))


@pytest.fixture
def database_file(tmp_path, django_db_setup, django_db_blocker):
    """Point this process, and the workers it starts, at a database file of their own."""
    path = tmp_path / "killed.sqlite3"
    environment = os.environ | {
        "PUMPWRIGHT_DATABASE_URL": f"sqlite:///{path}",
        "PUMPWRIGHT_VAR": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": "tests.settings",
    }
    own = connections["default"]
    with django_db_blocker.unblock():
        # A database in memory lives as long as its connection, so that one is put aside and not closed.
        kept, memory, own.connection = dict(own.settings_dict), own.connection, None
        own.settings_dict.update(NAME=str(path))
        call_command("migrate", verbosity=0)
        yield path, environment
        own.close()
        own.settings_dict.clear()
        own.settings_dict.update(kept)
        own.connection = memory


def worker(environment, attempt):
    return subprocess.Popen(  # noqa: S603  our own interpreter and module
        [sys.executable, "-m", "tests.training.bench.kill_worker", str(attempt.public_id)],
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        text=True,
    )


def acknowledged(process, count):
    """Read up to `count` acknowledgements of deeds done afresh; fewer when the plan is at its end."""
    told = []
    while len([line for line in told if line.endswith(" 0")]) < count:
        line = process.stdout.readline().strip()
        if not line:
            break
        told.append(line)
    return told


def is_whole(attempt, told):
    """What was acknowledged is in the log once, in order, and replays to what was answered."""
    rows = list(attempt.entries.order_by("number").values_list("number", "key", "answer"))
    assert [number for number, *_ in rows] == list(range(1, len(rows) + 1))
    assert [key for _, key, _ in rows] == [key for key, *_ in PLAN[: len(rows)]]
    for line in told:
        key, number, _ = line.split()
        assert rows[int(number) - 1][1] == key
    job = replay_afresh(Case.read(attempt.case), queries.lines_of(attempt))
    assert [one.answer() for one in job.told] == [answer for *_, answer in rows]


def test_a_killed_worker_loses_nothing_and_repeats_nothing(database_file):
    path, environment = database_file
    attempt = begin()
    told = []

    for count, delay in KILLS:
        process = worker(environment, attempt)
        told += acknowledged(process, count)
        time.sleep(delay + random.Random(count).random() * 0.05)  # noqa: S311  only to fall inside a deed
        os.kill(process.pid, signal.SIGKILL)
        assert process.wait() in (-signal.SIGKILL, 0)
        told += [line for line in process.stdout.read().split("\n") if line.count(" ") == 2]
        process.stdout.close()
        is_whole(attempt, told)

    last = worker(environment, attempt)
    out, _ = last.communicate(timeout=300)
    assert last.returncode == 0
    is_whole(attempt, [*told, *out.splitlines()])
    assert attempt.entries.count() == len(PLAN)
    assert AttemptResult.objects.get(attempt=attempt).result == "competent"
    with sqlite3.connect(path) as look:
        assert look.execute("pragma integrity_check").fetchone() == ("ok",)
    look.close()
