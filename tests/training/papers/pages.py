"""Addresses of the papers' pages."""

from django.urls import reverse

KINDS = ("single", "multiple", "order", "number")
LIST = reverse("papers:papers")


def at(sitting, position=1):
    return reverse("papers:question", args=[sitting.pk, position])


def review(sitting):
    return reverse("papers:sitting", args=[sitting.pk])


def hand_in(sitting):
    return reverse("papers:hand_in", args=[sitting.pk])
