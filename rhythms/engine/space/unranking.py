"""Many numbers of fills turned into strokes at once, exactly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.space.automata import Table
from rhythms.engine.space.counts import LIMB, LIMB_BITS, Limbs, as_limbs
from rhythms.engine.space.graph import Layer

#: So many at a time: arrays of these times the strokes of a note.
_AT_ONCE = 1024


def strokes_of(layers: Sequence[Layer], ranks: Sequence[int]) -> Iterator[tuple[Stroke, ...]]:
    """The strokes numbered by each of ``ranks``, as ``Graph.strokes`` gives them one by one."""
    for start in range(0, len(ranks), _AT_ONCE):
        some = ranks[start : start + _AT_ONCE]
        if layers:
            yield from zip(*_by_note(layers, some), strict=True)
        else:
            yield from [()] * len(some)


def _by_note(layers: Sequence[Layer], ranks: Sequence[int]) -> Iterator[list[Stroke]]:
    """For each note, the stroke of each fill."""
    left = as_limbs(ranks, -(-max(ranks).bit_length() // LIMB_BITS) or 1)
    states = np.zeros(len(ranks), dtype=np.int64)
    rows = np.arange(len(ranks))
    for layer in layers:
        after = layer.after(states)
        running = _running(layer.completions_after.limbs, after)
        chosen = _first_beyond(running, left)
        left = _less(left, [limb[rows, chosen - 1] for limb in running], chosen > 0)
        states = after[rows, chosen]
        strokes = layer.strokes
        yield [strokes[choice] for choice in chosen.tolist()]


def _running(limbs: Limbs, after: Table) -> Limbs:
    """Completions summed up to and with each choice: limbs of numbers by choices."""
    found: Limbs = []
    carry: Table | int = 0
    for limb in limbs:
        total = limb[after].cumsum(axis=1)
        total += carry
        carry = total >> LIMB_BITS
        total &= LIMB
        found.append(total)
    return [*found, np.asarray(carry)] if np.any(carry) else found


def _first_beyond(running: Limbs, numbers: Limbs) -> Table:
    """How many of the running sums are not above each number."""
    within: NDArray[np.bool_] = np.ones(running[0].shape, dtype=bool)
    for place, limb in enumerate(running):
        number = numbers[place][:, None] if place < len(numbers) else np.int64(0)
        within = (limb < number) | ((limb == number) & within)
    return np.asarray(within.sum(axis=1))


def _less(numbers: Limbs, by: Limbs, where: NDArray[np.bool_]) -> Limbs:
    """The numbers less others, which are not above them, where asked for."""
    found: Limbs = []
    borrow: Table | int = 0
    for place, number in enumerate(numbers):
        less = number + borrow
        if place < len(by):
            less = less - np.where(where, by[place], 0)
        # An arithmetic shift: -1 where more was taken than there is.
        borrow = less >> LIMB_BITS
        found.append(less & LIMB)
    return found
