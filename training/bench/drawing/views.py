"""The picture's window and the stops of the walk round, worked out from where parts and places lie."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator.fitted import has
from training.bench.drawing.air_end import pump_kind
from training.bench.drawing.shapes import short

if TYPE_CHECKING:
    from collections.abc import Iterable

    from simulator.rig import Rig
    from training.bench.drawing.sheet import Part, Sheet

MARGIN = 76.0
CLOSEST = 330.0  # width of the narrowest stop

TITLES = {
    "one": "a pump with one upright cylinder", "twin": "a pump with two cylinders in line",
    "vee": "a two-stage V pump with its finned intercooler", "direct": "an oil-free pump on the motor's own shaft",
    "fan": "a two-stage pump with three cylinders and two intercooler legs",
}  # fmt: skip
STOPS = (
    ("Drive", ("belt", "flywheel", "motor")),
    (
        "Pump",
        ("lp-intake", "lp-intake-2", "head-1", "head-2", "head-3", "head-4", "oil-glass", "lp-head-joint"),
    ),
    ("Head line", ("line-pump-end", "lp-head-line", "line-tank-end", "lp-head-line-relief")),
    (
        "Switch & valves",
        ("switch", "lp-switch-cover", "lp-unloader-port", "lp-tank-relief", "lp-gauge", "lp-check-body"),
    ),
    ("Outlet", ("lp-outlet", "lp-regulator-bonnet")),
    ("Tank & drain", ("lp-shell", "lp-ports", "lp-drain", "plates")),
)


@dataclass(frozen=True)
class Window:
    """A part of the picture that is shown."""

    x: float
    y: float
    w: float
    h: float

    @property
    def words(self) -> str:
        """As a viewBox has it."""
        return " ".join(short(v) for v in (self.x, self.y, self.w, self.h))


def whole(sheet: Sheet) -> Window:
    """Return the window on the whole rig: every place and name with room round it, down to the floor."""
    wall = next(part for part in sheet.parts if part["draw"] == "wall")
    points = [*sheet.places.values()]
    points += [name["at"] for name in sheet.names]
    points += [_far_end(name) for name in sheet.names]
    points += [(part["x"], part["y"]) for part in sheet.parts if part["draw"].startswith("tank")]
    points += [(part["x"] - 70, part["y"]) for part in sheet.parts if part.get("stand") == "wheels"]
    points += [(part["x"], part["y"] - 282) for part in sheet.parts if part["draw"] == "tank_flat"]
    points += _tops(sheet)
    points += [(part["x"], part["y"] - 64) for part in sheet.parts if part["draw"] == "gauge"]
    points += [
        (part["x"] + 88, part["y"])
        for part in sheet.parts
        if part["draw"] in ("isolator", "socket", "starter")
    ]
    points += [(part["x"] + 190, part["y"]) for part in sheet.parts if part["draw"] == "outlet_end"]
    points += [(part["x"] + 512, part["y"]) for part in sheet.parts if part["draw"] == "outlet_line"]
    left, right = min(x for x, _ in points) - MARGIN * 0.7, max(x for x, _ in points) + MARGIN * 0.4
    top = min(y for _, y in points) - MARGIN * 0.6
    return Window(left, top, right - left, wall["h"] - top)


def _tops(sheet: Sheet) -> list[tuple[float, float]]:
    """Return the tops of what stands out over the pump: filters and relief valves."""
    group = next(part for part in sheet.parts if part["draw"] == "group")
    high = {"filter": 70.0, "relief": 50.0, "pump_twin": 298.0, "pump_one": 270.0}
    return [
        (group["x"] + group["s"] * part["x"], group["y"] + group["s"] * (part["y"] - high[part["draw"]]))
        for part in group["part"]
        if part["draw"] in high
    ]


def _far_end(name: Part) -> tuple[float, float]:
    x, y = name["label"]
    long = 8.6 * len(name["text"])
    return (x - long if name["anchor"] == "end" else x + long), y - 12


def stops(rig: Rig, sheet: Sheet, view: Window) -> list[tuple[str, Window]]:
    """Return the stops of the walk round, each in the proportion of the whole."""
    found = [("Whole rig", view)]
    for title, slugs in STOPS:
        points = [sheet.places[slug] for slug in slugs if slug in sheet.places]
        named = "Motor and fan" if title == "Drive" and not has(rig, "belt") else title
        if title == "Drive" and rig.has_engine:
            named = "Engine & drive"
        if "starter" in sheet.places and title == "Switch & valves":
            found.append(("Starter", _round([sheet.places["starter"], sheet.places["supply"]], view)))
        found.append((named, _round(points, view)))
    return found


def _round(points: Iterable[tuple[float, float]], view: Window) -> Window:
    """Return a window round some points that stays inside the picture."""
    xs, ys = zip(*points, strict=True)
    ratio = view.h / view.w
    w = max(CLOSEST, max(xs) - min(xs) + 150, (max(ys) - min(ys) + 150) / ratio)
    w = min(w, view.w)
    h = w * ratio
    x = (max(xs) + min(xs)) / 2 - w / 2
    y = (max(ys) + min(ys)) / 2 - h / 2
    return Window(min(max(x, view.x), view.x + view.w - w), min(max(y, view.y), view.y + view.h - h), w, h)


def alt_words(rig: Rig) -> str:
    """Describe the picture to somebody who does not see it."""
    shape = {
        "upright": "an upright receiver on feet",
        "lying": "a lying receiver",
        "flat": "a flat receiver on rubber feet",
    }[rig.fittings.get("receiver_shape", "upright")]
    driver = (
        "a petrol engine with its battery"
        if rig.has_engine
        else "a three-phase motor"
        if has(rig, "three-phase")
        else "a motor"
    )
    drive = f", {driver}, a belt guard over sheave and flywheel" if has(rig, "belt") else ""
    unloads = {
        "switch-mounted": "the pressure switch with its unloader", "hydraulic": "the pressure switch; the unloader sits on the pump",
        "centrifugal": "the pressure switch; the unloader sits at the crank's end, with a small tube from the check valve",
        "pilot": "the pilot valve with a signal tube to the unloader and to the engine's throttle",
    }[rig.unloader.kind]  # fmt: skip
    power = (
        ""
        if rig.has_engine
        else ", the plug in the wall"
        if rig.supply.feed == "cord"
        else ", the disconnect on the wall"
    )
    power += " with the starter under it" if has(rig, "starter") else ""
    return (
        f"Picture of the rig: {shape}; on it {TITLES[pump_kind(rig)]}{drive}; the head line down to the check valve; "
        f"relief valve, gauge and {unloads}; outlet valve; the drain under the receiver{power}."
    )
