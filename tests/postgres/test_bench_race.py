"""Two at once: the database lets each deed happen once, in one order; on PostgreSQL and on SQLite in a file."""

import json
import os
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit
from uuid import uuid4

import psycopg
import pytest
from django.conf import settings

ROOT = Path(settings.BASE)


@pytest.fixture
def postgres(postgres_url):
    """A database of its own on the server, gone afterwards."""
    name = f"pumpwright_race_{uuid4().hex[:12]}"
    with psycopg.connect(postgres_url, autocommit=True) as server:
        server.execute(f'CREATE DATABASE "{name}"')
        yield urlunsplit(urlsplit(postgres_url)._replace(path=f"/{name}"))
        server.execute(f'DROP DATABASE "{name}" WITH (FORCE)')


def run(database, tmp_path, *command):
    environment = os.environ | {
        "PUMPWRIGHT_DATABASE_URL": database,
        "PUMPWRIGHT_VAR": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": "tests.settings",
    }
    done = subprocess.run(  # noqa: S603  our own interpreter and modules
        [sys.executable, *command],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.postgres
def test_deeds_sent_at_once_happen_once_and_in_one_order_on_postgresql(postgres, tmp_path):
    races_happen_once(postgres, tmp_path)


def test_deeds_sent_at_once_happen_once_and_in_one_order_on_sqlite(tmp_path):
    races_happen_once(f"sqlite:///{tmp_path / 'race.sqlite3'}", tmp_path)


def races_happen_once(database, tmp_path):
    run(database, tmp_path, "manage.py", "migrate", "--verbosity", "0")
    found = json.loads(run(database, tmp_path, "-m", "tests.postgres.race"))

    same = found["same key"]
    assert {(number, words) for number, _, words in same} == {(1, same[0][2])}
    assert sorted(repeated for _, repeated, _ in same) == [False] + [True] * 7

    assert sorted(number for number, *_ in found["two keys"]) == [2, 3]

    moment = found["two keys at one moment"]
    assert moment.count("ClockRefused") == 1
    assert [one[0] for one in moment if one != "ClockRefused"] == [4]

    assert (found["openings"], found["attempts"]) == (1, 1)

    assert found["closings"].count("AttemptClosed") == 1
    assert found["results"] == 1
    assert found["numbers"] == list(range(1, len(found["numbers"]) + 1))
    assert len(set(found["keys"])) == len(found["keys"])
