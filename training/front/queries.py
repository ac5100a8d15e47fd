"""Gather what the pages that cross apps show. The number of queries does not grow with the crew."""

from __future__ import annotations

from typing import TYPE_CHECKING

from training.bench import queries as bench
from training.cases.queries import calls_on_sheet
from training.front.shown import Board, CallCell, Column, CrewRow, Lead, PaperCell, Today
from training.papers import queries as papers
from training.people import queries as people
from training.people import rules

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from training.bench.standing import CallOnBoard, CallResult, MemberResults, OpenAttempt
    from training.papers.shown import MyPaper, PaperResult
    from training.people.models import Member

CALLS_SHOWN = 6
RESULTS_SHOWN = 6
REVIEW_SHOWN = 10
FINISHED_SHOWN = 60


def today_of(member: Member) -> Today:
    """Gather what waits for this member."""
    calls = bench.calls_on_board(member)
    attempt = bench.open_attempt_of(member)
    lead = _lead(calls, attempt)
    waiting = [call for call in calls if call.standing != "competent" and not (lead and call is lead.call)]
    mine = bench.results_by_member([member])[member.pk].results
    to_sit = papers.my_papers(member)
    teaches = rules.may_see_crew_board(member)
    review = bench.attempts_for_review(member.shop, REVIEW_SHOWN) if teaches else None
    return Today(
        first_name=member.first_name,
        lede=_lede(attempt, to_sit, mine, review),
        lead=lead,
        calls=tuple(waiting[:CALLS_SHOWN]),
        calls_in_all=len(calls),
        papers=to_sit,
        results=mine[:RESULTS_SHOWN],
        review=review,
    )


def _lead(calls: Sequence[CallOnBoard], attempt: OpenAttempt | None) -> Lead | None:
    """Choose the half-done call; else the first not taken yet; else the first not yet competent."""
    ranked = [
        [call for call in calls if attempt and call.public_id == attempt.public_id],
        [call for call in calls if call.standing == "new"],
        [call for call in calls if call.standing != "competent"],
    ]
    chosen = next((found[0] for found in ranked if found), None)
    if chosen is None:
        return None
    call = calls_on_sheet().get(slug=chosen.slug)
    on_bench = attempt if attempt and attempt.public_id == chosen.public_id else None
    return Lead(chosen, call.complaint, on_bench, call.rig)


def _lede(
    attempt: OpenAttempt | None,
    to_sit: Iterable[MyPaper],
    mine: Sequence[CallResult],
    review: Sequence[CallResult] | None,
) -> str:
    """Say in one sentence or two how things stand."""
    half_done = [f"Call {attempt.call_no} is half done on the bench."] if attempt else []
    begun = [f"{paper.title} is begun and not handed in." for paper in to_sit if paper.open_sitting]
    if half_done or begun:
        return " ".join([*half_done, *begun])
    if review is not None:
        return (
            "These calls went wrong for somebody. Go through them together."
            if review
            else "No call waits to be gone through."
        )
    if not mine:
        return "Nothing is begun yet. Take a call: the machine waits until you let it run."
    return "Nothing is half done. Take the next call, or sit a paper."


def board_of(viewer: Member) -> Board:
    """Gather what the viewer's shop has done."""
    crew = list(people.crew_of(viewer.shop))
    call_results, paper_results = bench.results_by_member(crew), papers.results_by_member(crew)
    calls = tuple(Column(call.no, call.no, call.title) for call in calls_on_sheet())
    sheets = tuple(Column(paper.slug, paper.title, paper.title) for paper in papers.papers_on_offer())
    shown = [
        one
        for one in crew
        if rules.is_apprentice(one) or call_results[one.pk].results or paper_results[one.pk]
    ]
    finished = sorted(
        (result for one in shown for result in call_results[one.pk].results),
        key=lambda r: r.closed_at,
        reverse=True,
    )
    return Board(
        shop=viewer.shop.name,
        calls=calls,
        papers=sheets,
        rows=tuple(_row(one, calls, sheets, call_results[one.pk], paper_results[one.pk]) for one in shown),
        finished=tuple(finished[:FINISHED_SHOWN]),
        finished_in_all=len(finished),
    )


def _row(
    member: Member,
    calls: Sequence[Column],
    sheets: Sequence[Column],
    done: MemberResults,
    sat: Sequence[PaperResult],
) -> CrewRow:
    by_call: dict[str, list[CallResult]] = {}
    for result in done.results:
        by_call.setdefault(result.call_no, []).append(result)
    by_paper = {result.paper: result for result in sat}
    cells = tuple(_call_cell(by_call.get(column.key, [])) for column in calls)
    return CrewRow(
        name=member.name,
        crew_number=member.crew_number,
        role=member.get_role_display(),
        calls=cells,
        papers=tuple(PaperCell(by_paper.get(column.key)) for column in sheets),
        calls_competent=done.competent,
        papers_competent=sum(result.is_competent for result in sat),
        critical=sum(result.critical_count for result in done.results),
        newest=done.newest.closed_at if done.newest else None,
    )


def _call_cell(results: Sequence[CallResult]) -> CallCell:
    return CallCell(results[0], len(results)) if results else CallCell(None)
