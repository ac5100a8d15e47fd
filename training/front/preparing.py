"""What is made ready before the site is served: the call book, the question drawer and the engine."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

STEPS: tuple[tuple[str, Callable[[], object]], ...] = ()
