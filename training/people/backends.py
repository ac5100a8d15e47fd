"""How Django finds the member behind a session or a password."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib.auth.backends import BaseBackend

from training.people import queries
from training.people.models import Member

if TYPE_CHECKING:
    from django.http import HttpRequest


class CrewBackend(BaseBackend):
    """Crew number or e-mail address, and a password."""

    def authenticate(
        self,
        request: HttpRequest | None,
        username: str | None = None,
        password: str | None = None,
        **kwargs: Any,
    ) -> Member | None:
        """Give the member if the password is theirs."""
        if not username or password is None:
            return None
        member = queries.member_who_signs_in_as(username)
        if member is None:
            # As slow as a wrong password, so that the clock does not tell which crew numbers exist.
            Member().set_password(password)
            return None
        return member if member.check_password(password) else None

    def get_user(self, user_id: int) -> Member | None:
        """Give the active member of a session."""
        return Member.objects.select_related("shop").filter(pk=user_id, is_active=True).first()
