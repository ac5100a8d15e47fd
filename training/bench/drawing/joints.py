"""What joins the parts of a rig: power from the wall, head line, small tubes, check valve, switch and gauges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from simulator.fitted import has
from training.bench.drawing.sheet import corner
from training.bench.drawing.wording import dial_scale, set_words, supply_words

if TYPE_CHECKING:
    from simulator.rig import Rig
    from training.bench.drawing.air_end import AirEnd
    from training.bench.drawing.sheet import Frame, Point, Sheet

SMALL = 0.62  # scale of reliefs on the head line


@dataclass(frozen=True)
class Spots:
    """Where the joints of one picture lie."""

    check: Point
    turned: int  # of the check valve: 0 stands up, 90 sticks out to the right
    switch: Point
    wall: Point  # disconnect, socket
    starter: Point
    drop: float  # x of the head line's way down
    foot: Point  # where the head line meets the check valve


def power(sheet: Sheet, rig: Rig, end: AirEnd, group: Frame, spots: Spots) -> None:
    """Bring the power from the wall to switch or starter and on to the motor."""
    if rig.has_engine:
        return
    x, y = spots.wall
    cord = rig.supply.feed == "cord"
    words = supply_words(rig)
    sheet.draw(
        "socket" if cord else "isolator", x=x, y=y, supply=words, round=rig.motor.kind == "three-phase"
    )
    sheet.name("Plug" if cord else "Disconnect", (x, y + 60), (x - 58, y + 48, "end"))
    foot = (x + 44, y + (126 if cord else 142))
    switch = (spots.switch[0] + 70, spots.switch[1] - 6)
    box = group.at(*end.terminals)
    if has(rig, "starter"):
        sx, sy = spots.starter
        sheet.draw("cable", d=corner(foot, (foot[0], sy + 2)), part="supply")
        sheet.draw("cable", d=corner((sx + 74, sy + 134), (sx + 74, sy + 212), (switch[0], sy + 212), switch)
                   if spots.turned else corner((sx + 4, sy + 52), (switch[0], sy + 52), switch, r=16), part="control")  # fmt: skip
        low = sy + 176 if spots.turned else sy + 26
        way = [(sx + 28, sy + 134), (sx + 28, low)] if spots.turned else [(sx + 4, low)]
        sheet.draw(
            "cable",
            d=corner(*way, (group.x + 60 * group.s, low), (group.x + 60 * group.s, box[1]), box),
            part="lead",
        )
        sheet.draw("starter", x=sx, y=sy, supply=words)
        sheet.spots(
            [
                ("starter", (sx + 52, sy + 88)),
                ("motor-lead", (sx - 60, low)),
                ("supply", (x - 12 if spots.turned else x + 44, y + 74 if spots.turned else y + 150)),
            ]
        )
        sheet.name(
            "Starter",
            (sx, sy + 22 if spots.turned else sy + 100),
            (sx - 24, sy + 8 if spots.turned else sy + 128, "end"),
        )
        return
    side = (spots.drop + 190, 240) if spots.turned else (switch[0], y + 196)
    if spots.turned:
        sheet.draw(
            "cable",
            d=corner(foot, (foot[0], 240), side, (side[0], 472), (switch[0], 472), switch, r=20),
            part="supply",
        )
        sheet.draw("cable", d=corner((700, 392), (700, box[1]), box, r=35), part="lead")
        sheet.spots([("supply", (side[0] + 52, 240)), ("motor-lead", (700, 470))])
    else:
        sheet.draw("cable", d=corner(foot, (foot[0], side[1]), side, switch, r=20), part="supply")
        lead = (spots.switch[0] - 8, spots.switch[1] + 69)
        sheet.draw(
            "cable",
            d=corner(lead, (lead[0] - 58, lead[1] - 2), (group.x + 40 * group.s, box[1]), box, r=60),
            part="lead",
        )
        sheet.spots([("supply", (foot[0] - 44, side[1])), ("motor-lead", (lead[0] - 30, lead[1]))])


def head_line(sheet: Sheet, rig: Rig, end: AirEnd, group: Frame, spots: Spots, low: float) -> None:
    """Run the head line from the pump to the check valve, with its fins and its places."""
    x, y = group.at(*end.discharge[:2])
    drop = spots.drop
    for join in end.joins:
        side = group.at(*join)
        sheet.draw("tube", size="head", part="headline", through=[side, (drop - 4, side[1])])
    points: list[Point] = [(x, y)]
    if end.discharge[2] == "up":
        y -= 72 * group.s
        points.append((x, y))
    points += [(drop, y), (drop, low)]
    if spots.turned:
        points.append(spots.foot)
    top, bottom = y + 42, min(y + 192, low - (168 if spots.turned else 86))
    nut = bottom + (50 if spots.turned else 22)
    sheet.draw(
        "tube", size="head", part="headline", through=points, nuts=[[drop, nut, 0]],
        down={"x": drop, "from": top, "to": bottom},
    )  # fmt: skip
    if rig.head_relief is not None:
        ry = nut + 52 if spots.turned else bottom - 40
        sheet.draw("relief", x=drop + 6, y=ry, s=SMALL, rot=90)
        sheet.spots([("lp-head-line-relief", (drop + 52, ry))])
        sheet.name("Head line relief", (drop + 40, ry - 6), (drop + 66, ry - 30))
    sheet.spots(
        [
            ("line-pump-end", (drop, top - 20 if not spots.turned else top + 18)),
            ("lp-head-line", (drop, nut)),
            ("line-tank-end", (drop, low - 8 if not spots.turned else low - 32)),
        ]
    )
    middle = top + 8 if rig.head_relief is not None else (top + bottom) / 2
    if spots.turned or rig.head_relief is not None or end.kind == "fan":
        sheet.name("Head line", (drop + 14, middle), (drop + 40, middle + 6))
    else:
        sheet.name("Head line", (drop - 14, middle), (drop - 36, middle + 6, "end"))


def tube_to_unloader(sheet: Sheet, rig: Rig, end: AirEnd, group: Frame, spots: Spots) -> None:
    """Run the small tube from the check valve's side port to where the rig unloads, with the cock for the hand."""
    x, y = spots.check
    if rig.unloader.kind == "switch-mounted":
        into = (spots.switch[0] - 29, spots.switch[1] + 28)
        if spots.turned:
            sheet.draw(
                "tube", size="bleed", part="bleed", through=[(x + 27, y + 20), (x + 27, into[1]), into]
            )
            _cock(sheet, (x + 27, y + 52), flip=True, below=True)
            sheet.spots([("lp-unloader-tube", (x + 32, y + 86))])
        else:
            sheet.draw(
                "tube",
                size="bleed",
                part="bleed",
                through=[(x + 24, y - 27), (x + 33, y - 27), (x + 33, into[1]), into],
            )
            _cock(sheet, (x + 33, y - 112), flip=True, below=False)
            sheet.spots([("lp-unloader-tube", (x + 34, y - 74))])
        return
    if rig.unloader.kind == "centrifugal":
        vent = group.at(*end.vent)
        if spots.turned:
            across = x + 150
            sheet.draw(
                "tube",
                size="bleed",
                part="bleed",
                through=[
                    (x + 27, y + 20),
                    (x + 27, y + 56),
                    (spots.drop + 34, y + 56),
                    (spots.drop + 34, vent[1]),
                    vent,
                ],
            )
            _cock(sheet, (spots.drop + 34, y - 40), flip=True, below=True)
            sheet.spots([("lp-unloader-tube", (across, y + 56))])
        else:
            sheet.draw(
                "tube",
                size="bleed",
                part="bleed",
                through=[(x - 24, y - 27), (x - 36, y - 27), (x - 36, vent[1]), vent],
            )
            _cock(sheet, (x - 36, y - 64), flip=False, below=False)
            sheet.spots([("lp-unloader-tube", (x - 38, vent[1] + 4))])
        return
    cock = (spots.drop, spots.foot[1] - 62) if spots.turned else (spots.drop, spots.foot[1] - 34)
    _cock(sheet, cock, flip=False, below=True)
    if rig.unloader.kind == "pilot":
        _signal(sheet, spots)


