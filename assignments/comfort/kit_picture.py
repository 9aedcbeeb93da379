"""A kit seen from above with the moves made on it: places and paths, for a template to draw.

Drums stand as they do, pulled apart so that moves between them show; y grows away from the
player, so it is turned over for the drawing.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot
from typing import NamedTuple

from rhythms.engine import Kit, Surface
from rhythms.engine.comfort.habits import MoveMade
from rhythms.engine.kits.kit_layout import Place, place
from rhythms.engine.kits.surfaces import FEET

#: No more arrows than are taken in at a glance; moves of a smaller share are left to the table.
MOST_ARROWS, LEAST_SHARE = 3, 0.015
THINNEST, WIDEST = 1.0, 6.0
#: How far an arrow bends to its right, of its length, so that the two directions do not coincide.
_BEND = 0.16
#: How much of a surface an arrow leaves free around its centre.
_FREE = 0.55
_MARGIN = 16.0
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
    most = max((move.share for move in shown), default=1.0)
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
        tuple(
            _arrow(move, places, move.share / most, number)
            for number, move in enumerate(shown, start=1)
        ),
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


def _arrow(move: MoveMade, places: dict[Surface, Place], part: float, number: int) -> Arrow:
    """A curve that bends to the right of its direction, from rim to rim."""
    start, end = places[move.origin], places[move.target]
    dx, dy = end.x - start.x, end.y - start.y
    apart = hypot(dx, dy) or 1.0
    bend_x, bend_y = start.x + dx / 2 + _BEND * dy, start.y + dy / 2 - _BEND * dx
    tail = _towards(start, (bend_x, bend_y), _FREE * min(start.width / 2, apart / 3))
    tip = _towards(end, (bend_x, bend_y), _FREE * min(end.width / 2, apart / 3))
    wide = THINNEST + (WIDEST - THINNEST) * part
    path = f"M{_point(tail)}Q{_point((bend_x, bend_y))} {_point(tip)}"
    # Half-way along a quadratic curve.
    x, y = (tail[0] + 2 * bend_x + tip[0]) / 4, (tail[1] + 2 * bend_y + tip[1]) / 4
    return Arrow(
        path,
        _head(tip, (bend_x, bend_y), 3 + wide),
        _svg_number(wide),
        move,
        number,
        _svg_number(x),
        _svg_number(-y),
    )


def _towards(start: Place, goal: tuple[float, float], by: float) -> tuple[float, float]:
    dx, dy = goal[0] - start.x, goal[1] - start.y
    length = hypot(dx, dy) or 1.0
    return start.x + dx / length * by, start.y + dy / length * by


def _head(tip: tuple[float, float], behind: tuple[float, float], size: float) -> str:
    """A filled triangle with its tip on the curve's end."""
    dx, dy = tip[0] - behind[0], tip[1] - behind[1]
    length = hypot(dx, dy) or 1.0
    ux, uy = dx / length, dy / length
    base = tip[0] - ux * size, tip[1] - uy * size
    left = base[0] - uy * size * 0.6, base[1] + ux * size * 0.6
    right = base[0] + uy * size * 0.6, base[1] - ux * size * 0.6
    return f"M{_point(tip)}L{_point(left)}L{_point(right)}Z"


def _point(at: tuple[float, float]) -> str:
    return f"{_svg_number(at[0])} {_svg_number(-at[1])}"


def _svg_number(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")
