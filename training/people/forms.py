"""Forms at the door."""

from __future__ import annotations

from django import forms

from training.people.rules import UnitSystem


class SignInForm(forms.Form):
    """Crew number or e-mail, and a password."""

    account = forms.CharField(
        max_length=254,
        error_messages={"required": "Write your crew number or e-mail.", "max_length": "That is too long."},
    )
    password = forms.CharField(
        max_length=1024,
        strip=False,
        error_messages={"required": "Write your password.", "max_length": "That is too long."},
    )


class UnitsForm(forms.Form):
    """A unit system."""

    unit_system = forms.TypedChoiceField(
        choices=[(system.value, system.value) for system in UnitSystem], coerce=UnitSystem
    )
