"""Shops, members, audit and the demo shop, by what is left in the database."""

import io

import pytest
from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.management import CommandError, call_command
from django.db import IntegrityError, transaction

from tests.factories.people import MONDAY, PASSWORD, MemberFactory, ShopFactory
from training.people import actions, demo
from training.people.exceptions import BadShopFile
from training.people.models import AuditEntry, CannotChangeAudit, Member, Shop

pytestmark = pytest.mark.django_db

SHOP_FILE = settings.FIXTURES / "shop.toml"


def add(**changes):
    particulars = {
        "shop": ShopFactory(),
        "crew_number": "5001",
        "name": "Perrin Vole",
        "role": "apprentice",
        "password": PASSWORD,
        "actor": None,
        "at": MONDAY,
    }
    return actions.add_member(**(particulars | changes))


def test_added_member_is_in_the_audit():
    manager = MemberFactory(manager=True)

    member = add(actor=manager)

    entry = AuditEntry.objects.get()
    assert (entry.actor, entry.deed, entry.subject) == (manager, "member-added", str(member))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"password": "short"}, "too short"),
        ({"password": "5001500150"}, "entirely numeric"),
        ({"crew_number": "50 01"}, "letters, digits and hyphens only"),
        ({"name": ""}, "cannot be blank"),
        ({"name": " \t "}, "cannot be blank"),
        ({"role": "king"}, "not a valid choice"),
        ({"email": "no-address"}, "valid email"),
    ],
)
def test_bad_particulars_are_refused_and_nothing_is_added(changes, said):
    with pytest.raises(ValidationError, match=said):
        add(**changes)

    assert not Member.objects.exists()
    assert not AuditEntry.objects.exists()


@pytest.mark.parametrize(
    ("first", "second"),
    [({"crew_number": "w-1"}, {"crew_number": "W-1"}), ({"email": "a@b.example"}, {"email": "A@B.example"})],
)
def test_database_keeps_crew_number_and_email_to_one_member(first, second):
    MemberFactory(**first)

    with pytest.raises(IntegrityError), transaction.atomic():
        MemberFactory(**second)


def test_two_members_may_both_have_no_email():
    assert MemberFactory(email="") != MemberFactory(email="")


def test_audit_is_only_ever_added_to():
    add()
    entry = AuditEntry.objects.get()

    entry.subject = "somebody else"
    for change in (
        entry.save,
        entry.delete,
        AuditEntry.objects.all().delete,
        lambda: AuditEntry.objects.update(deed="x"),
    ):
        with pytest.raises(CannotChangeAudit, match="never"):
            change()

    assert AuditEntry.objects.get().subject != "somebody else"


def test_demo_shop_loads_twice_to_the_same_people():
    shop = demo.read_shop(SHOP_FILE)

    first, second = demo.load_shop(shop), demo.load_shop(shop)

    assert len(first) == len(shop.members) == Member.objects.count()
    assert second == []
    assert Shop.objects.get().name == "Ferrule Lane"
    assert {member.role for member in first} == {"apprentice", "instructor", "manager"}
    assert AuditEntry.objects.count() == len(first) + 1


@pytest.mark.parametrize(
    ("right", "wrong", "said"),
    [
        ('town = "Quillbrook"', 'twon = "Quillbrook"', "did you mean 'town'"),
        ('role = "manager"', 'role = "manger"', "did you mean 'manager'"),
        ('unit_system = "metric"', 'units = "metric"', "did you mean 'unit_system'"),
        ('crew_number = "1100"\n', "", "crew_number is missing"),
        ('opened = "2026-11-02"', 'opened = "soon"', "write a day such as 2026-11-02"),
        ("[shop]", "[shop", "cannot be read"),
    ],
)
def test_slip_in_the_shop_file_names_the_place_and_the_mend(tmp_path, right, wrong, said):
    text = SHOP_FILE.read_text()
    assert right in text
    slip = tmp_path / "shop.toml"
    slip.write_text(text.replace(right, wrong, 1))

    with pytest.raises(BadShopFile, match=said):
        demo.read_shop(slip)


def test_first_manager_is_added_from_the_command_line(monkeypatch, capsys):
    monkeypatch.setattr("sys.stdin", io.StringIO("quarter-turn-cock-9\n"))

    call_command("add_member", "1100", "Alban Tressel", role="manager", shop="mill", shop_name="Mill End")

    assert "Alban Tressel (1100) was added to Mill End as Shop manager." in capsys.readouterr().out
    assert Member.objects.get().check_password("quarter-turn-cock-9")


def test_weak_password_on_the_command_line_adds_neither_member_nor_shop(monkeypatch):
    monkeypatch.setattr("sys.stdin", io.StringIO("short\n"))

    with pytest.raises(CommandError, match="too short"):
        call_command("add_member", "1100", "Alban Tressel", role="manager", shop="mill")

    assert not Shop.objects.exists()


def test_forgotten_password_is_replaced_from_the_command_line(monkeypatch):
    member = MemberFactory(crew_number="4471")
    monkeypatch.setattr("sys.stdin", io.StringIO("quarter-turn-cock-9\n"))

    call_command("set_password", "4471")

    member.refresh_from_db()
    assert member.check_password("quarter-turn-cock-9")
    assert AuditEntry.objects.get().deed == "password-changed"


def test_password_of_nobody_is_refused():
    with pytest.raises(CommandError, match="Nobody active signs in as 9999"):
        call_command("set_password", "9999")
