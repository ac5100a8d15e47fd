"""The least valid shop and member."""

from datetime import UTC, datetime

import factory

from training.people.models import Member, Shop
from training.people.rules import Role

MONDAY = datetime(2026, 11, 23, 8, 0, tzinfo=UTC)
PASSWORD = "left-hand-thread-44"


class ShopFactory(factory.django.DjangoModelFactory[Shop]):
    class Meta:
        model = Shop
        django_get_or_create = ("slug",)

    slug = "ferrule-lane"
    name = "Ferrule Lane"
    town = "Quillbrook"


class MemberFactory(factory.django.DjangoModelFactory[Member]):
    class Meta:
        model = Member
        skip_postgeneration_save = True

    class Params:
        instructor = factory.Trait(role=Role.INSTRUCTOR.value, name="Hester Quoin")
        manager = factory.Trait(role=Role.MANAGER.value, name="Alban Tressel")

    shop = factory.SubFactory(ShopFactory)
    crew_number = factory.Sequence(lambda n: str(4400 + n))
    name = "Wren Pellow"
    joined_at = MONDAY

    @factory.post_generation
    def password(self, create, extracted, **kwargs):
        self.set_password(extracted or PASSWORD)
        if create:
            self.save(update_fields=["password"])
