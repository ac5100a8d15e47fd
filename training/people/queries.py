"""Reads about people."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from django.db.models.functions import Lower

from training.people import rules
from training.people.models import Member, WrongTry

if TYPE_CHECKING:
    from datetime import datetime

    from django.db.models import QuerySet

    from training.people.models import Shop


def member_who_signs_in_as(typed: str) -> Member | None:
    """Find the active member with this crew number or e-mail address, in any case."""
    account = rules.normal_account(typed)
    lookup = {"email__iexact": account} if "@" in account else {"crew_number__iexact": account}
    return Member.objects.select_related("shop").filter(is_active=True, **lookup).first()


def crew_of(shop: Shop) -> QuerySet[Member]:
    """List the active members of a shop by name."""
    return Member.objects.filter(shop=shop, is_active=True).order_by(Lower("name"), "pk")


def account_digest(typed: str) -> str:
    """Give the digest under which wrong tries of this account are kept."""
    return hashlib.sha256(rules.normal_account(typed).encode()).hexdigest()


def wrong_tries(typed: str, address: str, now: datetime, *, before: WrongTry) -> list[datetime]:
    """List recent wrong tries for this account from this address before a new one: all that can cause a wait."""
    since = now - rules.TRIES_WINDOW - rules.WAIT
    rows = WrongTry.objects.filter(
        account_digest=account_digest(typed), address=address, at__gt=since, pk__lt=before.pk
    )
    return list(rows.order_by("at").values_list("at", flat=True))
