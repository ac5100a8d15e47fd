"""A made-up fault that sets physical parameters of any rig by hand."""

from simulator.faults import Effect, Fault, Injected
from simulator.rig import Rig

CONDITION = (Injected("condition"),)


def condition(rig: Rig, **changes: float | str) -> dict[str, Fault]:
    """A catalogue with one fault, "condition", that a rig can have ("__" stands for a dot)."""
    effects = tuple(Effect(name.replace("__", "."), state=value) for name, value in changes.items())
    fault = Fault(
        slug="condition", system="test", title="Condition", rigs=(rig.slug,), hazard_level=1, base_rate=1.0,
        mechanism="", effects=effects, repair="", wrong_repair="", hazard="", prohibited="",
    )  # fmt: skip
    return {"condition": fault}
