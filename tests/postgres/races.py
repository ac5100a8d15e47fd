"""Two requests at the same instant, on PostgreSQL, where they truly run side by side.

Not collected by itself: `test_same_tests.py` runs it with the settings of this folder.
"""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection, connections

from tests.factories.bench import begin
from tests.factories.papers import PaperFactory, QuestionFactory
from tests.factories.people import MONDAY, MemberFactory
from training.bench import actions as bench
from training.bench.models import LogEntry
from training.papers import actions as papers
from training.papers.models import Sitting
from training.people import demo
from training.people.models import Member, Shop

pytestmark = pytest.mark.django_db(transaction=True)

AT_ONCE = 4


def together(deed):
    """Do the same deed from several connections at the same instant; give what each got."""
    barrier = Barrier(AT_ONCE)

    def one():
        try:
            barrier.wait(timeout=30)
            return deed()
        finally:
            connections.close_all()

    with ThreadPoolExecutor(AT_ONCE) as pool:
        return [future.result(timeout=120) for future in [pool.submit(one) for _ in range(AT_ONCE)]]


def test_this_is_postgres():
    assert connection.vendor == "postgresql"


def test_deed_sent_several_times_at_once_is_done_once():
    attempt = begin()

    together(
        lambda: bench.act(
            attempt=attempt, key="one-press", at=None, deed="wait", details={"until": 60.0}, now=MONDAY
        )
    )

    assert LogEntry.objects.filter(attempt=attempt).count() == 1


def test_paper_begun_several_times_at_once_is_one_sitting():
    QuestionFactory(area="safety")
    paper, member = PaperFactory(), MemberFactory()

    sittings = together(lambda: papers.begin_sitting(paper=paper, member=member, at=MONDAY).pk)

    assert len(set(sittings)) == 1
    assert Sitting.objects.count() == 1


def test_demo_shop_loaded_once_is_whole(settings):
    shop = demo.read_shop(settings.FIXTURES / "shop.toml")

    demo.load_shop(shop)

    assert Shop.objects.count() == 1
    assert Member.objects.count() == len(shop.members)
