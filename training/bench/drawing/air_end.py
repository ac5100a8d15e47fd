"""The air end of a rig and what drives it: which pump, motor or engine, sheaves and belts, each from the rig's data.

Coordinates are those of the air end: crank axis at 0, 0, foot of the crankcase at y = 126.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from simulator.fitted import has
from training.bench.drawing.shapes import Circle
from training.bench.drawing.sheet import Sheet

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulator.components.pump import CylinderSpec
    from simulator.rig import Rig
    from training.bench.drawing.sheet import Point

    Geometry = Mapping[str, Any]

BASE = 126.0
DIRECT_BASE = 96.0
WHEEL = Circle(-52.0, 14.0, 112.0)
SHEAVE = (24.0, 84.0)  # smallest and largest motor sheave that still reads
CENTRES = (236.0, 330.0)
SHAFT = 60.0  # y of a motor's shaft that stands on the deck with its sheave clear of it
CLEAR = 50.0  # a larger sheave than this needs the motor raised
NEEDS = {
    "lp-breather": "oil", "lp-intake-2": "two-filters", "head-2": "head-2", "head-3": "head-3", "head-4": "head-4",
    "lp-intercooler": "two-stage", "lp-interstage-relief": "interstage-relief",
}  # fmt: skip


@dataclass(frozen=True)
class AirEnd:
    """The air end as drawn, and the points at which the rest of the machine joins it."""

    kind: str
    sheet: Sheet
    deck: tuple[float, float]  # left and right end of the plate it stands on
    base: float
    discharge: tuple[float, float, str]
    joins: tuple[tuple[float, float], ...]  # further outlets that join the head line
    terminals: Point
    throttle: Point
    vent: Point  # where the small tube meets an unloader at the crank's end
    reach: tuple[float, float, float]


def pump_kind(rig: Rig) -> str:
    """Name the pump that is drawn, by stages, cylinders, drive and oil."""
    first, second = len(rig.first_stage), len(rig.second_stage)
    if second:
        return "fan" if (first, second) == (2, 1) else "vee"
    if first > 1:
        return "twin"
    return "direct" if rig.drive.kind == "direct" and not has(rig, "oil") else "one"


def air_end(rig: Rig, pumps: Geometry) -> AirEnd:
    """Compose pump and driver."""
    kind = pump_kind(rig)
    pump = pumps[kind]
    sheet = Sheet()
    if kind == "direct":
        deck, terminals = (-90.0, 170.0), (144.0, -106.0)
    else:
        post = has(rig, "oil-pressure-gauge")
        left, terminals = _driver(sheet, rig)
        deck = (left, 252.0 if post else 158.0)
        if post:
            _capillaries(sheet)
    _pump(sheet, rig, kind, pump)
    if kind != "direct":
        _wheel(sheet, rig)
        if deck[1] > 200:
            _gauges(sheet, rig)
    row = kind == "vee" and len(rig.second_stage) == 2
    x, y, way = pump["rear_discharge" if row else "discharge"]
    joins = ((pump["discharge"][0], pump["discharge"][1]),) if row else ()
    reach = pump["reach"]
    top = -412.0 if kind == "vee" and has(rig, "two-filters") else reach[1]
    return AirEnd(
        kind, sheet, deck, DIRECT_BASE if kind == "direct" else BASE, (x, y, way), joins, terminals,
        (-190.0, -84.0), (192.0, 74.0), (reach[0], top, reach[2]),
    )  # fmt: skip


def sheaves(rig: Rig) -> tuple[Circle, Circle]:
    """Return motor sheave and flywheel in the proportion of the drive, the flywheel always of one size."""
    per_metre = 2 * WHEEL.r / rig.drive.flywheel
    radius = min(max(WHEEL.r / rig.drive.ratio, SHEAVE[0]), SHEAVE[1])
    centres = min(max(rig.drive.centre_distance * per_metre, CENTRES[0]), CENTRES[1])
    y = SHAFT - max(0.0, radius - CLEAR)
    across = math.sqrt(centres**2 - (y - WHEEL.y) ** 2)
    return Circle(round(WHEEL.x - across, 1), y, round(radius, 1)), WHEEL


def belts(rig: Rig) -> int:
    """Return how many belts run side by side, as the drive's data say: "2 x B90 matched"."""
    told = re.match(r"\s*(\d+)\s*x", rig.drive.belts)
    return min(int(told[1]), 4) if told else 1


