"""What `manage.py check` says about the environment."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.core.checks import CheckMessage, Error, Tags, register

from training import environment
from training.common.starting import has_secret_key

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.apps import AppConfig


@register(Tags.security)
def no_unread_settings(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """Refuse a name with our prefix that nothing reads: a slip such as DEGUG would go unseen."""
    return [
        Error(
            f"{name} is set in the environment, but no such setting exists.",
            hint=f"Did you mean {nearest}? It takes {environment.KNOWN[nearest]}."
            if nearest
            else "Known names: " + ", ".join(sorted(environment.KNOWN)),
            id="pumpwright.E001",
        )
        for name, nearest in environment.unknown_names()
    ]


@register(Tags.security, deploy=True)
def secret_key_is_set(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """Refuse to be deployed without a secret key."""
    if has_secret_key():
        return []
    return [Error("No secret key is set.", hint=environment.HOW_TO_SET_A_KEY, id="pumpwright.E002")]
