"""`manage.py load_drawer`: read the Question drawer and the papers of the fixtures."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from training.papers import actions
from training.papers.drawer import BadDrawer
from training.papers.exceptions import DrawerTooThin


class Command(BaseCommand):
    """Parse, call one action, print."""

    help = "Read fixtures/questions and fixtures/papers.toml into the database; safe to run again."

    def handle(self, *args: Any, **options: Any) -> None:
        """Load the drawer."""
        try:
            loaded = actions.load_drawer()
        except (BadDrawer, DrawerTooThin) as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write(
            f"Question drawer: {loaded.added} added, {loaded.changed} changed, "
            f"{loaded.unchanged} as they were, {loaded.retired} retired."
        )
