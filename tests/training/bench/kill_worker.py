"""A worker that is killed: does a list of deeds on one attempt, saying each when the database has it.

Run by `test_kill.py` as a process of its own: `python -m tests.training.bench.kill_worker PUBLIC_ID`.
"""

import os
import sys
from datetime import UTC, datetime

import django

PLAN = (
    ("k01", "ask", {}),
    ("k02", "hand", {"do": "start"}),
    ("k03", "check", {"check": "pump-up"}),
    ("k04", "check", {"check": "intake-feel"}),
    ("k05", "suspect", {"fault": "ring-wear", "out": True, "why": "no puffs"}),
    ("k06", "check", {"check": "breather-feel"}),
    ("k07", "check", {"check": "filter-out"}),
    ("k08", "pin", {"note": 4}),
    ("k09", "name", {"fault": "intake-reed-leak", "location": "cyl2", "confidence": "sure"}),
    *((f"k1{number}", "safe", {"step": step}) for number, step in enumerate(("isolate", "lock", "bleed", "vent", "try"))),
    ("k20", "repair", {"repair": "valve-plate"}),
    ("k21", "proof", {}),
    ("k22", "say", {"statement": "reed"}),
    ("k23", "close", {}),
)  # fmt: skip


def main(public_id):
    """Send the whole plan from its beginning, as a page does that does not know what has arrived."""
    from training.bench import actions  # noqa: PLC0415  needs Django set up
    from training.bench.models import Attempt  # noqa: PLC0415

    attempt = Attempt.objects.get(public_id=public_id)
    for key, deed, details in PLAN:
        outcome = actions.act(
            attempt=attempt,
            key=key,
            at=None,
            deed=deed,
            details=details,
            now=datetime(2026, 11, 23, 8, tzinfo=UTC),
        )
        sys.stdout.write(f"{key} {outcome.number} {int(outcome.repeated)}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    django.setup()
    main(sys.argv[1])
