"""Pages of the papers: the list, the sitting, the hand-in and the review."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from training.common.htmx import HtmxHttpRequest, render_page
from training.papers import actions, forms, queries, rules
from training.papers.exceptions import BadAnswer, DrawerTooThin, SittingClosed

if TYPE_CHECKING:
    from django.http import HttpResponse

    from training.papers.models import Sitting, SittingQuestion
    from training.papers.shown import OpenQuestion

MOST_DIGITS = 5  # a position beyond them is no question, and no number for the database


@never_cache
@require_safe
def papers(request: HtmxHttpRequest) -> HttpResponse:
    """List the papers with what this member has open and has handed in."""
    return render_page(request, "papers/papers.html", {"papers": queries.my_papers(request.user)})


@require_POST
def begin(request: HtmxHttpRequest, slug: str) -> HttpResponse:
    """Begin a sitting, or go on with the one that is open."""
    paper = get_object_or_404(queries.papers_on_offer(), slug=slug)
    try:
        sitting = actions.begin_sitting(paper=paper, member=request.user, at=timezone.now())
    except DrawerTooThin as refusal:
        context = {"papers": queries.my_papers(request.user), "refusal": str(refusal)}
        return render_page(request, "papers/papers.html", context, status=409)
    return redirect("papers:sitting", sitting.pk)


@never_cache
@require_safe
def sitting(request: HtmxHttpRequest, pk: int) -> HttpResponse:
    """Go on with an open sitting; review one that was handed in."""
    mine = get_object_or_404(queries.sittings_of(request.user), pk=pk)
    if rules.may_answer(mine):
        return redirect("papers:question", pk, queries.open_sitting(mine).first_unanswered)
    return render_page(request, "papers/review.html", {"review": queries.review_of(mine)})


@never_cache
@require_http_methods(["GET", "POST"])
def question(request: HtmxHttpRequest, pk: int, position: int) -> HttpResponse:
    """Show one question and keep its answer."""
    mine = get_object_or_404(queries.sittings_of(request.user), pk=pk)
    line = get_object_or_404(mine.questions, position=position)
    if request.method == "POST":
        return _answer(request, mine, line)
    if not rules.may_answer(mine):
        return redirect("papers:sitting", pk)
    return _question_page(request, mine, queries.open_question(line))


def _answer(request: HtmxHttpRequest, mine: Sitting, line: SittingQuestion) -> HttpResponse:
    sent = forms.as_sent(queries.open_question(line), request.POST)
    try:
        rules.check_may_answer(mine)
        actions.answer_question(
            sitting=mine, position=line.position, given=forms.given(sent, request.POST), at=timezone.now()
        )
    except SittingClosed as refusal:
        return render_page(
            request, "papers/closed.html", {"reason": str(refusal), "pk": mine.pk, "sent": sent}, status=409
        )
    except BadAnswer as refusal:
        return _question_page(request, mine, sent, error=str(refusal))
    return _go_on(mine, request.POST.get("go", ""), line.position + 1)


def _go_on(mine: Sitting, wanted: str, following: int) -> HttpResponse:
    """Go to the question asked for, else to the next one, else to the hand-in."""
    position = (
        int(wanted) if wanted.isascii() and wanted.isdigit() and len(wanted) < MOST_DIGITS else following
    )
    if wanted == "hand-in" or not mine.questions.filter(position=position).exists():
        return redirect("papers:hand_in", mine.pk)
    return redirect("papers:question", mine.pk, position)


def _question_page(
    request: HtmxHttpRequest, mine: Sitting, shown: OpenQuestion, error: str = ""
) -> HttpResponse:
    context = {"sitting": queries.open_sitting(mine), "question": shown, "error": error}
    return render_page(request, "papers/question.html", context, status=422 if error else 200)


@never_cache
@require_http_methods(["GET", "POST"])
def hand_in(request: HtmxHttpRequest, pk: int) -> HttpResponse:
    """Ask once more, with what is still open; then hand the paper in."""
    mine = get_object_or_404(queries.sittings_of(request.user), pk=pk)
    if request.method == "POST":
        actions.hand_in(sitting=mine, at=timezone.now())
        return redirect("papers:sitting", pk)
    if not rules.may_answer(mine):
        return redirect("papers:sitting", pk)
    return render_page(request, "papers/hand_in.html", {"sitting": queries.open_sitting(mine)})
