"""Published tables, copied here with their source beside them, that the tests check against."""

import tomllib
from pathlib import Path
from typing import Any


def load(name: str) -> dict[str, Any]:
    """Read one file of published tables."""
    return tomllib.loads(Path(__file__).with_name(f"{name}.toml").read_text(encoding="utf-8"))
