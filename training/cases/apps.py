"""Rigs, faults and calls as an instructor keeps them."""

from django.apps import AppConfig


class CasesConfig(AppConfig):
    """Django's name for this app."""

    name = "training.cases"
    label = "cases"
    default_auto_field = "django.db.models.BigAutoField"
