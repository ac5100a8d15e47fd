"""The tests that write to the database, once more on a real PostgreSQL."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
WRITING_TESTS = (
    "tests/postgres/races.py",
    "tests/training/people",
    "tests/training/papers/test_actions.py",
    "tests/training/papers/test_queries.py",
    "tests/training/papers/test_drawer.py",
    "tests/training/front",
)


@pytest.mark.postgres
@pytest.mark.parametrize("tests", WRITING_TESTS)
def test_same_tests_pass_on_postgres(tests):
    done = subprocess.run(  # noqa: S603  our own tests
        [
            sys.executable,
            "-m",
            "pytest",
            "--ds=tests.postgres.settings",
            "-p",
            "no:cacheprovider",
            "-x",
            tests,
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]
