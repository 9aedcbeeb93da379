"""The key printed with every fill: each surface it uses, by name and by its notehead."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from rhythms.engine import Fill, Surface
from rhythms.notation.engraving.cleaning import clean_repeatable
from rhythms.notation.engraving.engraver import engrave
from rhythms.notation.engraving.mei import legend_mei
from rhythms.notation.staff_placement import PLACEMENTS

#: In the engraver's units: room for a clef and one note.
_WIDTH = 130


class LegendEntry(NamedTuple):
    """``name`` as printed, ``svg`` a short staff with the clef and one note."""

    surface: Surface
    name: str
    svg: str


def legend(fill: Fill) -> list[LegendEntry]:
    """The surfaces a fill uses, each once, in the order surfaces are listed everywhere.

    Raises EngravingError.
    """
    used = fill.surfaces
    return [
        LegendEntry(surface, row.name, legend_svg(surface))
        for surface, row in PLACEMENTS.items()
        if surface in used
    ]


@lru_cache(maxsize=len(PLACEMENTS))
def legend_svg(surface: Surface) -> str:
    """A short staff with one note of the surface; it holds no id, so a page may repeat it.

    Raises EngravingError.
    """
    return clean_repeatable(engrave(legend_mei(surface), _WIDTH), PLACEMENTS[surface].name)
