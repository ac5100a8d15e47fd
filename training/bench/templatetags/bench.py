"""Tags of the bench's pages: the hidden fields of a deed, clocks and icons."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Any

from django import template

from training.bench.drawing.chart import clock_words

if TYPE_CHECKING:
    from django.template.context import Context

register = template.Library()

TOOL_ICONS = {
    "look": "i-look", "listen": "i-listen", "feel": "i-feel", "soap": "i-soap", "clamp": "i-clamp",
    "volts": "i-volt", "probe": "i-probe", "time": "i-time", "ask": "i-crew",
}  # fmt: skip
KIND_ICONS = {"ask": "i-crew", "safe": "i-lock", "critical": "i-out", "repair": "i-pen", "proof": "i-tick"}


@register.inclusion_tag("bench/_deed.html", takes_context=True)
def deed(context: Context, name: str, **details: Any) -> dict[str, Any]:
    """Write the hidden fields that every deed carries: its name, the rig's clock and a key used once."""
    return {
        "csrf_token": context.get("csrf_token"),
        "deed": name,
        "at": repr(float(context["view"].clock)),
        "key": str(uuid.uuid4()),
        "details": details,
    }


@register.filter
def clock(seconds: float) -> str:
    """Show the rig's clock: 125.4 gives 2:05."""
    return clock_words(float(seconds))


@register.filter
def minutes(value: float) -> str:
    """Show minutes as a technician says them: 0.5 gives ½ min, 12.0 gives 12 min."""
    if float(value) == 0.5:
        return "½ min"
    return f"{float(value):.1f}".rstrip("0").rstrip(".") + " min"


@register.filter
def tool_icon(tool: str) -> str:
    """Name the icon of a tool's pocket."""
    return TOOL_ICONS.get(tool, "i-look")


@register.filter
def note_icon(note: Any) -> str:
    """Name the icon of a job note."""
    return KIND_ICONS.get(note.kind) or (tool_icon(note.tool) if note.tool else "i-pen")


@register.filter
def marks_words(value: float) -> str:
    """Show marks without idle zeros: 12.0 gives 12, a loss has a minus sign."""
    return f"{float(value):.1f}".rstrip("0").rstrip(".").replace("-", "\N{MINUS SIGN}")


@register.filter(name="of")
def look_up(table: dict[str, str], name: str) -> str:
    """Read a table by name; nothing where it has no such row."""
    return table.get(name, "")
