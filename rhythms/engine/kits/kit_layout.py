"""Where the surfaces of a kit stand, and how large they are.

Centimetres, seen from above by a right-handed player: x to the right, y away from the
player, the snare's centre at 0, 0. Sizes are those of usual shells and cymbals (14 inch snare,
10, 12 and 16 inch toms, 14 inch hi-hat, 16 inch crash, 20 inch ride); positions are common
practice for a five-piece kit, not measurements. Mirrored in x for left-handed players.
"""

from __future__ import annotations

from functools import cache
from math import hypot
from typing import NamedTuple

from rhythms.engine.kits.surfaces import WAYS, Surface, base


class Place(NamedTuple):
    """Centre ``x``, ``y`` and diameter ``width`` of what is struck, in centimetres."""

    x: float
    y: float
    width: float


PLACES: dict[Surface, Place] = {
    Surface.SNARE: Place(0, 0, 36),
    Surface.CROSS_STICK: Place(0, 0, 30),
    Surface.HIGH_TOM: Place(-8, 40, 25),
    Surface.MID_TOM: Place(26, 42, 30),
    Surface.FLOOR_TOM: Place(55, 2, 40),
    Surface.HI_HAT: Place(-42, 18, 36),
    Surface.RIDE: Place(66, 48, 51),
    Surface.RIDE_BELL: Place(66, 52, 14),
    Surface.CRASH: Place(-38, 62, 41),
    Surface.SPLASH: Place(8, 62, 25),
    Surface.CHINA: Place(92, 62, 46),
    Surface.COWBELL: Place(16, 54, 16),
    Surface.BASS_DRUM: Place(12, 34, 56),
    Surface.HI_HAT_FOOT: Place(-40, 0, 30),
    # Before the player: as near to everything as the snare is.
    Surface.STICKS: Place(0, 0, 36),
}
PLACES |= {way: PLACES[on] for way, on in WAYS.items() if on is not None}
#: A hand this little past the other does not count as crossed: sticks reach in from the sides.
CROSSING_SLACK = 10.0


def place(surface: Surface, *, left_handed: bool = False) -> Place:
    """Where a surface stands."""
    at = PLACES[surface]
    return at._replace(x=-at.x) if left_handed else at


def distance(a: Surface, b: Surface) -> float:
    """Centimetres between the centres of two surfaces; the same on a mirrored kit."""
    return hypot(PLACES[a].x - PLACES[b].x, PLACES[a].y - PLACES[b].y)


@cache
def crosses(hand: str, surface: Surface, other: Surface, *, left_handed: bool = False) -> bool:
    """Whether ``hand`` on ``surface`` reaches past ``other``, where the other hand struck last."""
    beyond = PLACES[surface].x - PLACES[other].x
    if left_handed:
        beyond = -beyond
    return (-beyond if hand == "R" else beyond) > CROSSING_SLACK


def crossed_at_once(hand: str, surface: Surface, other: Surface, *, left_handed: bool) -> bool:
    """Whether ``hand`` on ``surface`` and the other hand on ``other`` are too far crossed to strike
    at once. To the hi-hat a hand goes over the other (common practice).
    """
    over_the_hat = Surface.HI_HAT in (base(surface), base(other))
    return not over_the_hat and crosses(hand, surface, other, left_handed=left_handed)
