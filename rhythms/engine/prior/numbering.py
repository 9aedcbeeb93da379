"""Numbers for the different values of an array, where many are alike."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Whole = NDArray[np.int64]
Mask = NDArray[np.bool_]
#: Where there may be so many times more different values than values, they are sorted.
_SPARSE = 64


def different(values: Whole, among: Mask, below: int) -> Whole:
    """The different ``values`` that are ``among`` those that count, in order; all are below
    ``below``.
    """
    if below > _SPARSE * values.size:
        return np.unique(values[among])
    found = np.zeros(below, dtype=bool)
    found[values[among]] = True
    return np.flatnonzero(found)


def numbers_in(ordered: Whole, values: Whole, among: Mask, below: int) -> Whole:
    """The place of each of the values in ``ordered``, which has all ``among`` them that count; how
    many there are for one that does not count.
    """
    if below > _SPARSE * values.size:
        places = np.searchsorted(ordered, values)
    else:
        # What is not among them is never looked at.
        number = np.empty(below, dtype=np.int32)
        number[ordered] = np.arange(len(ordered))
        places = number.take(values).astype(np.int64)
    places[~among] = len(ordered)
    return places


def are_in(ordered: Whole, values: Whole) -> Mask:
    """Which of the values are in ``ordered``, which is not empty."""
    places = np.searchsorted(ordered, values)
    return np.asarray(ordered.take(places, mode="clip") == values)
