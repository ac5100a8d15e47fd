"""Both motors over each other as a page draws them: shapes by class, dimensions with arrows, one scale for all. Plain Python."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator import units
from simulator.replacement.outline import NEW, OLD, picture
from simulator.replacement.plates import read_motor_plate
from simulator.replacement.swap import body

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from simulator.replacement.outline import Shape, View
    from simulator.replacement.swap import Body

MM = 1000.0
LETTER = 0.56  # width of a letter to its height, about
GAP = 1.9  # from one row of dimensions to the next, in heights of the text
ACROSS, DOWN = 760.0, 330.0  # how wide the picture stands on a desk and on a phone [px]
TEXT = 13.5  # height of the text there [px]
DIMENSIONS = (
    ("Shaft height", "shaft_height"),
    ("Shaft diameter", "shaft_diameter"),
    ("Shaft length", "shaft_length"),
    ("Foot holes across", "holes_across"),
    ("Foot holes along", "holes_along"),
    ("Shaft's shoulder to the first holes", "shaft_to_holes"),
)


@dataclass(frozen=True)
class Dimension:
    """A line with arrows at both ends and what it measures."""

    css: str
    path: str
    x: float
    y: float
    anchor: str
    words: str


@dataclass(frozen=True)
class Drawing:
    """The picture for one width of page, in millimetres of the machine."""

    css: str
    width: float
    height: float
    text: float
    shapes: tuple[dict[str, float | str], ...]
    dimensions: tuple[Dimension, ...]
    titles: tuple[tuple[float, float, str], ...]
    axes: tuple[str, ...]
    words: str
    table: tuple[tuple[str, str, str], ...]
    missing: tuple[str, ...]


def drawings(old: Mapping[str, str], new: Mapping[str, str], system: units.System) -> tuple[Drawing, ...]:
    """Draw the two motors of these plates, side by side and one above the other; nothing where nothing is known."""
    plates = read_motor_plate(old, "old plate"), read_motor_plate(new, "new plate")
    found = picture(*plates)
    if not found.views:
        return ()
    bodies = {OLD: body(plates[0]), NEW: body(plates[1])}
    table = tuple(_row(title, name, bodies, system) for title, name in DIMENSIONS)
    return tuple(
        _laid_out(css, found.views, table, found.missing, system, pixels)
        for css, pixels in (("pic-w", ACROSS), ("pic-n", DOWN))
    )


def length(metres: float, system: units.System) -> str:
    """Show a length as a caliper has it: 2.75 in, 69.9 mm."""
    figure = units.number(metres, "small_length", system)
    written = f"{figure:.1f}" if system == "metric" else f"{figure:.3f}"
    return f"{written.rstrip('0').rstrip('.')} {units.unit('small_length', system)}"


def _row(title: str, name: str, bodies: Mapping[str, Body], system: units.System) -> tuple[str, str, str]:
    def told(of: Body) -> str:
        value = getattr(of, name)
        if not value:
            return ""
        return " or ".join(length(one, system) for one in (value if isinstance(value, tuple) else (value,)))

    return title, told(bodies[OLD]), told(bodies[NEW])


def _laid_out(
    css: str,
    views: tuple[View, ...],
    table: tuple[tuple[str, str, str], ...],
    missing: tuple[str, ...],
    system: units.System,
    pixels: float,
) -> Drawing:
    """Put the views beside each other where there is room, else below each other."""
    beside = css == "pic-w"
    bare = sum(view.width for view in views) if beside else max(view.width for view in views)
    around = 11.2 * (len(views) if beside else 1)  # room for words, in heights of the text
    text = TEXT * bare / (pixels - TEXT * around)
    side, over = around / (len(views) if beside else 1) / 2 * text, 5.4 * text
    shapes: list[dict[str, float | str]] = []
    dimensions: list[Dimension] = []
    titles, axes = [], []
    x = y = 0.0
    for view in views:
        middle = 0.0 if beside else (bare - view.width) / 2
        dx, dy = x + side + middle - view.left, y + over - view.top
        shapes += [_placed(shape, dx, dy) for shape in view.shapes]
        dimensions += list(_dimensions(view, dx, dy, text, system))
        titles.append((x + 0.5 * text, y + 1.2 * text, view.title))
        axes.append(_axis(view, dx, dy))
        wide, high = view.width + 2 * side, view.height + 2 * over - 1.2 * text
        x, y = (x + wide, y) if beside else (x, y + high)
    width = x if beside else bare + 2 * side
    height = max(view.height for view in views) + 2 * over - 1.2 * text if beside else y
    return Drawing(
        css, round(width, 1), round(height, 1), round(text, 2), tuple(shapes), tuple(dimensions),
        tuple(titles), tuple(axes), _words(table), table, missing,
    )  # fmt: skip


def _words(table: tuple[tuple[str, str, str], ...]) -> str:
    told = [f"{title}: old {old or 'not known'}, new {new or 'not known'}" for title, old, new in table]
    return "; ".join(told) + "."


def _placed(shape: Shape, dx: float, dy: float) -> dict[str, float | str]:
    css = f"p-{shape.whose} p-{shape.what}"
    if shape.form == "circle":
        return {
            "form": "circle",
            "css": css,
            "x": round(shape.x + dx, 2),
            "y": round(shape.y + dy, 2),
            "r": round(shape.width / 2, 2),
        }
    return {
        "form": "box",
        "css": css,
        "x": round(shape.x + dx, 2),
        "y": round(shape.y + dy, 2),
        "width": round(shape.width, 2),
        "height": round(shape.height, 2),
    }


def _axis(view: View, dx: float, dy: float) -> str:
    """The line that both motors share: the shaft's, seen from above; the middle, seen from the end."""
    if view.name == "end":
        return f"M{dx:.1f} {view.top + dy:.1f}V{view.top + view.height + dy:.1f}"
    return f"M{view.left + dx:.1f} {dy:.1f}H{view.left + view.width + dx:.1f}"


