"""What the pages say of each kind of part: what counts, how its lines are grouped, where the work can hurt. Plain Python."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

COUNTS = {
    "motor": "Power, volts, frame and shaft, and the circuit it hangs on.",
    "drive": "Sheaves, bores, belts and what they do to the pump's speed.",
    "relief": "Set pressure against the vessel's plate, capacity against the pump.",
    "switch": "Range, contacts at the connected volts, unloader and ports.",
    "check-valve": "Free way, threads, side port, direction and heat.",
    "gauge": "Scale, mount and thread.",
    "drain": "Pressure, thread, and a way that does not clog.",
    "regulator": "Range, flow and droop.",
    "filter": "Flow, guard, heat and thread.",
    "tube": "Material, heat, bore and pressure.",
    "breather": "Its one-way valve, bore and thread.",
}
SHEETS = {"old": "Old part", "new": "New part", "place": "The machine"}
HERE = "At the machine"
CAPTIONS = {
    1: {"new": "New part", "place": HERE, "old": "Old part"},
    2: {"old": "Comes out", "new": "On offer"},
}
PLACE_TITLE = "What it must suit"
PLACE_TITLES = {"motor": "Supply, room and drive, as measured"}
PASTED_TITLE = "The whole plate at once"
PASTED_LOOK = "If you have it as text: a line each or with semicolons. It is sorted into the lines below."
MEANS = {
    "fits": "Everything that was compared suits. Measure once more before you order.",
    "fits-with-changes": "It can be used once what is listed is changed.",
    "unanswered": "Nothing is against it so far, but something is not known. Not known is no yes: look, then ask again.",
    "does-not-fit": "Something that counts does not suit. Do not order it for this machine.",
    "unsafe": "It would put somebody in danger. Do not fit it, whatever else suits.",
}
_GROUPS = {
    "motor": (
        ("Power and supply", ("power", "volts", "amps", "phase", "hertz", "speed")),
        (
            "Frame, shaft and feet",
            (
                "frame", "shaft diameter", "shaft length", "key", "shaft height", "holes across",
                "holes along", "mounting", "rotation",
            ),
        ),
        ("Duty and room", ("service factor", "duty", "enclosure", "insulation", "ambient")),
    ),
    "drive": (
        ("Belts and sheaves", ("section", "belts", "grooves", "belt")),
        ("Diameters and speeds", ("motor sheave", "motor sheave outside", "flywheel", "flywheel outside", "motor speed", "pump speed")),
    ),
}  # fmt: skip
_REST = {"motor": "Starting and protection", "drive": "Centre distance, bore and key"}
_ELECTRIC = (
    "Isolate, lock and tag, and prove dead before a cover comes off. Capacitors hold their charge. Measuring at a live "
    "supply and all wiring is for a licensed electrician; the local code decides on wire, breaker and overload."
)
_PRESSURE = (
    "Make safe before anything that holds air is opened: isolated, locked, drain open, gauge at zero, head line vented. "
    "Head and head line burn. Local codes and the vessel's inspector decide on a real machine."
)
_TURNING = (
    "Isolate and lock before the guard comes off; the wheel turns by itself when air is left in the head. Guard on before "
    "it runs again."
)
_CAUTIONS = {"motor": _ELECTRIC, "switch": f"{_ELECTRIC} {_PRESSURE}", "drive": _TURNING}
RELIEF = "A relief valve is the vessel's last guard: never set above its plate, never plugged, piped smaller or valved off."


def caution(kind: str) -> str:
    """Return what can hurt in the work on this kind of part."""
    if kind == "relief":
        return f"{RELIEF} {_PRESSURE}"
    return _CAUTIONS.get(kind, _PRESSURE)


def grouped(kind: str, lines: Iterable[str]) -> list[tuple[str, list[str]]]:
    """Return the lines of a part in groups with their titles; a line that is in no group comes in the last."""
    known = list(lines)
    made = [(title, [name for name in names if name in known]) for title, names in _GROUPS.get(kind, ())]
    placed = {name for _, names in made for name in names}
    rest = [name for name in known if name not in placed]
    return [*made, (_REST.get(kind, "The new part"), rest)] if rest else made
