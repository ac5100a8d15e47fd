"""Both motors drawn over each other to one scale: feet, holes, shaft and key, as shapes in millimetres.

Where a figure is not known nothing is drawn, and `missing` says so: a picture must not guess a bolt hole.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulator.replacement.swap import body

if TYPE_CHECKING:
    from collections.abc import Iterator

    from simulator.replacement.plates import MotorPlate
    from simulator.replacement.swap import Body

MM = 1000.0
MARGIN = 12.0  # [mm]
FOOT = 6.0  # depth of the line of the feet, and of a hole in it, as drawn [mm]
OLD, NEW = "old", "new"


@dataclass(frozen=True)
class Shape:
    """A circle (`width` is its diameter, x and y its centre) or a box (x and y its corner). [mm]"""

    form: str  # "circle" or "box"
    whose: str  # "old" or "new"
    what: str  # "shaft", "key", "hole" or "feet"
    x: float
    y: float
    width: float
    height: float = 0.0

    @property
    def left(self) -> float:
        """Left end. [mm]"""
        return self.x - self.width / 2 if self.form == "circle" else self.x

    @property
    def top(self) -> float:
        """Upper end; y grows downwards, as on a screen. [mm]"""
        return self.y - self.width / 2 if self.form == "circle" else self.y

    @property
    def right(self) -> float:
        """Right end. [mm]"""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Lower end. [mm]"""
        return self.top + (self.width if self.form == "circle" else self.height)


@dataclass(frozen=True)
class View:
    """One view of both motors, and the frame that holds it all. [mm]"""

    name: str  # "end" looks at the shaft's end, "above" looks down on the feet
    title: str
    shapes: tuple[Shape, ...]
    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True)
class Picture:
    """Both views at one scale, and what could not be drawn."""

    views: tuple[View, ...]
    missing: tuple[str, ...]


def picture(old: MotorPlate, new: MotorPlate) -> Picture:
    """Draw two motors over each other.

    From the end both stand on the line of their feet (y = 0) with their shafts at x = 0. From above both shafts
    lie along y = 0 with their shoulders at x = 0, the shaft's end to the left.

    Parameters
    ----------
    old : MotorPlate
        The motor that comes out.
    new : MotorPlate
        The motor that is on offer.

    Returns
    -------
    Picture
        A view without a shape is left out.

    Examples
    --------
    >>> from simulator.replacement.plates import read_motor_plate
    >>> drawn = picture(read_motor_plate("frame=184T"), read_motor_plate("frame=184"))
    >>> [view.name for view in drawn.views], drawn.missing
    (['end', 'above'], ())
    """
    bodies = ((OLD, body(old)), (NEW, body(new)))
    views = []
    for name, title, draw in (
        ("end", "Looking at the shaft's end", _end),
        ("above", "Looking down on the feet", _above),
    ):
        shapes = tuple(shape for whose, of in bodies for shape in draw(whose, of))
        if shapes:
            views.append(_framed(name, title, shapes))
    missing = tuple(f"{what} of the {whose} motor" for whose, of in bodies for what in _missing(of))
    return Picture(tuple(views), missing)


def _framed(name: str, title: str, shapes: tuple[Shape, ...]) -> View:
    left = min(shape.left for shape in shapes) - MARGIN
    top = min(shape.top for shape in shapes) - MARGIN
    right = max(shape.right for shape in shapes) + MARGIN
    bottom = max(shape.bottom for shape in shapes) + MARGIN
    return View(name, title, shapes, left, top, right - left, bottom - top)


def _end(whose: str, of: Body) -> Iterator[Shape]:
    if of.holes_across is not None:
        wide = of.holes_across * MM
        hole = (of.hole or 0.0) * MM
        yield Shape("box", whose, "feet", -wide / 2 - 2 * FOOT, 0.0, wide + 4 * FOOT, FOOT)
        for side in (-1, 1) if hole else ():
            yield Shape("box", whose, "hole", side * wide / 2 - hole / 2, 0.0, hole, FOOT)
    if of.shaft_height is not None and of.shaft_diameter is not None:
        height, diameter = of.shaft_height * MM, of.shaft_diameter * MM
        yield Shape("circle", whose, "shaft", 0.0, -height, diameter)
        if of.key and not of.key.flat:
            width, tall = of.key.width * MM, of.key.height * MM
            # Half of the key's height sits in the shaft, as near as a picture needs it.
            yield Shape("box", whose, "key", -width / 2, -height - diameter / 2 - tall / 2, width, tall)


def _above(whose: str, of: Body) -> Iterator[Shape]:
    if of.shaft_diameter is not None and of.shaft_length is not None:
        diameter, length = of.shaft_diameter * MM, of.shaft_length * MM
        yield Shape("box", whose, "shaft", -length, -diameter / 2, length, diameter)
    if of.holes_across is None or of.shaft_to_holes is None or of.hole is None:
        return
    near, across, hole = of.shaft_to_holes * MM, of.holes_across * MM, of.hole * MM
    for along in dict.fromkeys((0.0, *of.holes_along)):
        for side in (-1, 1):
            yield Shape("circle", whose, "hole", near + along * MM, side * across / 2, hole)


def _missing(of: Body) -> Iterator[str]:
    for name, value in (
        ("shaft height", of.shaft_height),
        ("shaft diameter", of.shaft_diameter),
        ("shaft length", of.shaft_length),
        ("foot holes across", of.holes_across),
        ("foot holes along", of.holes_along or None),
        ("distance from shaft to holes", of.shaft_to_holes),
    ):
        if value is None:
            yield name
