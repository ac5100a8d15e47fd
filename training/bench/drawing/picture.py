"""The picture of a rig: an ordered list of parts derived from the rig's data, with its geometry worked out."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from simulator.checks import checks_for
from training.bench.drawing import receivers
from training.bench.drawing.parts import ready
from training.bench.drawing.shapes import short
from training.bench.drawing.views import alt_words, stops, whole

if TYPE_CHECKING:
    from simulator.rig import Rig
    from training.bench.drawing.sheet import Part, Sheet

GEOMETRY = Path(__file__).resolve().parents[3] / "fixtures" / "pictures"


class BadPicture(ValueError):
    """A rig cannot be drawn; the message says why."""


@lru_cache(maxsize=1)
def geometry() -> dict[str, Any]:
    """Return the geometry of all parts by their names."""
    found: dict[str, Any] = {}
    for file in sorted(GEOMETRY.glob("*.toml")):
        found |= tomllib.loads(file.read_text(encoding="utf-8"))
    return found


def picture(rig: Rig) -> dict[str, Any]:
    """Return the picture of a rig, ready for the partials under `bench/rig`."""
    sheet = compose(rig)
    view = whole(sheet)
    return {
        "id": rig.slug,
        "view": view.words,
        "alt": alt_words(rig),
        "parts": ready(sheet.parts),
        "names": [_name(name) for name in sheet.names],
        "places": _places(rig, sheet),
        "stops": [{"title": title, "view": window.words} for title, window in stops(rig, sheet, view)],
    }


def compose(rig: Rig) -> Sheet:
    """Return parts, names and places of a rig in paint order."""
    shape = rig.fittings.get("receiver_shape", "upright")
    if shape not in ("upright", "lying", "flat"):
        raise BadPicture(f"'{rig.slug}': receiver_shape '{shape}' is not upright, lying or flat")
    return receivers.upright(rig, geometry()) if shape == "upright" else receivers.lying(rig, geometry())


def _name(name: Part) -> Part:
    (x, y), (label_x, label_y) = name["at"], name["label"]
    return {
        "t": name["text"], "x": short(x), "y": short(y), "tx": short(label_x), "ty": short(label_y),
        "anchor": name["anchor"], "d": f"M{short(x)} {short(y)}L{short(label_x)} {short(label_y - 5)}",
    }  # fmt: skip


def _places(rig: Rig, sheet: Sheet) -> list[Part]:
    """Number the places from the top by kind of mark: J joint, P port, C conductor, H hot or housing, L look."""
    counts: dict[str, int] = {}
    rows = []
    places = {place.slug: place for check in checks_for(rig).values() for place in check.places}
    for slug in places:
        if slug not in sheet.places:
            raise BadPicture(f"'{rig.slug}': the picture has no spot for the place '{slug}'")
    for place in sorted(places.values(), key=lambda place: sheet.places[place.slug][::-1]):
        kind = KINDS.get(place.slug, "J")
        counts[kind] = counts.get(kind, 0) + 1
        x, y = sheet.places[place.slug]
        rows.append(
            {
                "slug": place.slug,
                "title": place.title,
                "mark": f"{kind}{counts[kind]}",
                "x": short(x),
                "y": short(y),
            }
        )
    return rows


KINDS = {
    "supply": "C", "motor-lead": "C", "starter": "C", "switch": "C", "motor": "H", "head-1": "H", "head-2": "H",
    "head-3": "H", "head-4": "H", "line-pump-end": "H", "line-tank-end": "H", "belt": "L", "flywheel": "L",
    "plates": "L", "oil-glass": "L", "oil-gauge": "L", "lp-intake": "L", "lp-intake-2": "L", "lp-shell": "L",
    "lp-breather": "P", "lp-unloader-port": "P", "lp-pump-vent": "P", "lp-dump-port": "P",
}  # fmt: skip
