"""Likeness to the fills of a pool, each worked out once however often it is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.likeness import Others

Floats = NDArray[np.float64]


class KeptLikeness:
    """Compares fills with others; what is compared with fills of ``pool`` is kept."""

    def __init__(self, pool: Sequence[Fill]) -> None:
        self._places = {fill: place for place, fill in enumerate(dict.fromkeys(pool))}
        self._rows: dict[Fill, Floats] = {}

    @cached_property
    def _pool(self) -> Others:
        return Others(list(self._places))

    def table(self, others: Sequence[Fill], fills: Sequence[Fill]) -> Floats:
        """The likeness of each of ``others`` to each of ``fills``: others by fills."""
        places = np.array([self._places.get(fill, -1) for fill in fills], dtype=np.int64)
        found = np.empty((len(others), len(fills)))
        kept = places >= 0
        if kept.any():
            found[:, kept] = self._with_pool(others)[:, places[kept]]
        if not kept.all():
            strangers = [fill for fill, place in zip(fills, places, strict=True) if place < 0]
            found[:, ~kept] = Others(strangers).table(others)
        return found

    def _with_pool(self, others: Sequence[Fill]) -> Floats:
        new = [fill for fill in dict.fromkeys(others) if fill not in self._rows]
        if new:
            self._rows.update(zip(new, self._pool.table(new), strict=True))
        return np.array([self._rows[fill] for fill in others]).reshape(-1, len(self._places))
