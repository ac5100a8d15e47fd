"""The process beside the served site: it fills the store of outcome tables, and ends with the site."""

import itertools

import pytest
from django.core.management import call_command

from simulator import evidence
from tests.factories.cases import CallFactory
from training.front.management.commands import work_out_evidence


@pytest.fixture
def asked(monkeypatch):
    """What tables were asked for, without working them out."""
    suspects = []
    monkeypatch.setattr(
        evidence, "outcome_table", lambda _rig, _faults, names, _store: suspects.extend(names)
    )
    monkeypatch.setattr(work_out_evidence.os, "nice", lambda _by: None)
    return suspects


@pytest.mark.django_db
def test_the_faults_of_the_book_and_their_look_alikes_are_worked_out(asked):
    call = CallFactory()

    call_command("work_out_evidence")

    assert {given["fault"] for given in call.faults} < set(asked)


@pytest.mark.django_db
def test_it_stops_when_the_server_is_gone(asked, monkeypatch):
    CallFactory()
    parents = itertools.chain([100], itertools.repeat(1))
    monkeypatch.setattr(work_out_evidence.os, "getppid", lambda: next(parents))

    call_command("work_out_evidence")

    assert asked == []
