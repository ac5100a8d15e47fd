"""What a finding proves: the same deeds on the same rig with another fault, and what would have been found.

Nothing here knows what a fault does. It puts each suspect into the machine, lets the same hand do the same
things, and compares what was found.
"""

from simulator.evidence.deeds import (
    HEALTHY,
    NOT_TAKEN,
    SEVERITIES,
    Deed,
    Separation,
    outcomes,
    replay,
    separates,
    variants,
)
from simulator.evidence.tables import (
    NextCheck,
    OutcomeTable,
    best_next,
    build_table,
    made_safe,
    outcome_table,
    standard_checks,
    standard_start,
    suspects_of,
)

__all__ = [
    "HEALTHY",
    "NOT_TAKEN",
    "SEVERITIES",
    "Deed",
    "NextCheck",
    "OutcomeTable",
    "Separation",
    "best_next",
    "build_table",
    "made_safe",
    "outcome_table",
    "outcomes",
    "replay",
    "separates",
    "standard_checks",
    "standard_start",
    "suspects_of",
    "variants",
]
