"""How a comparison may end, as options of a question."""

from __future__ import annotations

from typing import Final

from training.papers.makers.maker import Choice
from training.papers.makers.trade import Verdict

ENDINGS: Final = {  # all of one length, so that none stands out
    Verdict.FITS: "It fits as it stands",
    Verdict.FITS_WITH_CHANGES: "It fits with changes",
    Verdict.DOES_NOT_FIT: "It does not fit here",
    Verdict.UNSAFE: "It would be a danger",
}


def endings(found: Verdict, said: str, belief: str) -> tuple[Choice, ...]:
    """Offer every ending; the right one is what the verdict engine found, and `belief` takes it for "fits"."""
    return tuple(_ending(one, found, said, belief) for one in ENDINGS)


def _ending(one: Verdict, found: Verdict, said: str, belief: str) -> Choice:
    if one is found:
        return Choice(ENDINGS[one], True, said)
    apart = "Too mild." if one.danger < found.danger else "Too strict."
    return Choice(
        ENDINGS[one], False, f"{apart} {said}", belief if one is Verdict.FITS else _strict(one, found)
    )


def _strict(one: Verdict, found: Verdict) -> str:
    fits = (Verdict.FITS, Verdict.FITS_WITH_CHANGES)
    return "only-the-same-part-fits" if one is Verdict.DOES_NOT_FIT and found in fits else ""
