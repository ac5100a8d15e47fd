"""Refusals, in words for the person refused."""

from __future__ import annotations


class PaperRefusal(Exception):
    """Something a sitting does not allow; the message says why and what to do."""


class SittingClosed(PaperRefusal):
    """The paper has been handed in: its answers stand."""


class BadAnswer(PaperRefusal):
    """What was given cannot be read as an answer to this question."""


class DrawerTooThin(PaperRefusal):
    """The drawer does not hold the questions a paper asks for."""
