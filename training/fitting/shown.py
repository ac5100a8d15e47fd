"""What the pages of Will it fit? and of the calculators draw: frozen, ready for a page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from training.fitting.drawing import Drawing


@dataclass(frozen=True)
class Cell:
    """One field: its name in the query, what stands in it and what is wrong with that."""

    name: str
    ident: str
    value: str
    caption: str
    error: str = ""


@dataclass(frozen=True)
class Row:
    """A line of a plate with a field for each sheet that it is typed for."""

    ident: str
    title: str
    look: str
    cells: tuple[Cell, ...]
    is_area: bool = False


@dataclass(frozen=True)
class Group:
    """Lines that belong together; two columns where old and new are typed side by side."""

    ident: str
    title: str
    captions: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Trouble:
    """One thing that is wrong, and the field it is wrong in ("" where it is in none)."""

    ident: str
    title: str
    words: str


@dataclass(frozen=True)
class ReasonShown:
    """A reason with its figures in the reader's units. `field` is where an open question can be answered."""

    title: str
    verdict: str
    verdict_title: str
    look: str
    sign: str
    statement: str
    figures: tuple[tuple[str, str], ...]
    rule: str
    source: str
    standing: str
    change: str
    question: str
    field: str


@dataclass(frozen=True)
class JudgementShown:
    """A verdict and all that it stands on; `fits` apart from what asks for something."""

    verdict: str
    title: str
    look: str
    sign: str
    words: str
    weighty: tuple[ReasonShown, ...]
    fits: tuple[ReasonShown, ...]
    changes: tuple[str, ...]
    questions: tuple[str, ...]
    parts_card: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class RigChoice:
    """A rig whose plates can be started from."""

    value: str
    title: str


@dataclass(frozen=True)
class KindShown:
    """A kind of part on the list."""

    name: str
    title: str
    counts: str


@dataclass(frozen=True)
class FitView:
    """Will it fit? for one kind of part."""

    kind: KindShown
    caution: str
    groups: tuple[Group, ...]
    rigs: tuple[RigChoice, ...]
    rig: str
    rig_title: str
    told: str
    waits: bool  # plates are there and nothing is on offer yet
    troubles: tuple[Trouble, ...]
    judgement: JudgementShown | None
    drawings: tuple[Drawing, ...]
    query: str


@dataclass(frozen=True)
class InputShown:
    """One thing that a calculator asks for."""

    name: str
    title: str
    hint: str
    value: str
    assumed: str
    choices: tuple[str, ...]
    error: str


@dataclass(frozen=True)
class AnswerShown:
    """What a calculator answers, in the reader's units."""

    figures: tuple[tuple[str, str], ...]
    given: tuple[tuple[str, str, bool], ...]
    remarks: tuple[str, ...]
    plot: str


@dataclass(frozen=True)
class CalculatorView:
    """One calculator with what was typed into it."""

    slug: str
    title: str
    question: str
    formula: tuple[str, ...]
    source: str
    standing: str
    caution: str
    inputs: tuple[InputShown, ...]
    troubles: tuple[Trouble, ...]
    answer: AnswerShown | None
    example: str
    example_given: tuple[tuple[str, str], ...]
    example_answer: str
    query: str
