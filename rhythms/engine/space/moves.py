"""Moves from surface to surface: made, and expected of a fill space.

However a drum or cymbal is struck, it is one: an open hi-hat and a closed one are no move apart.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.bars.meter import Meter
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import Surface, base
from rhythms.engine.space.automata import Table
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.space.graph import Layer

_SURFACES = tuple(Surface)
#: Of what is struck.
_PLACE = {surface: _SURFACES.index(base(surface)) for surface in _SURFACES}
Floats = NDArray[np.float64]


class Move(NamedTuple):
    """From one drum or cymbal to the next, which falls ``position`` into its beat."""

    position: Fraction
    origin: Surface
    target: Surface


def observed_moves(fills: Iterable[Fill]) -> Counter[Move]:
    """How often each move is made."""
    return Counter(move for fill in fills for move in _moves(fill))


def expected_moves(space: FillSpace) -> dict[Move, float]:
    """How often each move is made in a fill drawn uniformly from ``space``.

    Equivalent to the mean of ``observed_moves`` over all fills of the space; worked out from
    the counts of its graph, to the precision of floats. Raises ValueError for an empty space.
    """
    if not space.size:
        raise ValueError("A space without fills expects no moves.")
    expected: dict[Move, float] = {}
    layers = space.graph.layers
    states, reached = np.zeros(1, dtype=np.int64), np.ones(1)
    for index, (layer, after) in enumerate(pairwise(layers)):
        taken, leading = reached[:, None] * _chances(layer, states), layer.after(states)
        states, numbers = np.unique(leading, return_inverse=True)
        arriving = _by_surface(layer, taken, numbers.reshape(leading.shape), len(states))
        table = arriving @ _chances_by_surface(after, states)
        position = _position(space.setting.bar.meter, space.setting.bar.sounded[index + 1].onset)
        for origin, target in zip(*np.nonzero(table), strict=True):
            move = Move(position, _SURFACES[origin], _SURFACES[target])
            expected[move] = expected.get(move, 0.0) + float(table[origin, target])
        reached = arriving.sum(axis=0)
    return expected


def surface_pairs(fill: Fill) -> Iterable[tuple[Surface, Surface]]:
    """From which surface to which one each move goes, wherever it falls."""
    return ((base(one.surface), base(other.surface)) for one, other in pairwise(fill.strokes))


def _moves(fill: Fill) -> Iterable[Move]:
    for note, origin, target in zip(
        fill.bar.sounded[1:], fill.strokes, fill.strokes[1:], strict=False
    ):
        position = _position(fill.bar.meter, note.onset)
        yield Move(position, base(origin.surface), base(target.surface))


def _position(meter: Meter, onset: Fraction) -> Fraction:
    return onset - meter.beat_at(onset).onset


def _chances(layer: Layer, states: Table) -> Floats:
    """For each of some states, the chance of each choice."""
    ways = layer.completions_after.shares()[layer.after(states)]
    total = ways.sum(axis=1, keepdims=True)
    return np.asarray(np.divide(ways, total, out=np.zeros_like(ways), where=total > 0))


def _by_surface(layer: Layer, taken: Floats, leading: Table, states: int) -> Floats:
    """Chances gathered by the surface struck and the state reached."""
    arriving = np.zeros((len(_SURFACES), states))
    for choice, stroke in enumerate(layer.strokes):
        arriving[_PLACE[stroke.surface]] += np.bincount(
            leading[:, choice], weights=taken[:, choice], minlength=states
        )
    return arriving


def _chances_by_surface(layer: Layer, states: Table) -> Floats:
    chances = _chances(layer, states)
    table = np.zeros((len(chances), len(_SURFACES)))
    for choice, stroke in enumerate(layer.strokes):
        table[:, _PLACE[stroke.surface]] += chances[:, choice]
    return table
