"""The picture of a rig: an ordered list of parts, read from `fixtures/pictures`, with its geometry worked out."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from training.bench.drawing.dials import dial
from training.bench.drawing.shapes import Circle, hull, polar, short

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

Part = dict[str, Any]


class BadPicture(ValueError):
    """The picture's file is wrong; the message says where."""


@lru_cache(maxsize=16)
def picture(folder: Path, rig: str) -> dict[str, Any]:
    """Return the picture of one rig, ready for the partials under `bench/rig`."""
    path = folder / f"{rig}.toml"
    try:
        drawn = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError as lost:
        raise BadPicture(
            f"There is no picture of the rig '{rig}': add {path.name} to the pictures."
        ) from lost
    groups = {part["name"]: part for part in drawn["part"] if part["draw"] == "group"}
    return {
        "id": drawn["rig"],
        "view": _window(drawn["view"]),
        "alt": drawn["alt"],
        "parts": _parts(drawn["part"]),
        "names": [_name(name) for name in drawn["name"]],
        "places": [_place(place, groups) for place in drawn["place"]],
        "stops": [{"title": stop["title"], "view": _window(stop["view"])} for stop in drawn["stop"]],
    }


def _window(box: list[float]) -> str:
    return " ".join(short(v) for v in box)


def _parts(parts: list[Part]) -> list[Part]:
    """Work out the geometry of parts in paint order; the guard is drawn over the drive before it."""
    done: list[Part] = []
    drive: Part = {}
    for part in parts:
        kind = part["draw"]
        extra = _GEOMETRY[kind](part) if kind in _GEOMETRY else {}
        if kind == "guard":
            extra = _guard(drive)
        ready = {**part, **extra, "tpl": f"bench/rig/_{kind}.svg"}
        drive = ready if kind == "drive" else drive
        done.append(ready)
    return done


def _name(name: Part) -> Part:
    (x, y), (label_x, label_y) = name["at"], name["label"]
    return {
        "t": name["text"], "x": x, "y": y, "tx": label_x, "ty": label_y,
        "anchor": name.get("anchor", "start"), "d": f"M{x} {y}L{label_x} {label_y - 5}",
    }  # fmt: skip


def _place(place: Part, groups: dict[str, Part]) -> Part:
    x, y = place["at"]
    if "in" in place:
        group = groups[place["in"]]
        x, y = group["x"] + group["s"] * x, group["y"] + group["s"] * y
    return {"slug": place["slug"], "mark": place["mark"], "x": short(x), "y": short(y)}


def _gauge(part: Part) -> Part:
    keys = ("radius", "channel", "name", "full_scale", "step", "minor", "redline", "stem", "x", "y")
    given = {key: part[key] for key in keys if key in part}
    pegs = tuple(part.get("pegs", ()))
    return {**dial(**given, pegs=pegs), "pegs_psi": pegs}


def _motor(_part: Part) -> Part:
    ribs = (polar(62, angle + 90) for angle in range(-86, 78, 13))
    return {"ribs": "".join(f"M{short(x)} {short(y)}l98-15" for x, y in ribs), "slots": range(0, 360, 36)}


def _drive(part: Part) -> Part:
    pulley, wheel = Circle(*part["pulley"]), Circle(*part["wheel"])
    small, large = Circle(pulley.x, pulley.y, pulley.r - 4), Circle(wheel.x, wheel.y, wheel.r - 5)
    return {
        "pulley": {"x": pulley.x, "y": pulley.y, "r": pulley.r, "groove": pulley.r - 6},
        "wheel": {"x": wheel.x, "y": wheel.y, "r": wheel.r},
        "circles": (pulley, wheel),
        "belt": hull(small, large),
        "ratio": short(large.r / small.r),
        "blades": range(0, 360, 72),
        "bolts": range(36, 360, 72),
    }


def _guard(drive: Part) -> Part:
    pulley, wheel = drive["circles"]
    feet = [(short(wheel.x - 96), short(wheel.y + 92)), (short(wheel.x + 84), short(wheel.y + 92))]
    return {"guard": hull(pulley, wheel, 19), "tabs": feet}


def _tube(part: Part) -> Part:
    fins = part.get("fins")
    if not fins:
        return {"disc": []}
    left = short(fins["x"] - fins["width"] / 2)
    return {"disc": [(left, y, fins["width"], 3.5) for y in range(fins["from"], fins["to"], fins["step"])]}


_GEOMETRY: dict[str, Callable[[Part], Part]] = {
    "gauge": _gauge,
    "motor": _motor,
    "drive": _drive,
    "tube": _tube,
    "group": lambda part: {"parts": _parts(part["part"])},
    "outlet_line": lambda part: {"gauge": _gauge(part["gauge"])},
    "wall": lambda part: {"below": part["h"] - part["floor"]},
    "pump_twin": lambda _part: {"fins": range(-205, -112, 13), "headfins": range(-74, 72, 16)},
    "tank_upright": lambda part: {
        "lines": [{"t": line, "y": 63 + 19 * n} for n, line in enumerate(part["plate"][1:])]
    },
}
