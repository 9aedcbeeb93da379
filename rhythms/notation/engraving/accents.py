"""Accents kept clear of the beams: the engraver lets those of inner notes touch a slanted one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from rhythms.notation.engraving.drawn import SVG, glyph_name, place_of, put
from rhythms.notation.xml import etree

#: SMuFL's articAccentAbove and articAccentBelow; they stand on, and hang from, their origin.
ABOVE, BELOW = "E4A0", "E4A1"
#: In tenths of the engraver's units, of which 18 are a staff space.
_WIDTH, _CLEAR = 190, 80


class _Edge(NamedTuple):
    """One edge of a beam, from left to right."""

    x1: int
    y1: int
    x2: int
    y2: int

    def heights(self, left: int, right: int) -> Iterator[float]:
        """Where the edge is at both ends of what it has in common with a span."""
        for x in (max(left, self.x1), min(right, self.x2)):
            yield self.y1 + (self.y2 - self.y1) * (x - self.x1) / max(1, self.x2 - self.x1)


def clear_accents(page: etree._Element) -> None:
    """Move each accent that is too near a beam away from it."""
    edges = [edge for polygon in page.iter(f"{SVG}polygon") for edge in _edges(polygon)]
    for use in page.iter(f"{SVG}use"):
        name, place = glyph_name(use), place_of(use)
        if name not in (ABOVE, BELOW) or place is None:
            continue
        x, y = place
        near = [
            height
            for edge in edges
            if edge.x1 < x + _WIDTH and x < edge.x2
            for height in edge.heights(x, x + _WIDTH)
        ]
        put(use, x, _cleared(y, near, above=name == ABOVE))


def _cleared(y: int, heights: list[float], *, above: bool) -> int:
    """The accent's place, beyond all edges that it touches or nearly does."""
    touched = [round(height) for height in heights if abs(height - y) < 2 * _CLEAR]
    if above:
        return min([y, *(height - _CLEAR for height in touched)])
    return max([y, *(height + _CLEAR for height in touched)])


def _edges(polygon: etree._Element) -> Iterator[_Edge]:
    points = [tuple(map(int, pair.split(","))) for pair in polygon.get("points", "").split()]
    for (x1, y1), (x2, y2) in zip(points, [*points[1:], *points[:1]], strict=True):
        if x1 != x2:
            yield _Edge(x1, y1, x2, y2) if x1 < x2 else _Edge(x2, y2, x1, y1)
