"""What the page of a question may send. Whether it answers the question, the action says."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from training.papers.exceptions import BadAnswer

if TYPE_CHECKING:
    from django.http import QueryDict

    from training.papers.actions import Given
    from training.papers.shown import OpenQuestion


def as_sent(question: OpenQuestion, data: QueryDict) -> OpenQuestion:
    """Show the question with what was sent in place of what was kept, so that nothing typed is lost."""
    chosen = data.getlist("chosen")
    return replace(
        question,
        choices=tuple(replace(one, is_chosen=one.id in chosen) for one in question.choices),
        steps=tuple(replace(one, place=data.get(f"place-{one.id}", "")) for one in question.steps),
        typed=data.get("typed", ""),
    )


def given(sent: OpenQuestion, data: QueryDict) -> Given:
    """Read what the page of this question sent."""
    match sent.kind:
        case "order":
            return {"order": _order(sent)}
        case "number":
            return {"typed": data.get("typed", "")}
        case _:
            return {"chosen": data.getlist("chosen")}


def _order(sent: OpenQuestion) -> list[str]:
    """Turn the place chosen for each step into an order; no place at all is no answer."""
    places = [step.place for step in sent.steps]
    if not any(places):
        return []
    _check_places(sent, places)
    return [step.id for step in sorted(sent.steps, key=lambda step: int(step.place))]


def _check_places(sent: OpenQuestion, places: list[str]) -> None:
    missing = [f"'{step.text}'" for step in sent.steps if not step.place]
    if missing:
        raise BadAnswer(
            f"No place yet for {' and '.join(missing)}. Give it one, or clear all to leave it open."
        )
    if not set(places) <= set(sent.places):
        raise BadAnswer(f"A place is a number from 1 to {len(places)}.")
    twice = [place for place in sent.places if places.count(place) > 1]
    if twice:
        raise BadAnswer(f"Place {' and '.join(twice)} is given more than once. Give each step its own place.")
