"""Registration with Django."""

from __future__ import annotations

from django.apps import AppConfig


class PapersConfig(AppConfig):
    """Questions, papers and sittings."""

    name = "training.papers"
