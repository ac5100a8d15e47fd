"""Registration with Django."""

from __future__ import annotations

from django.apps import AppConfig


class CommonConfig(AppConfig):
    """What every page shares."""

    name = "training.common"

    def ready(self) -> None:
        """Register the checks of the environment."""
        from training.common import checks  # noqa: F401, PLC0415  the checks need settings, which are ready only now
