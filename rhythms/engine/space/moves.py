"""Moves from surface to surface: made, and expected of a fill space."""

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
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.space.graph import Layer

_SURFACES = tuple(Surface)
_PLACE = {surface: place for place, surface in enumerate(_SURFACES)}
Floats = NDArray[np.float64]


class Move(NamedTuple):
    """From one stroke's surface to the next one's, which falls ``position`` into its beat."""

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
    reached = np.zeros(space.graph.machine.states + 1)
    reached[0] = 1.0
    layers = space.graph.layers
    for index, (layer, after) in enumerate(pairwise(layers)):
        taken = reached[:-1, None] * _chances(layer)
        arriving = _by_surface(layer, taken, len(reached))
        table = arriving[:, :-1] @ _chances_by_surface(after)
        position = _position(space.setting.bar.meter, space.setting.bar.sounded[index + 1].onset)
        for origin, target in zip(*np.nonzero(table), strict=True):
            move = Move(position, _SURFACES[origin], _SURFACES[target])
            expected[move] = expected.get(move, 0.0) + float(table[origin, target])
        reached = arriving.sum(axis=0)
    return expected


def _moves(fill: Fill) -> Iterable[Move]:
    for note, origin, target in zip(
        fill.bar.sounded[1:], fill.strokes, fill.strokes[1:], strict=False
    ):
        yield Move(_position(fill.bar.meter, note.onset), origin.surface, target.surface)


def _position(meter: Meter, onset: Fraction) -> Fraction:
    return onset - meter.beat_at(onset).onset


def _chances(layer: Layer) -> Floats:
    """For each state, the chance of each choice."""
    ways = layer.completions_after.shares()[layer.after]
    total = ways.sum(axis=1, keepdims=True)
    return np.asarray(np.divide(ways, total, out=np.zeros_like(ways), where=total > 0))


def _by_surface(layer: Layer, taken: Floats, states: int) -> Floats:
    """Chances gathered by the surface struck and the state reached."""
    arriving = np.zeros((len(_SURFACES), states))
    for choice, stroke in enumerate(layer.strokes):
        arriving[_PLACE[stroke.surface]] += np.bincount(
            layer.after[:, choice], weights=taken[:, choice], minlength=states
        )
    return arriving


def _chances_by_surface(layer: Layer) -> Floats:
    chances = _chances(layer)
    table = np.zeros((len(chances), len(_SURFACES)))
    for choice, stroke in enumerate(layer.strokes):
        table[:, _PLACE[stroke.surface]] += chances[:, choice]
    return table
