"""Questions, papers, sittings. A sitting holds its own copy of what it asks, so later edits never reach it."""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

RESULTS = [("competent", "Competent"), ("not yet competent", "Not yet competent")]


class Question(models.Model):
    """A question of the drawer, as its file has it now; for a question maker a specimen of what it makes."""

    slug = models.SlugField(max_length=80, unique=True)
    version = models.PositiveIntegerField(default=1, help_text="Counts up when the words or the key change")
    area = models.CharField(max_length=20)
    kind = models.CharField(max_length=10)
    level = models.CharField(max_length=12)
    family = models.CharField(max_length=40, blank=True, help_text="Two of a family are never drawn together")
    content = models.JSONField(help_text="The question with its key and reasons")
    live = models.BooleanField(default=True, help_text="Off when it has left the drawer; sittings keep it")

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(condition=models.Q(version__gte=1), name="question_version_from_one")
        ]

    def __str__(self) -> str:
        return f"{self.slug} (version {self.version})"


class Paper(models.Model):
    """A paper set from the drawer."""

    slug = models.SlugField(max_length=80, unique=True)
    title = models.CharField(max_length=120)
    lede = models.CharField(max_length=300)
    pass_percent = models.PositiveSmallIntegerField(
        validators=[MinValueValidator(1), MaxValueValidator(100)], help_text="Pass line in per cent"
    )
    draw = models.JSONField(help_text="How many questions of each area")
    at_least = models.JSONField(help_text="How many of a kind at the least")
    made = models.JSONField(
        default=dict, blank=True, help_text="How many of each area come from question makers"
    )
    live = models.BooleanField(default=True, help_text="Off when it is no longer set; sittings stay")

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(pass_percent__gte=1, pass_percent__lte=100), name="pass_line_is_a_per_cent"
            )
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def length(self) -> int:
        """How many questions a sitting gets."""
        return int(sum(self.draw.values()))


class Sitting(models.Model):
    """One member's go at a paper."""

    member = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="sittings")
    paper = models.ForeignKey(Paper, on_delete=models.PROTECT, related_name="sittings")
    seed = models.BigIntegerField(help_text="Draws the same questions in the same order again")
    pass_percent = models.PositiveSmallIntegerField(help_text="Pass line when it was begun, in per cent")
    started_at = models.DateTimeField()
    handed_in_at = models.DateTimeField(null=True, blank=True)
    mark = models.DecimalField(
        max_digits=5, decimal_places=2, null=True, blank=True, help_text="In per cent, rounded down"
    )
    result = models.CharField(max_length=20, choices=RESULTS, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["member", "paper"],
                condition=models.Q(handed_in_at=None),
                name="one_open_sitting_of_a_paper",
            ),
            models.CheckConstraint(
                condition=models.Q(handed_in_at=None, mark=None, result="")
                | models.Q(
                    handed_in_at__isnull=False,
                    mark__gte=0,
                    mark__lte=100,
                    result__in=[result for result, _ in RESULTS],
                ),
                name="marked_when_handed_in",
            ),
        ]
        indexes: ClassVar = [models.Index(fields=["member", "-handed_in_at"], name="sittings_of_a_member")]

    def __str__(self) -> str:
        return f"{self.paper} by {self.member}, begun {self.started_at:%Y-%m-%d %H:%M}"


class SittingQuestion(models.Model):
    """One question of a sitting, frozen as it was drawn, with its answer and its mark."""

    sitting = models.ForeignKey(Sitting, on_delete=models.PROTECT, related_name="questions")
    position = models.PositiveSmallIntegerField(help_text="Counts from 1")
    question = models.ForeignKey(Question, on_delete=models.PROTECT, related_name="+")
    content = models.JSONField(help_text="The question as drawn, with its key and reasons")
    answer = models.JSONField(null=True, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    points = models.DecimalField(
        max_digits=5, decimal_places=4, null=True, blank=True, help_text="0 to 1, rounded down"
    )

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["sitting", "position"], name="one_question_in_a_place"),
            models.CheckConstraint(
                condition=models.Q(points=None) | models.Q(points__gte=0, points__lte=1),
                name="points_from_nothing_to_one",
            ),
        ]

    def __str__(self) -> str:
        return f"Question {self.position} of sitting {self.sitting_id}"
