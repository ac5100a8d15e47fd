"""A question maker: what it asks about, how it drafts from drawn numbers, and how a draft becomes a question."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random
from typing import TYPE_CHECKING, Final

from training.papers.makers import fair, trade
from training.papers.makers.beliefs import truth
from training.papers.makers.unsuitable import Unsuitable

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from simulator.units import System
    from training.grading.papers import Keyed, Kind, Number, Option, Slip, Step

TRIES: Final = 200
TOLERANCE: Final = 0.05  # of the key; the competence framework's default


class MakerGaveUp(RuntimeError):
    """Many draws in a row gave no fair question: the maker's ladders are too narrow."""


@dataclass(frozen=True)
class Choice:
    """An option: what it says, whether the simulator finds it right, and why.

    `belief` picks it where it is wrong, and leaves it out where it is one of several right ones.
    """

    text: str
    right: bool
    reason: str
    belief: str = ""


@dataclass(frozen=True)
class Miss:
    """A wrong number that a belief or a slip leads to. [SI]"""

    value: float
    reason: str
    belief: str = ""


@dataclass(frozen=True)
class Draft:
    """A question before it is frozen. `drawn` holds the drawn figures in SI, so that the key can be checked by hand."""

    stem: str
    explanation: str
    source: str
    drawn: Mapping[str, float] = field(default_factory=dict)
    choices: tuple[Choice, ...] = ()
    order: tuple[tuple[str, str], ...] = ()  # step and reason, in the right order
    quantity: str = ""
    key: float = 0.0
    tolerance: float = TOLERANCE
    misses: tuple[Miss, ...] = ()


@dataclass(frozen=True)
class Maker:
    """A question with drawn numbers: where it belongs, and the pure function that drafts it."""

    slug: str
    area: str
    criterion: str
    kind: Kind
    level: str
    draft: Callable[[Random, System], Draft]
    safety: bool = False
    family: str = ""
    fault: str = ""
    procedure: str = ""


def make(maker: Maker, seed: str, system: System) -> Keyed:
    """Make the question of a seed in a member's units: the same seed gives the same question."""
    return drafted(maker, seed, system)[1]


def drafted(maker: Maker, seed: str, system: System) -> tuple[Draft, Keyed]:
    """Draft the question of a seed and freeze it. A draw that would make no fair question is drawn again."""
    rng = Random(f"{maker.slug}/{seed}")  # noqa: S311  # a draw that can be repeated, not a secret
    for _ in range(TRIES):
        try:
            draft = maker.draft(rng, system)
            question = _frozen(maker, draft, system)
            fair.check(question, draft.drawn.values())
        except Unsuitable:
            continue
        return draft, question
    raise MakerGaveUp(f"{maker.slug}: no fair question in {TRIES} draws")


def _frozen(maker: Maker, draft: Draft, system: System) -> Keyed:
    return {
        "slug": maker.slug,
        "version": 0,
        "area": maker.area,
        "criterion": maker.criterion,
        "kind": maker.kind,
        "rig": "",
        "stem": draft.stem,
        "safety": maker.safety,
        "explanation": draft.explanation,
        "source": draft.source.rstrip("."),
        "fault": maker.fault,
        "procedure": maker.procedure,
        "options": [_option(i, choice) for i, choice in enumerate(draft.choices, 1)],
        "steps": [_step(i, *step) for i, step in enumerate(draft.order, 1)],
        "number": _number(draft, system) if maker.kind == "number" else None,
    }


def _option(place: int, choice: Choice) -> Option:
    option: Option = {
        "id": str(place),
        "text": choice.text,
        "right": choice.right,
        "reason": _against(choice.reason, choice.belief),
    }
    if choice.belief:
        option["belief"] = choice.belief
    return option


def _step(place: int, text: str, reason: str) -> Step:
    return {"id": str(place), "text": text, "place": place, "reason": reason}


def _number(draft: Draft, system: System) -> Number:
    return {
        "quantity": draft.quantity,
        "key": draft.key,
        "shown": trade.shown(draft.key, draft.quantity, system),
        "tolerance": draft.tolerance,
        "slips": [_slip(miss, draft.quantity, system) for miss in draft.misses],
    }


def _slip(miss: Miss, quantity: str, system: System) -> Slip:
    slip: Slip = {
        "value": miss.value,
        "shown": trade.shown(miss.value, quantity, system),
        "reason": _against(miss.reason, miss.belief),
    }
    if miss.belief:
        slip["belief"] = miss.belief
    return slip


def _against(reason: str, belief: str) -> str:
    return f"{reason} {truth(belief)}" if belief else reason
