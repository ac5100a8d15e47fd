"""Quantities as the reader wants them: `{% load quantities %}{% quantity reading.value "gauge_pressure" %}`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import template

from simulator import units

if TYPE_CHECKING:
    from django.template.context import Context

register = template.Library()


def system_of(context: Context) -> units.System:
    """Read the reader's unit system from the request; US customary when nobody is signed in."""
    request: Any = context.get("request")
    chosen = getattr(getattr(request, "user", None), "unit_system", "us")
    return "metric" if chosen == "metric" else "us"


@register.simple_tag(takes_context=True)
def quantity(context: Context, value: float, name: str, digits: int | None = None) -> str:
    """Show an SI value with its unit: `{% quantity reading.value "gauge_pressure" %}` gives 118.2 psi or 8.15 bar."""
    return units.show(value, name, system_of(context), digits)
