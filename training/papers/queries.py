"""Reads of papers and sittings, as the rows that pages show."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from django.db.models import Count, Q

from simulator.quantities import QUANTITIES
from training.grading.papers import slip_made
from training.papers import shown
from training.papers.models import Paper, Sitting, SittingQuestion

if TYPE_CHECKING:
    from collections.abc import Iterable

    from django.db.models import QuerySet

    from training.grading.papers import Answer, Keyed
    from training.people.models import Member


def papers_on_offer() -> QuerySet[Paper]:
    """List the papers that can be begun."""
    return Paper.objects.filter(live=True).order_by("title", "pk")


def sittings_of(member: Member) -> QuerySet[Sitting]:
    """List the sittings of one member; nobody opens somebody else's."""
    return Sitting.objects.filter(member=member).select_related("paper")


def my_papers(member: Member) -> tuple[shown.MyPaper, ...]:
    """Give each paper with this member's open sitting and results, newest result first."""
    papers = list(papers_on_offer())
    answered = Count("questions", filter=Q(questions__answer__isnull=False))
    sittings = list(sittings_of(member).annotate(answered=answered).order_by("-handed_in_at", "-pk"))
    return tuple(_my_paper(paper, [one for one in sittings if one.paper_id == paper.pk]) for paper in papers)


def _my_paper(paper: Paper, sittings: list[Sitting]) -> shown.MyPaper:
    begun = next((one for one in sittings if one.handed_in_at is None), None)
    return shown.MyPaper(
        slug=paper.slug,
        title=paper.title,
        lede=paper.lede,
        questions=paper.length,
        pass_percent=paper.pass_percent,
        open_sitting=begun.pk if begun else None,
        answered=begun.answered if begun else 0,  # type: ignore[attr-defined]  # annotated by my_papers
        begun_at=begun.started_at if begun else None,
        results=tuple(result_of(one) for one in sittings if one.handed_in_at is not None),
    )


def results_by_member(members: Iterable[Member]) -> dict[int, tuple[shown.PaperResult, ...]]:
    """Give each member's latest result of each paper, by the member's key, in order of title."""
    keys = [member.pk for member in members]
    sittings = (
        Sitting.objects.filter(member__in=keys, handed_in_at__isnull=False)
        .select_related("paper")
        .order_by("paper__title", "handed_in_at", "pk")
    )
    latest: dict[int, dict[int, shown.PaperResult]] = {key: {} for key in keys}
    for sitting in sittings:
        latest[sitting.member_id][sitting.paper_id] = result_of(sitting)
    return {key: tuple(results.values()) for key, results in latest.items()}


def result_of(sitting: Sitting) -> shown.PaperResult:
    """Give the result of a sitting that was handed in."""
    if sitting.handed_in_at is None or sitting.mark is None:
        raise ValueError("a sitting has a result only when it has been handed in")
    return shown.PaperResult(
        sitting=sitting.pk,
        paper=sitting.paper.slug,
        title=sitting.paper.title,
        handed_in_at=sitting.handed_in_at,
        mark=sitting.mark,
        result=sitting.result,
    )


def open_sitting(sitting: Sitting) -> shown.OpenSitting:
    """Give the step bar of a sitting."""
    lines = sitting.questions.order_by("position").values_list("position", "answer")
    return shown.OpenSitting(
        pk=sitting.pk,
        title=sitting.paper.title,
        pass_percent=sitting.pass_percent,
        stops=tuple(shown.Stop(position, answer is not None) for position, answer in lines),
    )


def open_question(line: SittingQuestion) -> shown.OpenQuestion:
    """Give a question as its page shows it, with the answer kept so far."""
    question = cast("Keyed", line.content)
    answer = _answer_of(line)
    return shown.OpenQuestion(
        position=line.position,
        kind=question["kind"],
        stem=question["stem"],
        safety=question["safety"],
        choices=tuple(
            shown.Choice(option["id"], option["text"], option["id"] in answer.get("chosen", []))
            for option in question["options"]
        ),
        steps=_places(question, answer.get("order", [])),
        typed=answer.get("text", ""),
        units=units_of(question),
    )


def _answer_of(line: SittingQuestion) -> Answer:
    return cast("Answer", line.answer or {})


def units_of(question: Keyed) -> str:
    """List the units a number may be written in; nothing for other kinds."""
    number = question["number"]
    return ", ".join(unit.label for unit in QUANTITIES[number["quantity"]].units) if number else ""


def _places(question: Keyed, order: list[str]) -> tuple[shown.Place, ...]:
    """List the steps as they were put, or as they were dealt."""
    texts = {step["id"]: step["text"] for step in question["steps"]}
    if order:
        return tuple(shown.Place(step, texts[step], str(i)) for i, step in enumerate(order, 1))
    return tuple(shown.Place(step, text, "") for step, text in texts.items())


def review_of(sitting: Sitting) -> shown.Review:
    """Give each question with what was answered, what is right, why, and where that is from."""
    lines = sitting.questions.order_by("position")
    return shown.Review(
        result=result_of(sitting),
        pass_percent=sitting.pass_percent,
        questions=tuple(_reviewed(line) for line in lines),
    )


def _reviewed(line: SittingQuestion) -> shown.ReviewedQuestion:
    if line.points is None:
        raise ValueError("a question has a mark only when its paper has been handed in")
    question = cast("Keyed", line.content)
    answer = _answer_of(line)
    chosen, order = answer.get("chosen", []), answer.get("order", [])
    return shown.ReviewedQuestion(
        position=line.position,
        kind=question["kind"],
        stem=question["stem"],
        safety=question["safety"],
        is_answered=line.answer is not None,
        points=line.points,
        options=tuple(
            shown.ReviewedOption(option["text"], option["id"] in chosen, option["right"], option["reason"])
            for option in question["options"]
        ),
        steps=tuple(
            shown.ReviewedStep(
                step["text"],
                step["place"],
                order.index(step["id"]) + 1 if step["id"] in order else None,
                step["reason"],
            )
            for step in sorted(question["steps"], key=lambda step: step["place"])
        ),
        number=_reviewed_number(question, answer),
        explanation=question["explanation"],
        source=question["source"],
        criterion=question["criterion"],
    )


def _reviewed_number(question: Keyed, answer: Answer) -> shown.ReviewedNumber | None:
    number = question["number"]
    if number is None:
        return None
    slip = slip_made(answer["value"], number) if "value" in answer else None
    return shown.ReviewedNumber(
        typed=answer.get("text", ""),
        shown=number["shown"],
        tolerance_percent=round(100 * number["tolerance"], 1),
        slip=slip["reason"] if slip else "",
    )
