"""Reads of the call book."""

from __future__ import annotations

from typing import TYPE_CHECKING

from training.cases.models import Call

if TYPE_CHECKING:
    from django.db.models import QuerySet


def calls_on_sheet() -> QuerySet[Call]:
    """Return the calls that can be taken, in the order of their numbers."""
    return Call.objects.filter(live=True).order_by("no")
