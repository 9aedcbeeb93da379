"""How many different fills a student really plays: effective numbers."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.likeness import likeness_table, likeness_to

Floats = NDArray[np.float64]


def effective_number(
    weights: Sequence[float], alike: Floats | None = None, order: float = 1.0
) -> float:
    """The effective number of different kinds: similarity-sensitive diversity of an order.

    Leinster and Cobbold (2012), "Measuring diversity: the importance of species similarity":
    (sum of p_i (Zp)_i^(q-1))^(1/(1-q)), with the limits for q = 1 and infinity. ``weights``
    are plays or minutes, one a kind, in any unit; ``alike`` is the table Z with 1 on its
    diagonal. Without it, kinds share nothing and the numbers are those of Hill (1973).
    Raises ValueError where nothing was played, or for a weight below 0.
    """
    played = np.asarray(weights, dtype=float)
    if (played < 0).any():
        raise ValueError("Weights are not below 0.")
    if not played.any():
        raise ValueError("There are no plays.")
    there = np.flatnonzero(played)
    share = played[there] / played.sum()
    ordinariness = share if alike is None else alike[np.ix_(there, there)] @ share
    if order == inf:
        return float(1 / ordinariness.max())
    if order == 1:
        return float(np.exp(-(share * np.log(ordinariness)).sum()))
    return float((share * ordinariness ** (order - 1)).sum() ** (1 / (1 - order)))


def effective_fills(
    fills: Sequence[Fill], weights: Sequence[float] | None = None, order: float = 1.0
) -> float:
    """The effective number of different fills, with likeness. Raises ValueError for no fills."""
    plays = [1.0] * len(fills) if weights is None else weights
    return effective_number(plays, likeness_table(fills), order)


def novelty(fill: Fill, history: Sequence[Fill]) -> float:
    """1 less the greatest likeness to what is known; 1 where nothing is."""
    return 1.0 - float(likeness_to(fill, history).max()) if history else 1.0
