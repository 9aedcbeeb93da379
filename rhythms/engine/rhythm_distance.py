"""Distances between rhythms on one grid, by their onsets.

Definitions after Toussaint's comparisons of rhythm distances (2002 to 2004).
"""

from __future__ import annotations

from collections.abc import Sequence


def swap_distance(a: Sequence[int], b: Sequence[int]) -> int:
    """How many swaps of a struck place with an empty neighbour turn one rhythm into the other.

    Onsets are grid places in order; both rhythms have equally many. Raises ValueError.
    """
    if len(a) != len(b):
        raise ValueError(f"Swaps keep the number of strokes: {len(a)} and {len(b)} were given.")
    return sum(abs(x - y) for x, y in zip(sorted(a), sorted(b), strict=True))


def chronotonic_distance(a: Sequence[int], b: Sequence[int], places: int) -> int:
    """The area between the rhythms' curves of interval lengths over a cycle of ``places``.

    Every place holds the length of the interval it lies in, from one onset to the next round
    the cycle. Raises ValueError for a rhythm without strokes or outside the grid.
    """
    curves = zip(_intervals(a, places), _intervals(b, places), strict=True)
    return sum(abs(x - y) for x, y in curves)


def _intervals(onsets: Sequence[int], places: int) -> list[int]:
    struck = sorted(set(onsets))
    if not struck or struck[0] < 0 or struck[-1] >= places:
        raise ValueError(f"A rhythm of {places} places has strokes from 0 to {places - 1}.")
    curve = [0] * places
    for onset, after in zip(struck, [*struck[1:], struck[0] + places], strict=True):
        for place in range(onset, after):
            curve[place % places] = after - onset
    return curve
