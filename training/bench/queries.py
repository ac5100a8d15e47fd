"""What pages read of attempts: all of it from replaying the log."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from training.bench.models import Attempt
from training.bench.shown import BenchView, TeardownView  # noqa: TC001 - pages take them from here

if TYPE_CHECKING:
    from django.db.models import QuerySet

    from training.people.models import Member

System = Literal["us", "metric"]


def attempts_of(member: Member) -> QuerySet[Attempt]:
    """Return the attempts that this person may open: somebody else's are not found."""
    return Attempt.objects.filter(learner=member).select_related("call", "learner")


def bench_view(attempt: Attempt, at: float | None = None, system: System = "us") -> BenchView:
    """Return what the bench shows at the rig's clock `at` (the end of the last deed when None)."""
    raise NotImplementedError


def teardown_view(attempt: Attempt, system: System = "us") -> TeardownView:
    """Return the review of a closed attempt."""
    raise NotImplementedError
