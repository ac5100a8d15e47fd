"""Refusals, in words for the person refused."""

from __future__ import annotations

from django.core.exceptions import PermissionDenied


class NotAllowed(PermissionDenied):
    """The member may not do this; the message is the reason. Unhandled, it is answered with 403 and the reason."""


class NotSignedIn(Exception):
    """Crew number or e-mail and password do not go together, or there have been too many wrong tries."""


class Waiting(NotSignedIn):
    """Too many wrong tries: signing in is shut for some minutes."""


class BadShopFile(ValueError):
    """The shop's file does not say what it must; the message names the place and the mend."""