def _driver(sheet: Sheet, rig: Rig) -> tuple[float, Point]:
    """Stand motor or engine beside the pump, or behind it on one shaft; return the deck's left end and the terminals."""
    if rig.drive.kind == "direct":
        x, y = 112.0, 0.0
        sheet.draw("riser", x=x, y=y + 60, h=BASE - 60)
    else:
        pulley, _ = sheaves(rig)
        x, y = pulley.x + 16, pulley.y - 4
        if y + 62 < BASE - 8:
            sheet.draw("riser", x=x, y=y + 60, h=BASE - y - 60)
    if rig.has_engine:
        sheet.draw("battery", x=x - 262, y=BASE)
        sheet.draw("engine", x=x, y=y)
        sheet.draw("throttle", x=-190, y=-84)
        sheet.spots([("motor", (x + 40, y - 112)), ("supply", (x - 216, BASE - 36))])
        sheet.name("Petrol engine", (x + 60, y - 146), (x - 2, y - 226, "end"))
        sheet.name("Battery", (x - 216, BASE - 70), (x - 236, BASE - 176))
        sheet.name("Plug lead", (x - 78, y - 134), (x - 112, y - 158, "end"))
        return x - 276, (x + 60, y)
    sheet.draw("motor", x=x, y=y, phase=3 if rig.motor.kind == "three-phase" else 1)
    spot = (x + 50, y - 2) if rig.drive.kind == "belt" and pulley.r < CLEAR else (x + 84, y - 22)
    sheet.spots([("motor", spot)])
    sheet.name("Motor", (x + 4, y - 60), (x - 34, y - 104, "end"))
    return (x - 90 if rig.drive.kind == "belt" else -150.0), (x + 122, y - 80)


def _wheel(sheet: Sheet, rig: Rig) -> None:
    """Put the flywheel on the crank, with belts and guard where there are belts."""
    if rig.drive.kind == "belt":
        pulley, wheel = sheaves(rig)
        sheet.draw("drive", pulley=pulley, wheel=wheel, belts=belts(rig), ratio=rig.drive.ratio)
        sheet.draw("guard")
        along = (pulley.x + wheel.x) / 2
        sheet.spots([("belt", (along, (pulley.y - pulley.r + wheel.y - wheel.r) / 2 + 8))])
        if not rig.has_engine:
            high = (pulley.y - pulley.r + wheel.y - wheel.r) / 2
            sheet.name("Belt guard", (along + 6, high - 14), (along - 34, high - 46, "end"))
    else:
        sheet.draw("drive", wheel=WHEEL, ratio=1.0)
    sheet.spots([("flywheel", (WHEEL.x, WHEEL.y))])
    if has(rig, "oil"):
        sheet.spots([("lp-crank-seal", (14, 44))])


def _pump(sheet: Sheet, rig: Rig, kind: str, pump: Geometry) -> None:
    """Draw the pump with its filters, its intercooler and what is screwed into it."""
    cap = "rain" if "rain" in str(rig.fittings.get("filter", "")) else (
        "silencer" if "silencer" in str(rig.fittings.get("filter", "")) else "")  # fmt: skip
    if "filter-2" in pump and has(rig, "two-filters"):
        x, y = pump["filter-2"]
        sheet.draw("filter", x=x, y=y, pipe=pump["filter-2_pipe"], cap=cap)
    sheet.draw(
        pump["draw"],
        x=0,
        y=0,
        **({"cylinders": cylinders(rig, pump), "pump": pump} if "angle" in pump else {}),
    )
    if has(rig, "oil") and "sight" in pump:
        x, y = pump["sight"]
        sheet.draw("sight", x=x, y=y, sort="dipstick" if rig.pump.oil_check == "dipstick" else "glass")
        sheet.spots([("oil-glass", (x, y))])
    if has(rig, "oil") and "breather" in pump:
        x, y = pump["breather"]
        sheet.draw("breather", x=x, y=y)
    if has(rig, "two-stage"):
        _between_stages(sheet, rig, kind, pump)
    _unloader(sheet, rig, kind)
    if "filter" in pump:
        x, y = pump["filter"]
        sheet.draw("filter", x=x, y=y, pipe=pump["filter_pipe"], cap=cap)
    places = [
        (slug, spot) for slug, spot in pump["places"].items() if slug not in NEEDS or has(rig, NEEDS[slug])
    ]
    sheet.spots(places)
    several = kind == "vee" and max(len(rig.first_stage), len(rig.second_stage)) == 2
    for text, at, label in pump["names_row" if several else "names"]:
        if "Interstage" not in text or rig.interstage_relief is not None:
            sheet.name(text, at, label)


def _between_stages(sheet: Sheet, rig: Rig, kind: str, pump: Geometry) -> None:
    """Run the intercooler from stage to stage, with its relief valve and its gauge or plug."""
    rows = max(len(rig.first_stage), len(rig.second_stage)) if kind == "vee" else 2
    if rows == 2:
        _bank(sheet, pump, "bank-2")
    _bank(sheet, pump, "bank")
    if rig.interstage_relief is not None:
        x, y = pump["relief"]
        sheet.draw("relief", x=x, y=y, s=0.62)
    if not has(rig, "interstage-gauge"):
        x, y = pump["plug"]
        sheet.draw("plug", x=x, y=y)


