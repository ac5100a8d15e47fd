"""Writes of the call book."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from django.db import transaction

from simulator.faults import BadFault, load_faults
from simulator.replacement.kinds import UnknownKind, find_kind, sheets_of_rig
from simulator.replacement.machines import NoSuchMachine
from simulator.rig import load_rigs
from training.cases.book import BadBook, CallEntry, load_calls
from training.cases.models import Call

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path


@transaction.atomic
def load_cases(*, path: Path | None = None) -> int:
    """Read `fixtures/calls.toml` into the call book and return how many calls it has.

    Safe to run again: a call is known by its slug. A call that left the file stays for the attempts made on
    it and goes off the call sheet.
    """
    entries = load_calls(path)
    check_calls(entries.values())
    for entry in entries.values():
        row = asdict(entry)
        Call.objects.update_or_create(slug=row.pop("slug"), defaults={**row, "live": True})
    Call.objects.exclude(slug__in=entries).update(live=False)
    return len(entries)


def check_calls(entries: Iterable[CallEntry]) -> None:
    """Refuse a call whose rig or fault the simulator does not know, or whose fault cannot sit on its rig."""
    rigs, faults = load_rigs(), load_faults()
    for entry in entries:
        if entry.rig not in rigs:
            raise BadBook(f"call '{entry.slug}': there is no rig '{entry.rig}'")
        _check_part(entry)
        for given in entry.faults:
            fault = faults.get(given["fault"])
            if fault is None:
                raise BadFault(f"call '{entry.slug}': there is no fault '{given['fault']}'")
            if entry.rig not in fault.rigs:
                raise BadBook(f"call '{entry.slug}': '{fault.slug}' cannot sit on '{entry.rig}'")
            locations = fault.locations_on(rigs[entry.rig])
            if given.get("location", "") not in ("", *locations):
                raise BadBook(
                    f"call '{entry.slug}': '{fault.slug}' sits in: {', '.join(locations) or 'no place'}"
                )


def _check_part(entry: CallEntry) -> None:
    """Refuse a part that there is no kind of, that the rig does not have, or that is given a line of no sheet."""
    if not entry.part:
        return
    try:
        kind = find_kind(entry.part["kind"])
        sheets_of_rig(kind.name, entry.rig, entry.part.get("guards", ""))
    except (UnknownKind, NoSuchMachine) as refusal:
        raise BadBook(f"call '{entry.slug}', part: {refusal}") from refusal
    for line in entry.part.get("place", {}):
        if line not in kind.sheets.get("place", {}):
            raise BadBook(
                f"call '{entry.slug}', part: the place of a {kind.title.lower()} has no line '{line}'"
            )
