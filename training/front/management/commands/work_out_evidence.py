"""Work out, beside the served site, what each standard check finds under the suspects of the calls in the book."""

from __future__ import annotations

import os
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from simulator import evidence
from training.bench.case import catalogue, rig_of
from training.cases.models import Call

POLITE = 10  # leaves the processor to those who wait for a page


class Command(BaseCommand):
    """Fill the store of outcome tables; a page that needs one before its turn works it out itself."""

    help = "Work out which checks part the suspects of the calls in the book, and keep it."

    def handle(self, *args: Any, **options: Any) -> None:
        """Go through the calls in the book."""
        served_by = os.getppid()
        if hasattr(os, "nice"):
            os.nice(POLITE)
        for call in Call.objects.order_by("slug"):
            known = catalogue()
            true = {one["fault"] for one in call.faults} & set(known)
            alike = {other.fault for slug in true for other in known[slug].lookalikes}
            for slug in sorted(one for one in true | alike if call.rig in known[one].rigs):
                if os.getppid() != served_by:  # the server was killed: nobody waits for this any more
                    return
                evidence.outcome_table(rig_of(call.rig), known, [slug], settings.VAR / "evidence")