def _cock(sheet: Sheet, at: Point, *, flip: bool, below: bool) -> None:
    sheet.draw("bleed_cock", x=at[0], y=at[1], flip=flip)
    side = 1 if flip else -1
    if flip and not below:  # no room between the cock and the switch
        sheet.name("Head vent", (at[0] - 6, at[1] + 4), (at[0] - 62, at[1] - 14, "end"))
        return
    label = (at[0] + side * 40, at[1] + (8 if below else -22))
    sheet.name("Head vent", (at[0] + side * 26, at[1]), (*label, "start" if flip else "end"))


def _signal(sheet: Sheet, spots: Spots) -> None:
    """Run the signal tube from the pilot valve to the unloader's body."""
    x, y = spots.check
    port = (spots.switch[0] + 8, spots.switch[1] + 64)
    if spots.turned:
        sheet.draw(
            "tube",
            size="bleed",
            part="signal",
            through=[port, (x + 60, port[1]), (x + 60, y + 34), (x + 30, y + 34)],
        )
        sheet.spots([("lp-unloader-tube", (x + 60, y + 80))])
    else:
        sheet.draw(
            "tube",
            size="bleed",
            part="signal",
            through=[port, (x + 44, port[1]), (x + 44, y - 30), (x + 29, y - 30)],
        )


