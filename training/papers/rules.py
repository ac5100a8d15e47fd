"""Which questions a sitting gets, in what order, and when it may still be answered."""

from __future__ import annotations

from collections import Counter
from itertools import groupby
from random import Random
from string import ascii_lowercase
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, NamedTuple

from training.papers.exceptions import DrawerTooThin, SittingClosed

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from training.grading.papers import Keyed, Option, Step
    from training.papers.models import Sitting

TRIES: Final = 2000
NONE_MADE: Final[Mapping[str, int]] = MappingProxyType({})


class Card(NamedTuple):
    """A question in the drawer; two of one family are never drawn together, as one gives the other away.

    One with a maker is only a specimen: `make` gives the question itself, with the numbers of a seed.
    """

    question: Keyed
    family: str
    make: Callable[[str], Keyed] | None = None


def check_may_answer(sitting: Sitting) -> None:
    """Refuse answers to a paper that has been handed in."""
    if sitting.handed_in_at is not None:
        raise SittingClosed(
            "This paper has been handed in, so its answers stand. Read its review, or begin a new sitting."
        )


def may_answer(sitting: Sitting) -> bool:
    """Whether answers are still taken."""
    try:
        check_may_answer(sitting)
    except SittingClosed:
        return False
    return True


def draw(
    cards: Sequence[Card],
    per_area: Mapping[str, int],
    at_least: Mapping[str, int],
    seed: int,
    made: Mapping[str, int] = NONE_MADE,
) -> list[Keyed]:
    """Draw the questions of one sitting: the same cards and seed give the same paper.

    `made` says how many of an area come from makers; each gets numbers of its own by its place. Draws are repeated
    until the kinds asked for are among them and no family is there twice, so that every paper that keeps the rules
    is as likely as any other.
    """
    rng = Random(seed)  # noqa: S311  # a fair shuffle that can be repeated, not a secret
    piles = _piles(cards, per_area, made)
    for _ in range(TRIES):
        drawn = [card for pile, count in piles for card in rng.sample(pile, count)]
        if _keeps_the_rules(drawn, at_least):
            rng.shuffle(drawn)
            return [lay_out(_asked(card, f"{seed}/{place}"), rng) for place, card in enumerate(drawn, 1)]
    raise DrawerTooThin(
        "No draw from the drawer has the kinds of question this paper asks for. Add some to it."
    )


def _piles(
    cards: Sequence[Card], per_area: Mapping[str, int], made: Mapping[str, int]
) -> list[tuple[list[Card], int]]:
    """Sort the cards by area, written and made ones apart, each pile with how many are drawn from it."""
    areas = {
        area: list(found)
        for area, found in groupby(sorted(cards, key=_by_area), key=lambda card: card.question["area"])
    }
    piles = []
    for area, count in per_area.items():
        of_makers = made.get(area, 0)
        for what, pile, wanted in (
            ("questions", [card for card in areas.get(area, []) if card.make is None], count - of_makers),
            ("question makers", [card for card in areas.get(area, []) if card.make is not None], of_makers),
        ):
            if len(pile) < wanted:
                raise DrawerTooThin(f"The drawer holds fewer than {wanted} {what} on {area}. Add some to it.")
            piles.append((pile, wanted))
    return piles


def _asked(card: Card, seed: str) -> Keyed:
    return card.question if card.make is None else card.make(seed)


def _by_area(card: Card) -> tuple[str, str]:
    return card.question["area"], card.question["slug"]


def _keeps_the_rules(drawn: Sequence[Card], at_least: Mapping[str, int]) -> bool:
    kinds = Counter(card.question["kind"] for card in drawn)
    families = [card.family for card in drawn if card.family]
    return len(set(families)) == len(families) and all(kinds[kind] >= n for kind, n in at_least.items())  # type: ignore[index]  # a kind the loader has checked


def lay_out(question: Keyed, rng: Random) -> Keyed:
    """Shuffle options or steps and name them by their new places, so that a name tells nothing."""
    shuffled = rng.sample(question["options"], len(question["options"]))
    options: list[Option] = [
        {**option, "id": name} for name, option in zip(ascii_lowercase, shuffled, strict=False)
    ]
    steps: list[Step] = [
        {**step, "id": name}
        for name, step in zip(ascii_lowercase, _mixed(question["steps"], rng), strict=False)
    ]
    return {**question, "options": options, "steps": steps}


def _mixed(steps: Sequence[Step], rng: Random) -> list[Step]:
    """Shuffle steps until they no longer stand in the right order."""
    mixed = list(steps)
    while mixed and [step["place"] for step in mixed] == sorted(step["place"] for step in mixed):
        rng.shuffle(mixed)
    return mixed
