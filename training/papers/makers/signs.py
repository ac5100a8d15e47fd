"""Signs of arithmetic, by name: on screen they look like letters and hyphens."""

from __future__ import annotations

from typing import Final

TIMES: Final = "\N{MULTIPLICATION SIGN}"
MINUS: Final = "\N{MINUS SIGN}"
