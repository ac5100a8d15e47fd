"""Whether the site may start as it is set."""

from __future__ import annotations

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

from training import environment

LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})


def has_secret_key() -> bool:
    """Whether a key is set; Django raises on reading an empty one."""
    try:
        return bool(settings.SECRET_KEY)
    except ImproperlyConfigured:
        return False


class UnsafeStart(ImproperlyConfigured):
    """The site would start in a state that is not safe; the message says how to mend it."""


def refuse_unsafe_start(host: str = "") -> None:
    """Stop a start with no key, with debug pages for others to read, or with the demo's known passwords."""
    if not has_secret_key():
        raise UnsafeStart(environment.HOW_TO_SET_A_KEY)
    strays = environment.unknown_names()
    if strays:
        name, nearest = strays[0]
        mend = f"Did you mean {nearest}?" if nearest else "Unset it."
        raise UnsafeStart(f"{name} is set, but no such setting exists. {mend}")
    if settings.DEBUG and not settings.DEMO:
        raise UnsafeStart(
            "PUMPWRIGHT_DEBUG is on, so error pages would show the site's inside. Unset it, or develop with "
            "PUMPWRIGHT_DEMO=yes as well."
        )
    if settings.DEMO and host and host not in LOOPBACK:
        raise UnsafeStart(
            f"The demo's passwords are printed for anybody to read, so it is served on this computer only, not on {host}. "
            "Leave --host out, or set the site up with a secret key and start it without --demo."
        )
