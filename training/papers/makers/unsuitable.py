"""What a maker says of a draw that would make no fair question."""

from __future__ import annotations


class Unsuitable(Exception):
    """A draw that would make no fair question; the next one may."""
