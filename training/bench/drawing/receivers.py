"""The receiver and all that is screwed into it, wired to it or hangs on the wall beside it, from the rig's data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulator.fitted import has
from training.bench.drawing import joints
from training.bench.drawing.air_end import air_end
from training.bench.drawing.sheet import Frame, Sheet, corner
from training.bench.drawing.wording import plate_lines

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulator.rig import Rig
    from training.bench.drawing.air_end import AirEnd

LARGE = 0.25  # a lying receiver of more than this carries its air end full size [m³]
FEET = 22.0  # height of the deck over the shell: a pump on feet of its own needs none


def upright(rig: Rig, geometry: Mapping[str, Any]) -> Sheet:
    """Compose a rig on an upright receiver: pump on its top plate, fittings down its right side."""
    table = geometry["upright"]
    end = air_end(rig, geometry)
    s = table["scale"][end.kind]
    group = Frame(table["crank"] - (30 if end.kind == "fan" else 0), table["deck"] - s * end.base, s)
    check = tuple(table["check"])
    right = group.at(max(end.reach[2], end.discharge[0] + 30), 0)[0]
    drop = max(850.0, right + 34)
    spots = joints.Spots(check, 90, (823, 516), (1104, 40), (1100, 222), drop, (check[0] + 66, check[1]))
    sheet = Sheet()
    sheet.draw("wall", h=table["floor"] + 48, floor=table["floor"])
    joints.power(sheet, rig, end, group, spots)
    _deck_on_arms(end, group)
    joints.signal_to_throttle(sheet, rig, end, group, spots)
    sheet.take(end.sheet, group)
    x, y = table["shell"]
    sheet.draw("tank_upright", x=x, y=y, plate=plate_lines(rig), bungs=[80, 318, 392])
    sheet.draw("drain", x=560, y=842)
    if has(rig, "electric") and not has(rig, "starter"):
        sheet.draw("cable", d=corner((820, 586), (700, 586), (700, 360), r=28), part="lead")
    joints.head_line(sheet, rig, end, group, spots, low=446)
    joints.tube_to_unloader(sheet, rig, end, group, spots)
    joints.check_valve(sheet, rig, spots)
    sheet.draw("manifold_side", x=730, y=684)
    sheet.draw("relief", x=772, y=671, s=0.86)
    joints.switch(sheet, rig, spots)
    joints.tank_gauge(sheet, rig, (1006, 684))
    joints.head_gauge(sheet, rig, (drop + 90, 300), "M-81-8h30V8h-30z")
    sheet.draw("outlet_line", x=730, y=758, gauge=joints.regulated((431, -202), rig))
    sheet.spots(table["places"].items())
    for text, at, label in table["names"]:
        if text != "Check valve" or not has(rig, "pilot-unloader"):
            sheet.name(text, at, label)
    return sheet


def lying(rig: Rig, geometry: Mapping[str, Any]) -> Sheet:
    """Compose a rig on a lying or a flat receiver: pump and fittings side by side on top of it."""
    flat = rig.fittings.get("receiver_shape") == "flat"
    table = geometry["flat" if flat else "lying"]
    end = air_end(rig, geometry)
    s = table["scale"][end.kind]
    if not flat and rig.receiver.volume > LARGE:
        s = table["large_scale"]
    left, top = table["shell"]
    overhang = 120 if flat else 40
    foot = table["deck"] + (FEET if end.kind == "direct" else 0)
    group = Frame(left + overhang - end.deck[0] * s, foot - s * end.base, s)
    room = max(end.deck[1] + 44, end.reach[2], end.discharge[0] + 20)
    beside = 96 if has(rig, "pilot-unloader") or has(rig, "oil-pressure-gauge") else 46
    x = group.at(room, 0)[0] + beside
    length = x + 130 + (170 if flat else 124) - left
    wall = (x + (372 if has(rig, "starter") else 330), 44.0)
    up = 78 if has(rig, "pilot-unloader") else 66
    spots = joints.Spots((x, top), 0, (x + 80, top - 196), wall, (wall[0] - 8, 206), x, (x, top - up))
    height = table["height"]
    floor = top + height + (26 if flat else 34)
    sheet = Sheet()
    sheet.draw("wall", h=floor + 52, floor=floor)
    joints.power(sheet, rig, end, group, spots)
    joints.signal_to_throttle(sheet, rig, end, group, spots)
    _lying_shell(sheet, rig, flat, (left, top, length, height), x)
    sheet.draw("drain", x=left + length * 0.46, y=top + height)
    if end.kind != "direct":
        end.sheet.parts.insert(
            0, {"draw": "deck", "x": end.deck[0], "y": end.base + 4, "w": end.deck[1] - end.deck[0]}
        )
    sheet.take(end.sheet, group)
    joints.head_line(sheet, rig, end, group, spots, low=top - up)
    joints.tube_to_unloader(sheet, rig, end, group, spots)
    joints.check_valve(sheet, rig, spots)
    sheet.draw("relief", x=x + 72, y=top - 4)
    sheet.draw("manifold_top", x=x + 130, y=top - 4, arm=30)
    joints.switch(sheet, rig, spots)
    joints.tank_gauge(sheet, rig, (x + 224, top - 65))
    start = group.at(*end.discharge[:2])[1] - (group.s * 70 if end.discharge[2] == "up" else 0)
    joints.head_gauge(sheet, rig, (x + 88, start - 40), "M-6 50H6V78H-78V84H-100V60H-78V66H-6z")
    out = top + (72 if flat else 100)
    sheet.draw(
        "outlet_end",
        x=left + length + 6,
        y=out,
        bowl=not flat,
        drop=floor - out,
        gauge=joints.regulated((87, 2), rig),
    )
    _lying_words(sheet, (left, top, length, height), x, out, flat)
    return sheet


def _lying_shell(
    sheet: Sheet, rig: Rig, flat: bool, box: tuple[float, float, float, float], x: float
) -> None:
    left, top, length, height = box
    bungs = [x - left - 15, x - left + 57, x - left + 115]
    stand = "skid" if rig.has_engine or rig.supply.feed == "hard-wired" else "wheels"
    sheet.draw(
        "tank_flat" if flat else "tank_lying", x=left, y=top, l=length, h=height, stand=stand,
        plate=plate_lines(rig, rows=1 if flat else 2), bungs=bungs, clear=x - left - 64,
    )  # fmt: skip


def _lying_words(
    sheet: Sheet, box: tuple[float, float, float, float], x: float, out: float, flat: bool
) -> None:
    """Name what stands on the receiver and put its places where it is."""
    left, top, length, height = box
    port = (left + length * 0.8, top + height * (0.28 if flat else 0.64))
    plate = (left + length * 0.46, top + height * (0.6 if flat else 0.5))
    end = left + length + 6
    sheet.spots(
        {
            "lp-shell": (left + length * (0.14 if flat else 0.2), top + height * (0.34 if flat else 0.6)), "lp-ports": port, "plates": plate,
            "lp-drain": (left + length * 0.46, top + height + 22), "lp-gauge": (x + 172, top - 65),
            "lp-tank-relief": (x + 72, top - 38), "lp-switch-nipple": (x + 130, top - 90),
            "lp-outlet": (end + 30, out), "lp-regulator-bonnet": (end + 87, out - 56),
        }.items()
    )  # fmt: skip
    for text, at, label in (
        ("Relief valve", (x + 74, top - 18), (x + 60, top + 42)),
        ("Tank gauge", (x + 270, top - 84), (x + 300, top - 104)),
        ("Outlet valve", (end + 30, out + 12), (end + 24, out + 66, "end")),
        ("Regulator", (end + 92, out - 64), (end + 120, out - 84)),
        (
            "Drain",
            (left + length * 0.46 + 12, top + height + 14),
            (left + length * 0.46 + 48, top + height + 24),
        ),
    ):
        sheet.name(text, at, label)


def _deck_on_arms(end: AirEnd, group: Frame) -> None:
    """Put the plate under the air end, welded to the head of the receiver by arms."""
    arms = [(centre - group.x) / group.s - end.deck[0] - 36 for centre in (462, 640)]
    left, right = end.deck
    end.sheet.parts.insert(
        0, {"draw": "deck_arms", "x": left, "y": end.base, "w": right - left, "arms": arms}
    )
