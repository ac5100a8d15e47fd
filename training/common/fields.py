"""Form fields that read quantities through the simulator's closed list of units."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from simulator import units


class QuantityField(forms.CharField):
    """A typed quantity. Cleans to a float in SI; the text as typed stays in the bound form.

    A form that knows its reader calls `for_system`, so that a bare number is read in that reader's unit.
    """

    def __init__(self, *, quantity: str, default_unit: str = "", **kwargs: Any) -> None:
        kwargs.setdefault("max_length", units.MAX_LENGTH)
        super().__init__(**kwargs)
        self.quantity = quantity
        self.default_unit = default_unit

    def for_system(self, system: units.System) -> QuantityField:
        """Read bare numbers in the unit this reader uses."""
        self.default_unit = units.unit(self.quantity, system)
        return self

    def to_python(self, value: Any) -> Any:
        """Read the text; an empty one is None."""
        typed = super().to_python(value)
        if not typed:
            return None
        try:
            return units.read(typed, self.quantity, self.default_unit)
        except units.NotAQuantity as refusal:
            raise ValidationError(str(refusal), code="not_a_quantity") from refusal

    def run_validators(self, value: Any) -> None:
        """Skip the length check of text: the value is a number by now and `read` refused text that is too long."""
