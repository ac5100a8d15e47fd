"""Registration with Django."""

from __future__ import annotations

from django.apps import AppConfig


class FittingConfig(AppConfig):
    """Does this part fit this machine, and the sums that go with it."""

    name = "training.fitting"
