"""A machine at rest, for pages where nothing on it can be touched: `{% load machines %}{% machine "twin-60" %}`."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from django import template
from django.template.loader import render_to_string

from training.bench.case import rig_of
from training.bench.drawing.picture import picture

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

register = template.Library()


@register.simple_tag
@cache
def machine(rig: str) -> SafeString:
    """Draw a machine at rest. Drawn once for each server: it never changes and takes most of a page's time."""
    return render_to_string("front/_machine.html", {"rig": picture(rig_of(rig))})
