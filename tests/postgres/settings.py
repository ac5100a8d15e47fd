"""The tests' settings on the PostgreSQL server that PUMPWRIGHT_TEST_POSTGRES_URL names."""

from tests.settings import *  # noqa: F403  the same settings on another database
from tests.settings import VAR
from training import environment

DATABASES = {
    "default": environment.database("PUMPWRIGHT_TEST_POSTGRES_URL", default=VAR / "never-used.sqlite3")
    | {"CONN_MAX_AGE": 0}
}