def signal_to_throttle(sheet: Sheet, rig: Rig, end: AirEnd, group: Frame, spots: Spots) -> None:
    """Run the other end of the signal behind the pump to the cylinder at the engine's throttle."""
    if not has(rig, "pilot-unloader"):
        return
    port = (spots.switch[0] + 8, spots.switch[1] + 64)
    across = group.at(*end.throttle)
    behind = group.x + 100 * group.s
    sheet.draw(
        "tube", size="bleed", part="signal", through=[port, (behind, port[1]), (behind, across[1]), across]
    )
    sheet.name("Signal tube", (spots.drop - 40, port[1]), (spots.drop - 62, port[1] - 26, "end"))


def check_valve(sheet: Sheet, rig: Rig, spots: Spots) -> None:
    """Draw the check valve, or the body that unloads and checks in one."""
    x, y = spots.check
    pilot = has(rig, "pilot-unloader")
    flip = pilot or (rig.unloader.kind == "centrifugal" and not spots.turned)
    sheet.draw(
        "pilot_check" if pilot else "check", x=x, y=y, rot=spots.turned, flip=flip and not spots.turned
    )
    sheet.spots([("lp-check-body", (x + 38, y) if spots.turned else (x, y - 26))])
    if pilot:
        sheet.spots([("lp-dump-port", (x + 41, y + 52) if spots.turned else (x - 52, y - 44))])
        sheet.name("Unloader and check", (x - 10, y - 20), (x - 40, y + 64, "end"))
        sheet.name("Dump port", (x - 56, y - 44), (x - 82, y - 60, "end"))
    elif not spots.turned:
        sheet.name("Check valve", (x - 12, y - 24), (x - 40, y + 40, "end"))


def switch(sheet: Sheet, rig: Rig, spots: Spots) -> None:
    """Draw the pressure switch with or without an unloader on it, or the pilot valve in its stead."""
    x, y = spots.switch
    if has(rig, "pilot-unloader"):
        sheet.draw("pilot_valve", x=x, y=y, set=set_words(rig)[0])
        sheet.spots([("switch", (x + 50, y + 66)), ("pilot", (x + 50, y + 16))])
        sheet.name("Pilot valve", (x + 70, y + 30), (x + 104, y + 18))
        return
    words, unit = set_words(rig)
    on_switch = rig.unloader.kind == "switch-mounted"
    sheet.draw("switch", x=x, y=y, set=words, unit=unit, unloader=on_switch)
    sheet.spots([("lp-switch-cover", (x + 50, y + 22)), ("switch", (x + 93, y + 70))])
    sheet.name("Pressure switch", (x + 99, y + 24), (x + 143, y + 4) if spots.turned else (x + 122, y + 2))
    if on_switch:
        sheet.spots([("lp-unloader-port", (x - 9, y + 50))])
        sheet.name("Unloader", (x - 11, y + 22), (x - 81, y + 8, "end") if spots.turned else (x + 6, y - 14))


def tank_gauge(sheet: Sheet, rig: Rig, at: Point) -> None:
    """Draw the receiver's gauge with its set marks."""
    sheet.draw(
        "gauge", x=at[0], y=at[1], radius=54, channel="tank", name="TANK", redline=rig.receiver.maximum_pressure,
        pegs=[rig.switch.cut_in, rig.switch.cut_out], **dial_scale(rig),
    )  # fmt: skip


def head_gauge(sheet: Sheet, rig: Rig, at: Point, stem: str) -> None:
    """Draw the gauge on the head line."""
    sheet.draw(
        "gauge", x=at[0], y=at[1], radius=54, channel="line", name="HEAD", redline=rig.receiver.maximum_pressure,
        stem=stem, **dial_scale(rig),
    )  # fmt: skip


def regulated(at: Point, rig: Rig) -> dict[str, Any]:
    """Return the regulator's small gauge."""
    metric = rig.display_units == "metric"
    scale = (
        {"full_scale": 12, "step": 4, "minor": 2} if metric else {"full_scale": 160, "step": 80, "minor": 20}
    )
    return {"x": at[0], "y": at[1], "radius": 30, "channel": "reg", "bar": metric, **scale}
