"""A call of the book, as the fixtures have it."""

from dataclasses import asdict

import factory

from training.cases.book import load_calls
from training.cases.models import Call


class CallFactory(factory.django.DjangoModelFactory[Call]):
    """`CallFactory(slug=...)` takes that call of the fixtures; the reed call without one."""

    class Meta:
        model = Call
        django_get_or_create = ("slug",)

    slug = "longer-than-tea"

    @classmethod
    def _adjust_kwargs(cls, **kwargs):
        entry = asdict(load_calls()[kwargs["slug"]])
        return {**entry, **kwargs}
