"""An attempt is a frozen case and an append-only log; everything else is read from replaying them."""

from __future__ import annotations

import uuid
from typing import Any

from django.conf import settings
from django.db import models

from training.cases.models import Call


class RowIsInk(Exception):
    """A row that is only ever added was about to be changed or taken out."""


class Ink(models.QuerySet[Any]):
    """Adds and reads; never changes and never takes out."""

    def update(self, **kwargs: Any) -> int:
        """Refuse."""
        raise RowIsInk("Rows in ink are never changed.")

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuse."""
        raise RowIsInk("Rows in ink are never taken out.")


class Attempt(models.Model):
    """One learner's work on one call. `case` is frozen when it is opened: rig, faults, seed, engine."""

    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    learner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="attempts")
    call = models.ForeignKey(Call, on_delete=models.PROTECT, related_name="attempts")
    case = models.JSONField(help_text="rig, parameters digest, injected faults, seed, engine version")
    started_at = models.DateTimeField()

    objects = Ink.as_manager()

    class Meta:
        indexes = (models.Index(fields=["learner", "started_at"], name="bench_attempt_by_learner"),)

    def __str__(self) -> str:
        return f"attempt {self.public_id} on {self.call_id}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Add the row; a case is frozen once it is written."""
        _only_added(self)
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse: an attempt is evidence."""
        raise RowIsInk("An attempt is evidence and is not taken out.")


class LogEntry(models.Model):
    """A line of the log: what was done, when on the rig's clock, and what was answered."""

    attempt = models.ForeignKey(Attempt, on_delete=models.PROTECT, related_name="entries")
    number = models.PositiveIntegerField(help_text="1, 2, 3 within the attempt")
    key = models.CharField(max_length=64, help_text="idempotency key: the same key never acts twice")
    at = models.FloatField(help_text="rig's clock when the deed began, s")
    ended = models.FloatField(help_text="rig's clock when it was over, s")
    deed = models.CharField(max_length=16)
    details = models.JSONField(default=dict)
    answer = models.JSONField(
        default=dict, help_text="what the learner was told, so that a repeated key is told the same"
    )
    recorded_at = models.DateTimeField()

    objects = Ink.as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["attempt", "number"], name="bench_entry_number_once"),
            models.UniqueConstraint(fields=["attempt", "key"], name="bench_entry_key_once"),
            models.CheckConstraint(condition=models.Q(number__gte=1), name="bench_entry_number_from_1"),
            models.CheckConstraint(condition=models.Q(at__gte=0), name="bench_entry_at_not_negative"),
            models.CheckConstraint(
                condition=models.Q(ended__gte=models.F("at")), name="bench_entry_ends_after_at"
            ),
            models.CheckConstraint(condition=~models.Q(key=""), name="bench_entry_key_given"),
        )

    def __str__(self) -> str:
        return f"{self.number}: {self.deed} at {self.at:.1f} s"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Add the row; a line written is never changed."""
        _only_added(self)
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse: a line written is never taken out."""
        raise RowIsInk("A line of the log is not taken out.")


class AttemptResult(models.Model):
    """The mark of a closed attempt, kept for lists; `actions.recompute_result` makes it again from the log."""

    class Result(models.TextChoices):
        COMPETENT = "competent", "Competent"
        NOT_YET = "not-yet-competent", "Not yet competent"
        VOIDED = "voided", "Voided"

    attempt = models.OneToOneField(Attempt, on_delete=models.PROTECT, related_name="outcome")
    score = models.FloatField(help_text="of 100")
    result = models.CharField(max_length=24, choices=Result.choices)
    critical = models.JSONField(default=list, help_text="critical failures in words")
    critical_count = models.PositiveIntegerField(help_text="how many of them; one is enough not to pass")
    used_minutes = models.FloatField(help_text="on the rig's clock until the fault was named")
    marks = models.JSONField(default=list, help_text="criterion, marks, out of, reason")
    closed_at = models.DateTimeField()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=models.Q(score__gte=0, score__lte=100), name="bench_result_score_0_to_100"
            ),
            models.CheckConstraint(
                condition=~models.Q(result="competent") | models.Q(critical_count=0),
                name="bench_result_critical_never_passes",
            ),
        )

    def __str__(self) -> str:
        return f"{self.attempt_id}: {self.score:.0f}, {self.result}"


def _only_added(row: models.Model) -> None:
    """Refuse to save a row that the database already has."""
    if not row._state.adding:  # noqa: SLF001 - Django documents it for this
        raise RowIsInk(f"{type(row).__name__} rows are only ever added.")
