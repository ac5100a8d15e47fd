"""From a part's data to what its template draws: ticks, fins, belts, runs of tube. Parts stay in paint order."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from training.bench.drawing.dials import dial
from training.bench.drawing.shapes import Circle, hull, polar, short
from training.bench.drawing.sheet import corner
from training.bench.drawing.wording import psi

if TYPE_CHECKING:
    from collections.abc import Callable

    from training.bench.drawing.sheet import Part

FIN_STEP = 9
FIN_WIDTH = 34


def ready(parts: list[Part]) -> list[Part]:
    """Work out the geometry of parts in paint order; the guard is drawn over the drive before it."""
    done: list[Part] = []
    drive: Part = {}
    for part in parts:
        kind = part["draw"]
        extra = _guard(drive) if kind == "guard" else _GEOMETRY[kind](part) if kind in _GEOMETRY else {}
        made = {**part, **extra, "tpl": f"bench/rig/_{kind}.svg"}
        for axis in ("x", "y"):
            if axis in made and not isinstance(made[axis], str):
                made[axis] = short(made[axis])
        drive = made if kind == "drive" else drive
        done.append(made)
    return done


def _gauge(part: Part) -> Part:
    keys = ("radius", "channel", "name", "full_scale", "step", "minor", "stem", "x", "y", "bar")
    given = {key: part[key] for key in keys if key in part}
    pegs = tuple(psi(peg) for peg in part.get("pegs", ()))
    redline = part.get("redline")
    limit = 0.0 if redline is None else psi(redline if isinstance(redline, float) else redline.set_pressure)
    return {**dial(**given, redline=limit, pegs=pegs), "pegs_psi": pegs}


def _motor(_part: Part) -> Part:
    ribs = (polar(62, angle + 90) for angle in range(-86, 78, 13))
    return {"ribs": "".join(f"M{short(x)} {short(y)}l98-15" for x, y in ribs), "slots": range(0, 360, 36)}


def _pump_direct(_part: Part) -> Part:
    ribs = (polar(78, angle + 90) for angle in range(-84, 78, 12))
    return {
        "ribs": "".join(f"M{short(x)} {short(y)}l138-22" for x, y in ribs),
        "fins": range(-138, -68, 11), "headfins": range(-50, 46, 13), "blades": range(0, 360, 60),
    }  # fmt: skip


def _drive(part: Part) -> Part:
    wheel = part["wheel"]
    drawn: Part = {
        "wheel": {"x": wheel.x, "y": wheel.y, "r": wheel.r}, "blades": range(0, 360, 72), "bolts": range(36, 360, 72),
        "ratio": short(part["ratio"]), "pulley": None,
    }  # fmt: skip
    if "pulley" not in part:
        return drawn
    pulley = part["pulley"]
    small, large = Circle(pulley.x, pulley.y, pulley.r - 4), Circle(wheel.x, wheel.y, wheel.r - 5)
    behind = range(part["belts"] - 1, 0, -1)
    return {
        **drawn,
        "pulley": {
            "x": pulley.x,
            "y": pulley.y,
            "r": pulley.r,
            "groove": short(pulley.r - 6),
            "lite": short(pulley.r * 0.62),
        },
        "circles": (pulley, wheel),
        "belt": hull(small, large),
        "behind": [(short(7 * n), short(-2.3 * n)) for n in behind],
    }


def _guard(drive: Part) -> Part:
    pulley, wheel = drive["circles"]
    feet = [(short(wheel.x - 96), short(wheel.y + 92)), (short(wheel.x + 84), short(wheel.y + 92))]
    return {"guard": hull(pulley, wheel, 19), "tabs": feet}


def _tube(part: Part) -> Part:
    discs: list[Any] = []
    half = FIN_WIDTH / 2
    if "down" in part:
        run = part["down"]
        left = short(run["x"] - half)
        discs += [(left, y, FIN_WIDTH, 3.5) for y in range(int(run["from"]), int(run["to"]), FIN_STEP)]
    for start, end, y in part.get("across", ()):
        discs += [(x, short(y - half), 3.5, FIN_WIDTH) for x in range(start, end, FIN_STEP)]
    path = part["d"] if "d" in part else corner(*part["through"], r=28 if part["size"] == "head" else 14)
    nuts = [(short(x), short(y), turn) for x, y, turn in part.get("nuts", ())]
    return {"d": path, "disc": discs, "nuts": nuts}


def _pump_vee(part: Part) -> Part:
    pump, drawn = part["pump"], part["cylinders"]
    rear = any(cylinder["x"] for cylinder in drawn)
    return {
        "case": pump["case"],
        "side": pump["case_side"],
        "back": pump["rear"] if rear else (),
        "cyl": drawn,
    }


def _lines(lines: list[str], top: int, step: int) -> list[Part]:
    return [{"t": line, "y": top + step * n} for n, line in enumerate(lines)]


def _tank_lying(part: Part) -> Part:
    length, h = part["l"], part["h"]
    end = length - 50
    shell = (
        f"M50 0H{short(end)}C{short(end + 34)} 0 {short(length)} {h * 0.26} {short(length)} {h / 2}S{short(end + 34)} {h} "
        f"{short(end)} {h}H50C16 {h} 0 {h * 0.74} 0 {h / 2}S16 0 50 0Z"
    )
    feet = (128, length - 212)
    saddle = [f"M{short(x)} {h - 24}h84l14 {62}h-112z" for x in feet]
    return {
        "shell": shell, "shine": f"M52 26H{short(end - 2)}c8 0 14 6 17 14H35c3-8 9-14 17-14z",
        "seams": f"M58 1C36 {h * 0.2} 36 {h * 0.8} 58 {h - 1}M{short(length - 58)} 1c22 {h * 0.2} 22 {h * 0.8} 0 {h - 2}M{short(length * 0.72)} 1v{h - 2}",
        "mid": int(length / 2), "ground": h + 36, "foot": h - 26, "rubber": h + 26, "saddle": saddle, "out": int(h / 2 - 16),
        "shoes": "".join(f"M{short(x - 22)} {h + 30}h128v9h-128z" for x in feet),
        "wheel": (short(length - 150), h - 8), "handle": f"M60 {h * 0.2}H-34Q-58 {h * 0.2} -58 {h * 0.2 - 24}V-30",
        "port": (short(length * 0.8), short(h * 0.64)), "plate_at": (short(length * 0.46 - 103), short(h / 2 - 49)),
        "lines": _lines(part["plate"][1:], 58, 20), "l": int(length), "bungs": [short(b) for b in part["bungs"]],
    }  # fmt: skip


def _tank_flat(part: Part) -> Part:
    length, clear = part["l"], part["clear"]
    right = length - 150
    shell = (
        f"M150 0H{short(right)}C{short(length - 60)} 0 {short(length)} 34 {short(length)} 92V104C{short(length)} 160 "
        f"{short(length - 70)} 190 {short(right)} 190H150C70 190 0 160 0 104V92C0 34 60 0 150 0Z"
    )
    return {
        "shell": shell, "shine": f"M150 20H{short(right)}c40 0 70 8 90 22H60c20-14 50-22 90-22z",
        "band": f"M-8 90H{short(length + 8)}V106H-8z", "mid": int(length / 2), "ground": 214, "out": 56,
        "bow": f"M60 20V-250Q60-282 92-282H{short(clear - 32)}Q{short(clear)}-282 {short(clear)}-250V10",
        "feet": [120, int(length / 2) - 22, int(length) - 164],
        "port": (short(length * 0.8), short(190 * 0.28)), "plate_at": (short(length * 0.46 - 98), 112),
        "lines": _lines(part["plate"][1:], 46, 18), "l": int(length), "bungs": [short(b) for b in part["bungs"]],
    }  # fmt: skip


def _outlet_end(part: Part) -> Part:
    drop = part["drop"]
    hose = f"M142 0c26 0 34 22 28 {short(drop * 0.4)}s-30 {short(drop * 0.3)}-28 {short(drop * 0.6 + 14)}"
    return {"gauge": _gauge(part["gauge"]), "hose": hose}


_GEOMETRY: dict[str, Callable[[Part], Part]] = {
    "gauge": _gauge,
    "motor": _motor,
    "drive": _drive,
    "tube": _tube,
    "group": lambda part: {"parts": ready(part["part"])},
    "outlet_line": lambda part: {"gauge": _gauge(part["gauge"])},
    "outlet_end": _outlet_end,
    "wall": lambda part: {"below": part["h"] - part["floor"]},
    "pump_one": lambda _part: {"fins": range(-205, -112, 13), "headfins": range(-74, 72, 16)},
    "pump_twin": lambda _part: {"fins": range(-205, -112, 13), "headfins": range(-74, 72, 16)},
    "pump_vee": _pump_vee,
    "pump_direct": _pump_direct,
    "engine": lambda _part: {"fins": range(-108, -50, 11)},
    "riser": lambda part: {"h": short(part["h"]), "h2": short(part["h"] - 10)},
    "deck": lambda part: {
        "w": short(part["w"]),
        "w2": short(part["w"] + 44),
        "feet": [40, short(part["w"] * 0.45), short(part["w"] - 90)],
    },
    "deck_arms": lambda part: {
        "w": short(part["w"]),
        "w2": short(part["w"] + 44),
        "arms": [short(a) for a in part["arms"]],
    },
    "tank_upright": lambda part: {"lines": _lines(part["plate"][1:], 63, 19)},
    "tank_lying": _tank_lying,
    "tank_flat": _tank_flat,
}
