"""Refusals of what was typed: which line, what is wrong with it, and what to look at on the machine."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True)
class Problem:
    """One line that cannot be used as it stands."""

    line: str
    why: str
    look: str

    def __str__(self) -> str:
        """The problem as one sentence after another."""
        end = "" if self.why.endswith(("?", ".")) else "."
        return f"{self.line}: {self.why}{end} {self.look}"


class BadPlate(ValueError):
    """What was typed contradicts itself or cannot be read; `problems` says where, why and where to look."""

    def __init__(self, problems: Iterable[Problem], which: str = "plate") -> None:
        self.problems = tuple(problems)
        self.which = which
        super().__init__(f"{which}: " + " ".join(str(problem) for problem in self.problems))
