"""The bench: attempts, their logs and what is read from them."""

from django.apps import AppConfig


class BenchConfig(AppConfig):
    """Django's name for this app."""

    name = "training.bench"
    label = "bench"
    default_auto_field = "django.db.models.BigAutoField"
