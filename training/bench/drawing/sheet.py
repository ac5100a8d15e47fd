"""A picture being composed: parts in paint order, names with their leaders, places where a tool is put."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

Part = dict[str, Any]
Point = tuple[float, float]


@dataclass(frozen=True)
class Frame:
    """Where the coordinates of a group lie in the picture and at what scale."""

    x: float = 0.0
    y: float = 0.0
    s: float = 1.0

    def at(self, x: float, y: float) -> Point:
        """Return a point of the group in the picture's coordinates."""
        return self.x + self.s * x, self.y + self.s * y


@dataclass
class Sheet:
    """Parts, names and places so far."""

    parts: list[Part] = field(default_factory=list)
    names: list[Part] = field(default_factory=list)
    places: dict[str, Point] = field(default_factory=dict)

    def draw(self, kind: str, /, **given: Any) -> None:
        """Paint a part over what is there."""
        self.parts.append({"draw": kind, **given})

    def name(self, text: str, at: Sequence[float], label: Sequence[Any]) -> None:
        """Write a name; a third item of `label` says which end of the words the label is."""
        anchor = label[2] if len(label) > 2 else "start"
        self.names.append({"text": text, "at": tuple(at), "label": tuple(label[:2]), "anchor": anchor})

    def take(self, group: Sheet, frame: Frame) -> None:
        """Paint a group of parts at its own scale, and take over its names and places."""
        self.draw("group", x=frame.x, y=frame.y, s=frame.s, part=group.parts)
        for name in group.names:
            at, label = frame.at(*name["at"]), frame.at(*name["label"])
            self.names.append({**name, "at": at, "label": label})
        self.places |= {slug: frame.at(*spot) for slug, spot in group.places.items()}

    def spots(self, places: Iterable[tuple[str, Sequence[float]]]) -> None:
        """Take over places, each a slug and a point."""
        self.places |= {slug: (float(x), float(y)) for slug, (x, y) in places}


def corner(*points: Point, r: float = 24.0) -> str:
    """Run a tube or cable through points, round at every bend.

    >>> corner((0, 0), (40, 0), (40, 60), r=10)
    'M0 0L30 0Q40 0 40 10L40 60'
    """
    path = f"M{_xy(points[0])}"
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        path += f"L{_xy(_towards(here, before, r))}Q{_xy(here)} {_xy(_towards(here, after, r))}"
    return f"{path}L{_xy(points[-1])}"


def _towards(start: Point, end: Point, r: float) -> Point:
    dx, dy = end[0] - start[0], end[1] - start[1]
    long = max(abs(dx), abs(dy), 1e-9) if 0.0 in (dx, dy) else (dx * dx + dy * dy) ** 0.5
    share = min(r, long / 2) / long
    return start[0] + dx * share, start[1] + dy * share


def _xy(point: Point) -> str:
    x, y = point
    return f"{round(x, 1):g} {round(y, 1):g}"
