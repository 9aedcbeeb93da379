"""A kit seen from above with the moves made on it: places and paths, for a template to draw.

Drums stand as they do, pulled apart so that moves between them show; y grows away from the
player, so it is turned over for the drawing.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import hypot
from typing import NamedTuple

from rhythms.engine import Kit, Surface
from rhythms.engine.comfort.habits import MoveMade
from rhythms.engine.kits.kit_layout import Place, place
from rhythms.engine.kits.surfaces import FEET
from studio.surface_names import called

#: No more arrows than are taken in at a glance; moves of a smaller share are left to the table.
MOST_ARROWS, LEAST_SHARE = 3, 0.015
THINNEST, WIDEST = 1.0, 6.0
#: How far an arrow bends to its right, of its length, so that the two directions do not coincide;
#: and at least, in centimetres.
_BEND = 0.16
_LEAST_BEND = 12.0
#: How much of a surface an arrow leaves free around its centre.
_FREE = 0.55
_MARGIN = 16.0
#: A number stands in a circle of this radius; a letter of a name is so wide.
NUMBER_RADIUS, _LETTER = 7.0, 4.6
#: How far the drums are pulled apart, and what is left of their size.
_SPREAD, _SIZE = 1.5, 0.85
#: Where the drawing has to part what stands in one place, or one above the other.
_APART: dict[Surface, tuple[float, float]] = {
    Surface.CROSS_STICK: (-15, -13),
    Surface.BASS_DRUM: (2, -15),
    Surface.HI_HAT_FOOT: (-6, -14),
    Surface.RIDE_BELL: (4, 4),
    Surface.COWBELL: (-2, 13),
    Surface.SPLASH: (-2, 14),
    Surface.CRASH: (-8, 8),
    Surface.CHINA: (2, 10),
}

_Point = tuple[float, float]


class Drum(NamedTuple):
    """A surface as a circle, with where its name stands; `used` where it was struck at all."""

    surface: Surface
    x: str
    y: str
    radius: str
    used: bool


class Arrow(NamedTuple):
    """A move as a curve with the two lines of its head; `wide` in centimetres by its share.

    `x` and `y` are where its `number` stands, the one it has in the list beside.
    """

    path: str
    head: str
    wide: str
    move: MoveMade
    number: int
    x: str
    y: str


@dataclass(frozen=True)
class KitPicture:
    """The drums of a kit and the moves most often made on it."""

    box: str
    drums: tuple[Drum, ...]
    arrows: tuple[Arrow, ...]


def kit_picture(kit: Kit, moves: Iterable[MoveMade], unused: Iterable[Surface]) -> KitPicture:
    """Return the picture of a kit, as its player sits; thicker arrows are moves made more often.

    Of moves in order those that stand out go first, and few are shown.
    """
    between = [
        move
        for move in moves
        if move.origin != move.target and move.share >= LEAST_SHARE and _is_on(move, kit)
    ]
    shown = sorted(between, key=lambda move: not move.is_habit)[:MOST_ARROWS]
    places = {surface: _place(surface, kit) for surface in _drawn(kit, shown)}
    left_out = set(unused)
    return KitPicture(
        _box(places.values()),
        tuple(
            Drum(
                surface,
                _svg_number(at.x),
                _svg_number(-at.y),
                _svg_number(at.width / 2),
                surface not in left_out,
            )
            for surface, at in sorted(places.items(), key=lambda item: -item[1].width)
        ),
        tuple(_arrows(shown, places)),
    )


def _place(surface: Surface, kit: Kit) -> Place:
    dx, dy = _APART.get(surface, (0, 0))
    at = place(surface)
    x = _SPREAD * (at.x + dx)
    return Place(-x if kit.left_handed else x, _SPREAD * (at.y + dy), _SIZE * at.width)


def _is_on(move: MoveMade, kit: Kit) -> bool:
    return move.origin in kit.surfaces and move.target in kit.surfaces


def _drawn(kit: Kit, moves: Iterable[MoveMade]) -> list[Surface]:
    """What hands strike, and pedals where a move goes to them."""
    moved = {surface for move in moves for surface in (move.origin, move.target)}
    return [surface for surface in kit.surfaces if surface not in FEET or surface in moved]


def _box(places: Iterable[Place]) -> str:
    """The view box around all of them: x, y, width, height."""
    found = list(places)
    left = min(at.x - at.width / 2 for at in found) - _MARGIN
    right = max(at.x + at.width / 2 for at in found) + _MARGIN
    bottom = min(at.y - at.width / 2 for at in found) - _MARGIN
    top = max(at.y + at.width / 2 for at in found) + _MARGIN
    return " ".join(_svg_number(number) for number in (left, -top, right - left, top - bottom))


class _Curve(NamedTuple):
    """From rim to rim, a quadratic curve drawn towards a point beside its middle."""

    tail: _Point
    beside: _Point
    tip: _Point

    def at(self, part: float, out: float = 0.0) -> _Point:
        """A point so far along, and so many centimetres out, to the side of its bend."""
        back, on = 1 - part, 2 * part * (1 - part)
        (x0, y0), (x1, y1), (x2, y2) = self
        middle = (x0 + x2) / 2, (y0 + y2) / 2
        away = hypot(x1 - middle[0], y1 - middle[1]) or 1.0
        return (
            back**2 * x0 + on * x1 + part**2 * x2 + out * (x1 - middle[0]) / away,
            back**2 * y0 + on * y1 + part**2 * y2 + out * (y1 - middle[1]) / away,
        )


def _arrows(shown: Sequence[MoveMade], places: dict[Surface, Place]) -> Iterator[Arrow]:
    """Numbered in order; no number stands on a name or on another number, where there is room."""
    most = max((move.share for move in shown), default=1.0)
    taken: list[_Point] = []
    for number, move in enumerate(shown, start=1):
        curve = _curve(places[move.origin], places[move.target])
        at = _number_place(curve, places, taken)
        taken.append(at)
        wide = THINNEST + (WIDEST - THINNEST) * move.share / most
        path = f"M{_point(curve.tail)}Q{_point(curve.beside)} {_point(curve.tip)}"
        head = _head(curve.tip, curve.beside, 3 + wide)
        place = _svg_number(at[0]), _svg_number(-at[1])
        yield Arrow(path, head, _svg_number(wide), move, number, *place)


def _curve(start: Place, end: Place) -> _Curve:
    """It bends to the right of its direction."""
    dx, dy = end.x - start.x, end.y - start.y
    apart = hypot(dx, dy) or 1.0
    bend = max(_BEND, _LEAST_BEND / apart)
    beside = start.x + dx / 2 + bend * dy, start.y + dy / 2 - bend * dx
    tail = _towards(start, beside, _FREE * min(start.width / 2, apart / 3))
    tip = _towards(end, beside, _FREE * min(end.width / 2, apart / 3))
    return _Curve(tail, beside, tip)


def _number_place(curve: _Curve, places: dict[Surface, Place], taken: Sequence[_Point]) -> _Point:
    tried = [
        curve.at(part, out) for out in (0.0, 9.0, 16.0) for part in (0.5, 0.35, 0.65, 0.2, 0.8)
    ]
    return next((at for at in tried if _is_free(at, places, taken)), curve.at(0.5, 9.0))


def _is_free(at: _Point, places: dict[Surface, Place], taken: Sequence[_Point]) -> bool:
    x, y = at
    apart = all(hypot(x - other[0], y - other[1]) > 2 * NUMBER_RADIUS for other in taken)
    return apart and not any(
        abs(x - drum.x) < NUMBER_RADIUS + _LETTER / 2 * len(called(surface))
        and abs(y - drum.y) < NUMBER_RADIUS + _LETTER
        for surface, drum in places.items()
    )


def _towards(start: Place, goal: _Point, by: float) -> _Point:
    dx, dy = goal[0] - start.x, goal[1] - start.y
    length = hypot(dx, dy) or 1.0
    return start.x + dx / length * by, start.y + dy / length * by


def _head(tip: _Point, behind: _Point, size: float) -> str:
    """A filled triangle with its tip on the curve's end."""
    dx, dy = tip[0] - behind[0], tip[1] - behind[1]
    length = hypot(dx, dy) or 1.0
    ux, uy = dx / length, dy / length
    base = tip[0] - ux * size, tip[1] - uy * size
    left = base[0] - uy * size * 0.6, base[1] + ux * size * 0.6
    right = base[0] + uy * size * 0.6, base[1] - ux * size * 0.6
    return f"M{_point(tip)}L{_point(left)}L{_point(right)}Z"


def _point(at: _Point) -> str:
    return f"{_svg_number(at[0])} {_svg_number(-at[1])}"


def _svg_number(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")
