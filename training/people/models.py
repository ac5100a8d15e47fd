"""Shops, members, sign-in tries and the audit."""

from __future__ import annotations

from typing import Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.core.validators import RegexValidator
from django.db import models
from django.db.models.functions import Lower

from training.people.rules import ROLE_TITLES, UNIT_TITLES, Role, UnitSystem

ROLE_CHOICES = [(role.value, title) for role, title in ROLE_TITLES.items()]
UNIT_CHOICES = [(system.value, title) for system, title in UNIT_TITLES.items()]


class Shop(models.Model):
    """A workshop whose people train here."""

    slug = models.SlugField(unique=True, help_text="Short name that files and addresses use")
    name = models.CharField(max_length=80)
    town = models.CharField(max_length=80, blank=True)

    class Meta:
        constraints: ClassVar = [models.CheckConstraint(condition=~models.Q(name=""), name="shop_has_a_name")]

    def __str__(self) -> str:
        return self.name


class Crew(BaseUserManager["Member"]):
    """Finds members by what they sign in with."""

    def get_by_natural_key(self, username: str | None) -> Member:
        """Crew number, in any case."""
        return self.get(crew_number__iexact=username)


class Member(AbstractBaseUser):
    """A person of a shop, who signs in with a crew number or an e-mail address."""

    crew_number = models.CharField(
        max_length=12,
        unique=True,
        validators=[
            RegexValidator(r"^[A-Za-z0-9-]+\Z", "Write a crew number with letters, digits and hyphens only.")
        ],
        help_text="What the member signs in with",
    )
    name = models.CharField(max_length=80)
    email = models.EmailField(blank=True)
    role = models.CharField(max_length=12, choices=ROLE_CHOICES, default=Role.APPRENTICE.value)
    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="members")
    unit_system = models.CharField(max_length=8, choices=UNIT_CHOICES, default=UnitSystem.US.value)
    is_active = models.BooleanField(
        default=True, help_text="Off for somebody who has left; nothing of theirs is deleted"
    )
    joined_at = models.DateTimeField()

    objects = Crew()

    USERNAME_FIELD = "crew_number"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name", "shop", "joined_at"]

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(condition=~models.Q(name=""), name="member_has_a_name"),
            models.CheckConstraint(
                condition=models.Q(role__in=[role.value for role in Role]), name="member_role_is_known"
            ),
            models.CheckConstraint(
                condition=models.Q(unit_system__in=[system.value for system in UnitSystem]),
                name="member_units_are_known",
            ),
            models.UniqueConstraint(Lower("crew_number"), name="crew_number_is_one_in_any_case"),
            models.UniqueConstraint(
                Lower("email"), condition=~models.Q(email=""), name="email_belongs_to_one_member"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.crew_number})"

    @property
    def initials(self) -> str:
        """First letters of the first and last name, for the mast."""
        parts = self.name.split()
        return "".join(part[0] for part in (parts[:1] + parts[-1:] if len(parts) > 1 else parts)).upper()

    @property
    def first_name(self) -> str:
        """What the shop calls this member."""
        return self.name.split()[0]


class WrongTry(models.Model):
    """One refused sign-in. What was typed as account is kept as a digest: people type passwords there."""

    account_digest = models.CharField(max_length=64)
    address = models.GenericIPAddressField()
    at = models.DateTimeField()

    class Meta:
        indexes: ClassVar = [
            models.Index(fields=["account_digest", "address", "at"], name="wrong_try_of_account")
        ]

    def __str__(self) -> str:
        return f"Wrong try from {self.address} at {self.at:%Y-%m-%d %H:%M:%S}"


class CannotChangeAudit(TypeError):
    """Audit rows are only ever added."""


class AuditEntries(models.QuerySet["AuditEntry"]):
    """Adds and reads; never changes."""

    def update(self, **kwargs: Any) -> int:
        """Refuse."""
        raise CannotChangeAudit("Audit entries are never changed; add one that says what is different.")

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuse."""
        raise CannotChangeAudit("Audit entries are never deleted.")


class AuditEntry(models.Model):
    """Who did what, when: only ever added."""

    at = models.DateTimeField()
    actor = models.ForeignKey(
        Member,
        on_delete=models.PROTECT,
        null=True,
        related_name="+",
        help_text="Empty when the site did it by itself",
    )
    deed = models.CharField(max_length=40, help_text="Short name of the deed, such as member-added")
    subject = models.CharField(max_length=200, help_text="What it was done to, in words")
    details = models.JSONField(default=dict)

    objects = AuditEntries.as_manager()

    class Meta:
        verbose_name_plural = "audit entries"
        indexes: ClassVar = [models.Index(fields=["at"], name="audit_by_time")]

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.deed}: {self.subject}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Add; refuse to change a row that is already there."""
        if self.pk is not None and not self._state.adding:
            raise CannotChangeAudit("Audit entries are never changed; add one that says what is different.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse."""
        raise CannotChangeAudit("Audit entries are never deleted.")
