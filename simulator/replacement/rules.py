"""A rule with its source, and the five things it can say of a part."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator.replacement.verdict import Reason, Standing, Verdict

if TYPE_CHECKING:
    from simulator.replacement.verdict import Figure


@dataclass(frozen=True)
class Rule:
    """One thing that is compared: its code, the plate's line, the rule in words and where it comes from."""

    code: str
    line: str
    rule: str
    source: str
    standing: Standing = Standing.PUBLISHED

    def fits(self, statement: str, *figures: Figure) -> Reason:
        """It fits as it is."""
        return self._reason(Verdict.FITS, statement, figures)

    def changes(self, statement: str, change: str, *figures: Figure) -> Reason:
        """It fits when something else is changed."""
        return self._reason(Verdict.FITS_WITH_CHANGES, statement, figures, change=change)

    def asks(self, statement: str, question: str, *figures: Figure) -> Reason:
        """It cannot be judged before a question is answered."""
        return self._reason(Verdict.UNANSWERED, statement, figures, question=question)

    def refuses(self, statement: str, *figures: Figure) -> Reason:
        """It does not fit."""
        return self._reason(Verdict.DOES_NOT_FIT, statement, figures)

    def warns(self, statement: str, *figures: Figure) -> Reason:
        """It is unsafe."""
        return self._reason(Verdict.UNSAFE, statement, figures)

    def _reason(
        self,
        verdict: Verdict,
        statement: str,
        figures: tuple[Figure, ...],
        *,
        change: str = "",
        question: str = "",
    ) -> Reason:
        return Reason(
            code=self.code,
            verdict=verdict,
            line=self.line,
            statement=statement,
            rule=self.rule,
            source=self.source,
            standing=self.standing,
            figures=figures,
            change=change,
            question=question,
        )
