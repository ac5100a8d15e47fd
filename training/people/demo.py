"""The demo shop: read from its file with every key checked, and made by the real actions."""

from __future__ import annotations

import difflib
import tomllib
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from django.db import transaction

from training.people import actions
from training.people.exceptions import BadShopFile
from training.people.models import Member
from training.people.rules import Role, UnitSystem

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

SHOP_KEYS = ("slug", "name", "town", "opened")
MEMBER_KEYS = ("crew_number", "name", "role", "password")
MEMBER_MAY_KEYS = ("email", "unit_system")


@dataclass(frozen=True)
class DemoMember:
    """One person of the demo shop, with the password that is printed for anybody."""

    crew_number: str
    name: str
    role: str
    password: str
    email: str = ""
    unit_system: str = UnitSystem.US.value


@dataclass(frozen=True)
class DemoShop:
    """The demo shop as its file says it."""

    slug: str
    name: str
    town: str
    opened: datetime
    members: tuple[DemoMember, ...]


def read_shop(path: Path) -> DemoShop:
    """Read the shop's file; an unknown or missing key is refused with the nearest right one."""
    try:
        tables = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise BadShopFile(f"{path.name} cannot be read: {error}") from error
    _check_keys(tables, ("shop", "member"), (), path.name)
    shop = _check_keys(tables["shop"], SHOP_KEYS, (), f"{path.name} [shop]")
    members = tuple(
        _member(table, f"{path.name} [[member]] {number}")
        for number, table in enumerate(tables["member"], start=1)
    )
    return DemoShop(shop["slug"], shop["name"], shop["town"], _day(shop["opened"], path.name), members)


@transaction.atomic
def load_shop(shop: DemoShop) -> list[Member]:
    """Open the demo shop and add whoever is not in it yet; loading twice changes nothing."""
    opened = actions.open_shop(slug=shop.slug, name=shop.name, town=shop.town, actor=None, at=shop.opened)
    known = set(Member.objects.values_list("crew_number", flat=True))
    return [
        actions.add_member(
            shop=opened,
            crew_number=one.crew_number,
            name=one.name,
            role=one.role,
            password=one.password,
            email=one.email,
            unit_system=one.unit_system,
            actor=None,
            at=shop.opened,
        )
        for one in shop.members
        if one.crew_number not in known
    ]


def _member(table: Mapping[str, Any], where: str) -> DemoMember:
    _check_keys(table, MEMBER_KEYS, MEMBER_MAY_KEYS, where)
    member = DemoMember(**table)
    _check_word(member.role, [role.value for role in Role], f"{where} role")
    _check_word(member.unit_system, [system.value for system in UnitSystem], f"{where} unit_system")
    return member


def _check_keys(
    table: Mapping[str, Any], must: tuple[str, ...], may: tuple[str, ...], where: str
) -> Mapping[str, Any]:
    for key in table:
        _check_word(key, [*must, *may], where)
    if missing := [key for key in must if key not in table]:
        raise BadShopFile(f"{where}: {', '.join(missing)} is missing.")
    return table


def _check_word(word: str, known: list[str], where: str) -> None:
    if word in known:
        return
    nearest = difflib.get_close_matches(str(word), known, n=1, cutoff=0.0)[0]
    raise BadShopFile(f"{where}: {word!r} is not known; did you mean {nearest!r}?")


def _day(text: str, where: str) -> datetime:
    try:
        return datetime.fromisoformat(text).replace(hour=8, tzinfo=UTC)
    except (TypeError, ValueError) as error:
        raise BadShopFile(f"{where}: opened is {text!r}; write a day such as 2026-11-02.") from error