def _dimensions(view: View, dx: float, dy: float, text: float, system: units.System) -> Iterator[Dimension]:
    draw = _from_the_end if view.name == "end" else _from_above
    for number, whose in enumerate((OLD, NEW)):
        mine = [shape for shape in view.shapes if shape.whose == whose]
        yield from draw(view, mine, whose, number, dx, dy, text, system)


def _from_the_end(
    view: View,
    mine: list[Shape],
    whose: str,
    number: int,
    dx: float,
    dy: float,
    text: float,
    system: units.System,
) -> Iterator[Dimension]:
    shaft = next((one for one in mine if one.what == "shaft"), None)
    holes = [one for one in mine if one.what == "hole"]
    if shaft:
        x = view.left - 0.4 * text if whose == OLD else view.left + view.width + 0.4 * text
        yield _upright(whose, x + dx, shaft.y + dy, dy, _shown(-shaft.y, system), text)
        y = view.top - (0.5 + (1 - number) * GAP) * text
        yield _level(whose, shaft.left + dx, shaft.right + dx, y + dy, _shown(shaft.width, system), text)
    if len(holes) == 2:
        middles = sorted(one.x + one.width / 2 for one in holes)
        y = view.top + view.height + (0.9 + number * GAP) * text
        yield _level(
            whose, middles[0] + dx, middles[1] + dx, y + dy, _shown(middles[1] - middles[0], system), text
        )


def _from_above(
    view: View,
    mine: list[Shape],
    whose: str,
    number: int,
    dx: float,
    dy: float,
    text: float,
    system: units.System,
) -> Iterator[Dimension]:
    shaft = next((one for one in mine if one.what == "shaft"), None)
    along = sorted({one.x for one in mine if one.what == "hole"})
    if shaft:
        y = view.top - (0.5 + (1 - number) * GAP) * text
        yield _level(whose, shaft.left + dx, shaft.right + dx, y + dy, _shown(shaft.width, system), text)
    y = view.top + view.height + (0.9 + number * GAP) * text
    if along:
        yield _level(whose, dx, along[0] + dx, y + dy, _shown(along[0], system), text, before=True)
        yield _level(whose, along[0] + dx, along[-1] + dx, y + dy, _shown(along[-1] - along[0], system), text)


def _shown(millimetres: float, system: units.System) -> str:
    return length(millimetres / MM, system)


def _level(
    whose: str, left: float, right: float, y: float, words: str, text: float, *, before: bool = False
) -> Dimension:
    """A dimension from left to right; words that do not fit between its ends stand behind it, or before it."""
    tip, half = 0.45 * text, 0.2 * text
    path = (
        f"M{left:.1f} {y:.1f}H{right:.1f}"
        f"M{left + tip:.1f} {y - half:.1f}L{left:.1f} {y:.1f}L{left + tip:.1f} {y + half:.1f}"
        f"M{right - tip:.1f} {y - half:.1f}L{right:.1f} {y:.1f}L{right - tip:.1f} {y + half:.1f}"
        f"M{left:.1f} {y - tip:.1f}V{y + tip:.1f}M{right:.1f} {y - tip:.1f}V{y + tip:.1f}"
    )
    fits = right - left > (len(words) + 1) * LETTER * text
    outside = (left - 0.5 * text, "end") if before else (right + 0.5 * text, "start")
    x, anchor = ((left + right) / 2, "middle") if fits else outside
    height = y - 0.35 * text if fits else y + 0.35 * text
    return Dimension(f"p-{whose}", path, round(x, 1), round(height, 1), anchor, words)


def _upright(whose: str, x: float, top: float, bottom: float, words: str, text: float) -> Dimension:
    """A dimension from top to bottom, its words on the outside."""
    tip, half = 0.45 * text, 0.2 * text
    path = (
        f"M{x:.1f} {top:.1f}V{bottom:.1f}"
        f"M{x - half:.1f} {top + tip:.1f}L{x:.1f} {top:.1f}L{x + half:.1f} {top + tip:.1f}"
        f"M{x - half:.1f} {bottom - tip:.1f}L{x:.1f} {bottom:.1f}L{x + half:.1f} {bottom - tip:.1f}"
        f"M{x - tip:.1f} {top:.1f}H{x + tip:.1f}M{x - tip:.1f} {bottom:.1f}H{x + tip:.1f}"
    )
    outside = -0.5 * text if whose == OLD else 0.5 * text
    anchor = "end" if whose == OLD else "start"
    return Dimension(f"p-{whose}", path, round(x + outside, 1), round((top + bottom) / 2, 1), anchor, words)
