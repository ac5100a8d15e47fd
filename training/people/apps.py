"""Registration with Django."""

from __future__ import annotations

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    """Shops and members."""

    name = "training.people"
