"""Give a member a new password from the command line, with its audit entry."""

from __future__ import annotations

import getpass
import sys
from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from training.people import actions, queries

if TYPE_CHECKING:
    from argparse import ArgumentParser


class Command(BaseCommand):
    """Change one member's password."""

    help = "Give a member a new password. It is asked for, or read as one line from standard input."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take whose password it is."""
        parser.add_argument("account", help="crew number or e-mail")

    def handle(self, *args: Any, **options: Any) -> None:
        """Find the member, ask, call the action, say what was done."""
        member = queries.member_who_signs_in_as(options["account"])
        if member is None:
            raise CommandError(
                f"Nobody active signs in as {options['account']}. Check the crew number or e-mail."
            )
        password = (
            getpass.getpass("New password: ") if sys.stdin.isatty() else sys.stdin.readline().rstrip("\n")
        )
        try:
            actions.change_password(member=member, password=password, actor=None, at=timezone.now())
        except ValidationError as refusal:
            raise CommandError(" ".join(refusal.messages)) from refusal
        self.stdout.write(f"{member} signs in with the new password from now on.")
