"""Deeds about papers. Each is atomic; what counts leaves its audit entry."""

from __future__ import annotations

import re
import secrets
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal
from typing import TYPE_CHECKING, Any, TypedDict, cast

from django.conf import settings
from django.db import transaction

from simulator import units
from training.grading import papers as grading
from training.papers import queries, rules
from training.papers.drawer import read_papers, read_questions
from training.papers.exceptions import BadAnswer
from training.papers.makers import MAKERS, make, specimens
from training.papers.models import Paper, Question, Sitting, SittingQuestion
from training.people.actions import record_audit

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime
    from fractions import Fraction
    from pathlib import Path

    from simulator.units import System
    from training.grading.papers import Answer, Keyed
    from training.papers.drawer import Entry
    from training.people.models import Member

_HAS_UNIT = re.compile(r"[^\W\d_]|[%°$]")


class Given(TypedDict, total=False):
    """What a page gave as an answer: ids chosen, ids in order, or text typed."""

    chosen: list[str]
    order: list[str]
    typed: str


@dataclass(frozen=True)
class Loaded:
    """What loading the drawer changed."""

    added: int
    changed: int
    unchanged: int
    retired: int


@transaction.atomic
def load_drawer(*, questions: Path | None = None, papers: Path | None = None) -> Loaded:
    """Read questions and papers into the database.

    Safe to run again: a question is known by its slug and counts up its version when its words or key change; a
    question maker when its specimen does.
    One that left the drawer stays for its sittings and is drawn no more.
    """
    entries = read_questions(questions or settings.FIXTURES / "questions") | specimens()
    sheets = read_papers(papers or settings.FIXTURES / "papers.toml")
    cards = [_card(entry.question, entry.family, "us") for entry in entries.values()]
    for sheet in sheets.values():
        rules.draw(cards, sheet.draw, sheet.at_least, 0, sheet.made)
    loaded = _load_questions(entries)
    for sheet in sheets.values():
        row = {key: value for key, value in vars(sheet).items() if key != "slug"}
        Paper.objects.update_or_create(slug=sheet.slug, defaults={**row, "live": True})
    Paper.objects.exclude(slug__in=sheets).update(live=False)
    return loaded


def _load_questions(entries: dict[str, Entry]) -> Loaded:
    known = {question.slug: question for question in Question.objects.all()}
    added = changed = unchanged = 0
    for slug, entry in entries.items():
        question = known.get(slug)
        if question is None:
            Question.objects.create(slug=slug, **_row(entry, 1))
            added += 1
            continue
        is_same = question.live and {**question.content, "version": 0} == entry.question
        if is_same and (question.level, question.family) == (entry.level, entry.family):
            unchanged += 1
            continue
        version = question.version + ({**question.content, "version": 0} != entry.question)
        Question.objects.filter(pk=question.pk).update(**_row(entry, version))
        changed += 1
    retired = Question.objects.filter(live=True).exclude(slug__in=entries).update(live=False)
    return Loaded(added=added, changed=changed, unchanged=unchanged, retired=retired)


def _row(entry: Entry, version: int) -> dict[str, Any]:
    return {
        "version": version,
        "area": entry.question["area"],
        "kind": entry.question["kind"],
        "level": entry.level,
        "family": entry.family,
        "content": {**entry.question, "version": version},
        "live": True,
    }


@transaction.atomic
def begin_sitting(*, paper: Paper, member: Member, at: datetime, seed: int | None = None) -> Sitting:
    """Begin a sitting, or give the one this member has open on this paper."""
    drawn_by = secrets.randbits(31) if seed is None else seed
    sitting, is_new = Sitting.objects.get_or_create(
        member=member,
        paper=paper,
        handed_in_at=None,
        defaults={"seed": drawn_by, "started_at": at, "pass_percent": paper.pass_percent},
    )
    if not is_new:
        return sitting
    rows = {question.slug: question for question in Question.objects.filter(live=True)}
    system = cast("System", member.unit_system)
    cards = [_card(cast("Keyed", row.content), row.family, system) for row in rows.values()]
    drawn = rules.draw(cards, paper.draw, paper.at_least, drawn_by, paper.made)
    SittingQuestion.objects.bulk_create(
        SittingQuestion(sitting=sitting, position=i, question=rows[question["slug"]], content=question)
        for i, question in enumerate(drawn, 1)
    )
    record_audit(
        actor=member, deed="paper-begun", subject=str(sitting), at=at, details={"sitting": sitting.pk}
    )
    return sitting


