"""What hangs beside the door: `{% load door %}{% machine_at_the_door %}`."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from django import template
from django.conf import settings
from django.template.loader import render_to_string

from training.bench.drawing.picture import picture

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

register = template.Library()

RIG = "twin-60"


@register.simple_tag
@cache
def machine_at_the_door() -> SafeString:
    """Draw a machine at rest. Drawn once for each server, as it never changes."""
    return render_to_string("front/_machine.html", {"rig": picture(settings.FIXTURES / "pictures", RIG)})
