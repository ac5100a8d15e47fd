"""Add a member from the command line: how the first shop manager gets in."""

from __future__ import annotations

import getpass
import sys
from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.utils import timezone

from training.people import actions
from training.people.rules import Role

if TYPE_CHECKING:
    from argparse import ArgumentParser


class Command(BaseCommand):
    """Add a member, opening the shop if it is new."""

    help = "Add a member. The password is asked for, or read as one line from standard input."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take the member's particulars."""
        parser.add_argument("crew_number")
        parser.add_argument("name")
        parser.add_argument("--role", choices=[role.value for role in Role], default=Role.APPRENTICE.value)
        parser.add_argument("--email", default="")
        parser.add_argument("--shop", default="shop", help="the shop's short name (default: shop)")
        parser.add_argument("--shop-name", default="Our shop")
        parser.add_argument("--town", default="")

    def handle(self, *args: Any, **options: Any) -> None:
        """Ask for the password, call the action, say what was done."""
        password = getpass.getpass("Password: ") if sys.stdin.isatty() else sys.stdin.readline().rstrip("\n")
        try:
            with transaction.atomic():
                shop = actions.open_shop(
                    slug=options["shop"],
                    name=options["shop_name"],
                    town=options["town"],
                    actor=None,
                    at=timezone.now(),
                )
                member = actions.add_member(
                    shop=shop,
                    crew_number=options["crew_number"],
                    name=options["name"],
                    role=options["role"],
                    email=options["email"],
                    password=password,
                    actor=None,
                    at=timezone.now(),
                )
        except ValidationError as refusal:
            raise CommandError(" ".join(refusal.messages)) from refusal
        self.stdout.write(f"{member} was added to {shop} as {member.get_role_display()}.")