def _card(question: Keyed, family: str, system: System) -> rules.Card:
    """Give a question to be drawn; one of a maker is made anew, in the units of who sits the paper."""
    maker = MAKERS.get(question["slug"])
    if maker is None:
        return rules.Card(question, family)

    def made(seed: str) -> Keyed:
        return {**make(maker, seed, system), "version": question["version"]}

    return rules.Card(question, family, made)


@transaction.atomic
def answer_question(*, sitting: Sitting, position: int, given: Given, at: datetime) -> None:
    """Keep an answer in place of an earlier one; nothing given takes the earlier one back."""
    rules.check_may_answer(Sitting.objects.select_for_update().get(pk=sitting.pk))
    line = SittingQuestion.objects.get(sitting=sitting, position=position)
    answer = read_answer(cast("Keyed", line.content), given)
    if answer == line.answer:
        return
    line.answer = answer
    line.answered_at = None if answer is None else at
    line.save(update_fields=["answer", "answered_at"])


def read_answer(question: Keyed, given: Given) -> Answer | None:
    """Read what was given as an answer, None if nothing was; refuse what cannot be one."""
    match question["kind"]:
        case "single" | "multiple":
            return _read_choice(question, given.get("chosen", []))
        case "order":
            return _read_order(question, given.get("order", []))
        case "number":
            return _read_number(question, given.get("typed", ""))


def _read_choice(question: Keyed, chosen: list[str]) -> Answer | None:
    known = {option["id"] for option in question["options"]}
    if not set(chosen) <= known:
        raise BadAnswer("That option is not on this page. Choose from those shown.")
    if question["kind"] == "single" and len(chosen) > 1:
        raise BadAnswer("Choose one answer only.")
    return {"chosen": sorted(set(chosen))} if chosen else None


def _read_order(question: Keyed, order: list[str]) -> Answer | None:
    if not order:
        return None
    if sorted(order) != sorted(step["id"] for step in question["steps"]):
        raise BadAnswer("Give each step its own place, every place once.")
    return {"order": order}


def _read_number(question: Keyed, typed: str) -> Answer | None:
    number = question["number"]
    if number is None or not typed.strip():
        return None
    if not _HAS_UNIT.search(typed):
        raise BadAnswer(
            f"'{typed.strip()[:40]}' has no unit. Write the number and its unit ({queries.units_of(question)})."
        )
    try:
        return {"text": typed.strip(), "value": units.read(typed, number["quantity"])}
    except units.NotAQuantity as refusal:
        raise BadAnswer(str(refusal)) from refusal


@transaction.atomic
def hand_in(*, sitting: Sitting, at: datetime) -> Sitting:
    """Hand the paper in as a whole and mark it. Done already, it changes nothing."""
    held = Sitting.objects.select_for_update().select_related("member", "paper").get(pk=sitting.pk)
    if not rules.may_answer(held):
        return held
    lines = list(SittingQuestion.objects.filter(sitting=held).order_by("position"))
    marks = [grading.mark_answer(cast("Keyed", line.content), line.answer) for line in lines]
    for line, mark in zip(lines, marks, strict=True):
        line.points = _rounded_down(mark.points, "0.0001")
    SittingQuestion.objects.bulk_update(lines, ["points"])
    verdict = grading.judge(marks, held.pass_percent)
    held.handed_in_at = at
    held.mark = _rounded_down(verdict.percent, "0.01")
    held.result = verdict.result
    held.save(update_fields=["handed_in_at", "mark", "result"])
    _audit_hand_in(held, marks, at)
    return held


def _audit_hand_in(sitting: Sitting, marks: Iterable[grading.Mark], at: datetime) -> None:
    details = {
        "sitting": sitting.pk,
        "mark": str(sitting.mark),
        "result": sitting.result,
        "safety_missed": sum(mark.safety and not mark.is_right for mark in marks),
    }
    record_audit(actor=sitting.member, deed="paper-handed-in", subject=str(sitting), at=at, details=details)


def _rounded_down(share: Fraction, places: str) -> Decimal:
    """Never up: a mark just under the pass line must not look like one on it."""
    exact = Decimal(share.numerator) / Decimal(share.denominator)
    return exact.quantize(Decimal(places), rounding=ROUND_DOWN)
