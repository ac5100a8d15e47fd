"""Today and the Crew board."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.views.decorators.http import require_safe

from training.common.htmx import HtmxHttpRequest, render_page
from training.front import queries
from training.people import rules

if TYPE_CHECKING:
    from django.http import HttpResponse


@require_safe
def today(request: HtmxHttpRequest) -> HttpResponse:
    """Show what waits for this member: a half-done call, calls on the board, papers and results."""
    return render_page(request, "front/today.html", {"today": queries.today_of(request.user)})


@require_safe
def crew_board(request: HtmxHttpRequest) -> HttpResponse:
    """Show who has done what, to those who answer for it."""
    rules.check_may_see_crew_board(request.user)
    return render_page(request, "front/crew_board.html", {"board": queries.board_of(request.user)})
