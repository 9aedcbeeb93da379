"""Exact counts of any size in arrays.

Counts pass 64 bits, so each is kept as limbs of 48 bits, the lowest first: a sum over all strokes
of a note still fits into 64, and array operations stay exact.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.space.lattice import LatticeStep

LIMB_BITS = 48
LIMB = (1 << LIMB_BITS) - 1
Limbs = list[NDArray[np.int64]]


class Counts(dict[int, int]):
    """Completions of one layer by state, turned into whole numbers as they are asked for."""

    def __init__(self, limbs: Limbs) -> None:
        super().__init__()
        self.limbs = limbs

    def __missing__(self, state: int) -> int:
        count = 0
        for limb in reversed(self.limbs):
            count = (count << LIMB_BITS) | int(limb[state])
        self[state] = count
        return count

    def some(self) -> NDArray[np.bool_]:
        """Which states have completions."""
        found = self.limbs[0] > 0
        for limb in self.limbs[1:]:
            found |= limb > 0
        return np.asarray(found)

    def shares(self) -> NDArray[np.float64]:
        """All counts as floats, each state's relative to the greatest."""
        top = len(self.limbs) - 1
        floats = sum(
            limb.astype(float) * 2.0 ** (LIMB_BITS * (place - top))
            for place, limb in enumerate(self.limbs)
        )
        greatest = np.max(floats)
        return np.asarray(floats / greatest if greatest else floats)


def summed(step: LatticeStep, limbs: Limbs) -> Limbs:
    """Each state's completions: those after each of its strokes, added up exactly."""
    found: Limbs = []
    carry: NDArray[np.int64] | None = None
    for limb in limbs:
        total = step.summed(limb)
        if carry is not None:
            total += carry
        carry = total >> LIMB_BITS
        total &= LIMB
        found.append(total)
    if carry is not None and carry.any():
        found.append(carry)
    return found


def as_limbs(numbers: Sequence[int], width: int) -> Limbs:
    """Whole numbers below 2 to the power of 48 times ``width``, as limbs."""
    return [
        np.array([number >> LIMB_BITS * place & LIMB for number in numbers], dtype=np.int64)
        for place in range(width)
    ]
