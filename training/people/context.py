"""What the shell of every page needs to know of its reader."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.urls import reverse

from training.people import rules
from training.people.models import Member

if TYPE_CHECKING:
    from django.http import HttpRequest


@dataclass(frozen=True)
class NavItem:
    """One main page: its title, its address and, on that page, what aria-current says."""

    title: str
    href: str
    current: str


@dataclass(frozen=True)
class UnitChoice:
    """One unit system to choose."""

    value: str
    title: str


MAIN_PAGES = (
    ("Today", "front:today"),
    ("Calls", "bench:calls"),
    ("Papers", "papers:papers"),
    ("Will it fit?", "fitting:kinds"),
)
CREW_BOARD = ("Crew board", "front:crew_board")
UNIT_CHOICES = tuple(UnitChoice(system.value, title) for system, title in rules.UNIT_TITLES.items())


def shell(request: HttpRequest) -> dict[str, Any]:
    """Give the mast's pages, the reader and the units to choose from; nothing for a stranger."""
    member = getattr(request, "user", None)
    if not isinstance(member, Member):
        return {"shell": {}}
    pages = (*MAIN_PAGES, CREW_BOARD) if rules.may_see_crew_board(member) else MAIN_PAGES
    nav = [_nav_item(request, title, name) for title, name in pages]
    return {"shell": {"member": member, "nav": nav, "unit_systems": UNIT_CHOICES}}


def _nav_item(request: HttpRequest, title: str, name: str) -> NavItem:
    here = request.resolver_match.view_name if request.resolver_match else ""
    href = reverse(name)
    if here == name:
        current = "page"
    elif not name.startswith("front:") and here.split(":")[0] == name.split(":", maxsplit=1)[0]:
        current = "true"
    else:
        current = ""
    return NavItem(title, href, current)
