"""Registration with Django."""

from __future__ import annotations

from django.apps import AppConfig


class FrontConfig(AppConfig):
    """Pages that cross apps."""

    name = "training.front"
