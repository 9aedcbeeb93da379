"""Steps that are to be taken less often: what each weighs, note by note, beside the prior."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import Surface, base

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
_SURFACES = tuple(Surface)
_PLACE_OF = {surface: _SURFACES.index(base(surface)) for surface in _SURFACES}
#: Stands for no surface: before the first stroke of the hands.
NONE = len(_SURFACES)


@dataclass(frozen=True, eq=False)
class RarerSteps:
    """What steps of the hands weigh that somebody takes too often: factors above 0.

    ``everywhere`` of surface before (None: none) and surface; what is not named weighs 1, and so
    does a foot. ``on_note`` has further factors on single notes, numbered as they sound. A drum or
    cymbal is one however it is struck; of two hands at once the first counts.
    """

    everywhere: Mapping[tuple[Surface | None, Surface], float]
    on_note: Mapping[int, Mapping[tuple[Surface | None, Surface], float]] = field(
        default_factory=dict
    )

    def factors(self, note: int) -> Floats:
        """Those on one note: surface before, none behind all of them, by surface."""
        table = _table(self.everywhere)
        return table * _table(self.on_note[note]) if note in self.on_note else table


def _table(named: Mapping[tuple[Surface | None, Surface], float]) -> Floats:
    table = np.ones((NONE + 1, len(_SURFACES)))
    for (before, surface), factor in named.items():
        table[NONE if before is None else _PLACE_OF[before], _PLACE_OF[surface]] *= factor
    return table


def places_of(strokes: Sequence[Stroke]) -> Whole:
    """The row and the column of each stroke in a table of factors; -1 of a foot."""
    return np.array([-1 if s.by_foot else _PLACE_OF[s.surface] for s in strokes], dtype=np.int64)