def _bank(sheet: Sheet, pump: Geometry, bank: str) -> None:
    sheet.draw(
        "tube",
        size="head",
        part="intercooler",
        d=pump[bank],
        across=pump[f"{bank}_fins"],
        nuts=pump[f"{bank}_nuts"],
    )


def _unloader(sheet: Sheet, rig: Rig, kind: str) -> None:
    """Draw an unloader that sits at the pump; one on the switch or on the receiver is drawn there."""
    if rig.unloader.kind == "hydraulic":
        top = -270.0 if kind in ("vee", "fan") else -292.0
        end = {"vee": (-246.0, -262.0), "fan": (-272.0, -232.0)}.get(kind, (-116.0, -268.0))
        body = {"vee": (22.0, -154.0), "fan": (150.0, 74.0)}.get(kind, (118.0, -150.0))
        bends = [(body[0], body[1] - 30), (body[0], top), (end[0] + 12, top), end]
        sheet.draw("tube", size="bleed", part="vent", through=bends)
        sheet.draw("vent_body", x=body[0], y=body[1], sort="hydraulic")
        sheet.spots([("lp-pump-vent", (body[0] + 34, body[1] - 2))])
        sheet.name(
            "Unloader",
            (body[0], body[1] - 16),
            (body[0] - 44, -384) if kind == "vee" else (body[0] + 40, body[1] - 50),
        )
    elif rig.unloader.kind == "centrifugal":
        sheet.draw("vent_body", x=152, y=74, sort="centrifugal")
        sheet.spots([("lp-pump-vent", (163, 118))])
        sheet.name("Unloader", (166, 96), (206, 116))


def _capillaries(sheet: Sheet) -> None:
    """Run the small tubes of the gauges behind the pump."""
    sheet.draw("tube", size="bleed", part="gauge-line", through=[(206, -60), (206, -308), (170, -313)])
    sheet.draw("tube", size="bleed", part="gauge-line", through=[(206, 56), (140, 56), (120, 66)])


def _gauges(sheet: Sheet, rig: Rig) -> None:
    """Stand the interstage and the oil pressure gauge on a post beside the pump."""
    sheet.draw("gauge_post", x=206, y=BASE, h=200)
    if has(rig, "interstage-gauge"):
        sheet.draw(
            "gauge",
            x=206,
            y=-46,
            radius=40,
            channel="inter",
            name="STAGE",
            full_scale=160,
            step=40,
            minor=10,
            redline=rig.interstage_relief,
        )
        sheet.name("Stage gauge", (238, -26), (254, 4))
    sheet.draw("gauge", x=206, y=46, radius=40, channel="oil", name="OIL", full_scale=100, step=25, minor=5)
    sheet.spots([("oil-gauge", (206, 46))])
    sheet.name("Oil gauge", (238, 66), (254, 100))


def cylinders(rig: Rig, pump: Geometry) -> list[dict[str, Any]]:
    """Fan the cylinders out in paint order, the second row first; a wider bore is drawn wider."""
    angle, (dx, dy) = pump["angle"], pump["rear"]
    first, second = rig.first_stage, rig.second_stage
    if dx == 0:
        rows = [(first[0], -angle, 0), (first[1], angle, 0), (second[0], 0, 0)]
    else:
        rows = [(c, -angle, n) for n, c in enumerate(first)] + [(c, angle, n) for n, c in enumerate(second)]
    rows.sort(key=lambda row: -row[2])
    cages = "cage" in rig.pump.valves
    drawn = [_cylinder(c, a, (dx * n, dy * n), cages) for c, a, n in rows]
    next(c for c, row in zip(drawn, rows, strict=True) if row[2] == 0)["front_case"] = True
    return drawn


def _cylinder(cylinder: CylinderSpec, angle: float, at: Point, cages: bool) -> dict[str, Any]:
    half = min(max(round(23 + 275 * cylinder.bore), 36), 62)
    fin = half + 14
    return {
        "a": angle, "x": at[0], "y": at[1], "cages": cages,
        "flx": -half - 8, "flw": 2 * half + 16, "bx": -half, "bw": 2 * half, "fx": -fin, "fw": 2 * fin,
        "plx": -half - 8, "plw": 2 * half + 16, "fins": range(-216, -138, 13),
        "head": f"M{-fin + 2}-232v-26q0-8 8-8H{fin - 10}q8 0 8 8v26z",
        "headfins": range(-fin + 8, fin - 12, 15),
    }  # fmt: skip
