"""Deeds about people. Each is atomic and leaves its audit entry."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib.auth import authenticate
from django.contrib.auth.password_validation import validate_password
from django.db import transaction

from training.people import queries, rules
from training.people.exceptions import NotSignedIn, Waiting
from training.people.models import AuditEntry, Member, Shop, WrongTry

if TYPE_CHECKING:
    from datetime import datetime


def record_audit(
    *, actor: Member | None, deed: str, subject: str, at: datetime, details: dict[str, Any] | None = None
) -> AuditEntry:
    """Add one audit entry. Called inside the action it tells of."""
    return AuditEntry.objects.create(actor=actor, deed=deed, subject=subject, at=at, details=details or {})


@transaction.atomic
def open_shop(*, slug: str, name: str, town: str, actor: Member | None, at: datetime) -> Shop:
    """Open a shop, or give the one with this slug."""
    shop, is_new = Shop.objects.get_or_create(slug=slug, defaults={"name": name, "town": town})
    if is_new:
        shop.full_clean()
        record_audit(actor=actor, deed="shop-opened", subject=name, at=at)
    return shop


@transaction.atomic
def add_member(
    *,
    shop: Shop,
    crew_number: str,
    name: str,
    role: str,
    password: str,
    actor: Member | None,
    at: datetime,
    email: str = "",
    unit_system: str = rules.UnitSystem.US,
) -> Member:
    """Add a member; a bad value or a weak password is a ValidationError that says so."""
    member = Member(
        shop=shop,
        crew_number=crew_number,
        name=" ".join(name.split()),
        email=email.strip(),
        role=str(role),
        unit_system=str(unit_system),
        joined_at=at,
    )
    validate_password(password, member)
    member.set_password(password)
    member.full_clean()
    member.save()
    record_audit(actor=actor, deed="member-added", subject=str(member), at=at, details={"role": member.role})
    return member


def sign_in(*, account: str, password: str, address: str, at: datetime) -> Member:
    """Give the member behind these words, or refuse with what to do; wrong tries are counted.

    The try is counted before the password is looked at, so that of many sent at once no more are taken than one
    after another.
    """
    mine = _count_try(account, address, at)
    before = queries.wrong_tries(account, address, at, before=mine)
    if ends := rules.wait_ends(before, at):
        mine.delete()
        raise Waiting(_wait_words(ends, at))
    member = authenticate(username=account, password=password)
    if member is None:
        raise NotSignedIn(_wrong_words([*before, at], at))
    with transaction.atomic():
        WrongTry.objects.filter(account_digest=queries.account_digest(account), address=address).delete()
        record_audit(actor=member, deed="signed-in", subject=str(member), at=at)
    return member


def _count_try(account: str, address: str, at: datetime) -> WrongTry:
    with transaction.atomic():
        WrongTry.objects.filter(at__lt=at - rules.TRIES_WINDOW - rules.WAIT).delete()
        return WrongTry.objects.create(account_digest=queries.account_digest(account), address=address, at=at)


def _wrong_words(tries: list[datetime], at: datetime) -> str:
    if ends := rules.wait_ends(tries, at):
        return _wait_words(ends, at)
    left = rules.tries_left(tries, at)
    count = f"{left} tries" if left > 1 else "One try"
    return f"The crew number or e-mail and the password do not go together. {count} left, then a ten-minute wait."


def _wait_words(ends: datetime, at: datetime) -> str:
    minutes = max(1, -(-int((ends - at).total_seconds()) // 60))
    return (
        f"Too many wrong tries for this account from here. Wait {minutes} minute{'' if minutes == 1 else 's'}, then try "
        "again. If the password is forgotten, ask the shop manager for a new one."
    )


@transaction.atomic
def choose_units(*, member: Member, unit_system: rules.UnitSystem) -> None:
    """Show this member's readings in another unit system. No audit: nothing but the display changes."""
    member.unit_system = unit_system.value
    member.save(update_fields=["unit_system"])


@transaction.atomic
def change_password(*, member: Member, password: str, actor: Member | None, at: datetime) -> None:
    """Give a member a new password; a weak one is a ValidationError that says so."""
    validate_password(password, member)
    member.set_password(password)
    member.save(update_fields=["password"])
    record_audit(actor=actor, deed="password-changed", subject=str(member), at=at)
