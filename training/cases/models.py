"""A call as it stands in the call book, read from `fixtures/calls.toml`."""

from __future__ import annotations

from django.db import models


class Call(models.Model):
    """A job to be sent to: a rig, what is wrong with it, and what the customer says."""

    class Kind(models.TextChoices):
        SINGLE = "single", "One fault"
        DOUBLE = "double", "Two faults"
        NO_FAULT = "no-fault", "Nothing wrong"

    class Grade(models.TextChoices):
        G1 = "G1", "Assistant"
        G2 = "G2", "Service hand"
        G3 = "G3", "Lead hand"

    slug = models.SlugField(unique=True, help_text="names the surface of the call, never its fault")
    no = models.CharField(max_length=8, unique=True, help_text="such as C-0417")
    title = models.CharField(max_length=80)
    rig = models.SlugField(help_text="slug in rigs.toml")
    faults = models.JSONField(help_text="[{fault, severity, location}]; hidden from the learner")
    complaint = models.TextField(help_text="what the customer says")
    setting = models.TextField(help_text="what eyes see on arrival")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    grade = models.CharField(max_length=2, choices=Grade.choices)
    par_minutes = models.FloatField(help_text="min on the rig's clock until the fault is named")
    best_path = models.JSONField(help_text="[{check, place}] cheapest separating order")
    lookalikes = models.JSONField(
        default=list, help_text="suspects to rule out besides the fault's own look-alikes"
    )
    answer_says = models.TextField(help_text="what a good answer says; shown in the teardown")
    statements = models.JSONField(help_text="[{slug, words, right, why}]")
    interview = models.JSONField(help_text="[{question, answer}]")
    part = models.JSONField(
        default=dict,
        blank=True,
        help_text="{kind, guards, place}: what is replaced; empty where no part is needed",
    )
    live = models.BooleanField(default=True, help_text="on the call sheet")

    class Meta:
        constraints = (
            models.CheckConstraint(condition=models.Q(par_minutes__gt=0), name="cases_call_par_positive"),
        )

    def __str__(self) -> str:
        return f"{self.no} {self.title}"
