"""What a page sends with every deed. The details are read by the action, which knows the lists."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

if TYPE_CHECKING:
    from django.http import QueryDict

ENVELOPE = frozenset({"csrfmiddlewaretoken", "deed", "at", "key", "tool"})
TRUTH = {"true": True, "false": False}


class DeedForm(forms.Form):
    """The envelope of a deed: which, when on the rig's clock, and a key that is used once."""

    deed = forms.CharField(max_length=16)
    at = forms.FloatField(min_value=0.0, required=False)
    key = forms.CharField(
        max_length=64, error_messages={"required": "The form came without its key. Load the bench again."}
    )

    def words(self) -> str:
        """Say what is wrong with the envelope in one line."""
        return " ".join(f"{name}: {one}" for name, errors in self.errors.items() for one in errors)


def details_of(posted: QueryDict) -> dict[str, Any]:
    """Return what was sent beside the envelope; a yes or no is read, all else stays as it was typed."""
    details: dict[str, Any] = {
        name: values[-1] for name, values in posted.lists() if name not in ENVELOPE and values
    }
    if details.get("out") in TRUTH:
        details["out"] = TRUTH[details["out"]]
    return details
