"""`manage.py preview_question`: show an instructor what the question makers make."""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, cast

from django.core.management.base import BaseCommand, CommandError

from training.papers.makers import MAKERS, make
from training.people.rules import UnitSystem

if TYPE_CHECKING:
    from argparse import ArgumentParser
    from collections.abc import Iterator

    from simulator.units import System
    from training.grading.papers import Keyed


class Command(BaseCommand):
    """Parse, make, print."""

    help = "List the question makers, or show the question that one of them makes of a seed, key and reasons included."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take a maker, a seed and units."""
        parser.add_argument("maker", nargs="?", help="slug of a question maker; none lists them")
        parser.add_argument("--seed", default="1", help="any text; the same seed gives the same question")
        parser.add_argument("--units", default="us", choices=[system.value for system in UnitSystem])

    def handle(self, *args: Any, **options: Any) -> None:
        """Print the list or the question."""
        slug = options["maker"]
        if slug is None:
            for maker in MAKERS.values():
                self.stdout.write(
                    f"{maker.slug}  ({maker.area}, {maker.criterion}, {maker.kind}, {maker.level})"
                )
            return
        if slug not in MAKERS:
            near = get_close_matches(slug, MAKERS, n=1, cutoff=0.0)[0]
            raise CommandError(f"No question maker is called '{slug}'. Did you mean '{near}'?")
        for line in _told(make(MAKERS[slug], options["seed"], cast("System", options["units"]))):
            self.stdout.write(line)


def _told(question: Keyed) -> Iterator[str]:
    yield question["stem"]
    for option in question["options"]:
        yield f"  {'*' if option['right'] else '-'} {option['text']}: {option['reason']}"
    for step in question["steps"]:
        yield f"  {step['place']}. {step['text']}: {step['reason']}"
    if (number := question["number"]) is not None:
        yield f"  * {number['shown']}, give or take {100 * number['tolerance']:g} %"
        for slip in number["slips"]:
            yield f"  - {slip['shown']}: {slip['reason']}"
    yield f"{question['explanation']} Source: {question['source']}. Criterion {question['criterion']}."
