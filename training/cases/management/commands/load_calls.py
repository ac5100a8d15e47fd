"""`manage.py load_calls`: read the calls of the fixtures into the call book."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from simulator.faults import BadFault
from training.cases import actions
from training.cases.book import BadBook


class Command(BaseCommand):
    """Parse, call one action, print."""

    help = "Read fixtures/calls.toml into the call book; safe to run again."

    def handle(self, *args: Any, **options: Any) -> None:
        """Load the calls."""
        try:
            count = actions.load_cases()
        except (BadBook, BadFault) as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write(f"{count} calls in the call book.")
