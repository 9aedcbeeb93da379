"""The graph of a space with the strokes struck last beside its states.

Only what can be reached from the start and leads to an end is kept, note by note. What the
last two strokes of the hands make impossible at a tempo is left out; what they leave can still
be out of reach, so that fills are checked afterwards.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.move_time import SUSTAINED
from rhythms.engine.prior.hand_reach import ROUNDING, hands_of, in_reach
from rhythms.engine.prior.numbering import are_in, different, numbers_in
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.space.graph import Layer

Whole = NDArray[np.int64]
Mask = NDArray[np.bool_]
#: So many strokes of the hands are remembered.
MOST_REMEMBERED = 2
#: States times strokes of one note; a memory that needs more is made shorter.
_MOST_STEPS = 400_000
#: The same of all notes together; where no memory is short enough, fewer states are looked at:
#: those that so many fills go through.
MOST_IN_ALL, _VISITS = 1_000_000, 400


@dataclass(frozen=True, eq=False)
class RememberingLayer:
    """One note: ``memory`` is the number of what was struck before, for each state.

    ``after[state, choice]`` is the state of the next layer, their number where there is none.
    """

    strokes: tuple[Stroke, ...]
    memory: Whole
    after: Whole


class Remembering:
    """The layers of a space that remember up to two strokes of the hands.

    ``tempo`` is in quarters a minute, by ``feel``; None leaves all fills in. ``last[memory]`` and
    ``before[memory]`` number hand strokes as ``struck`` has them, from 1; 0 is none. ``ends`` is
    the number of states after the last layer.
    """

    def __init__(self, space: FillSpace, tempo: float | None = None, feel: Feel = STRAIGHT) -> None:
        self.space = space
        self.tempo = tempo
        self._onsets = feel.strokes_of(space.setting.bar)
        graph = space.graph
        self.struck = tuple(
            dict.fromkeys(
                hands_of(stroke)
                for layer in graph.layers
                for stroke in layer.strokes
                if not stroke.by_foot
            )
        )
        self._masks: dict[tuple[tuple[float, ...], tuple[Stroke, ...], bool], Mask] = {}
        layers = self._whole_layers()
        self.thinned = layers is None
        if layers is None:
            self.depth = MOST_REMEMBERED
            layers = self._thinned_layers()
        self.layers = layers

    @cached_property
    def _code(self) -> dict[Stroke, int]:
        return {stroke: code for code, stroke in enumerate(self.struck, start=1)}

    @property
    def _codes(self) -> int:
        return len(self.struck) + 1

    def last(self, memory: Whole) -> Whole:
        """What the hands struck last."""
        return memory % self._codes

    def before(self, memory: Whole) -> Whole:
        """What they struck before that."""
        return memory // self._codes

    def _whole_layers(self) -> list[RememberingLayer] | None:
        """All states, with as long a memory as there is room for; None where there is none."""
        self.depth = MOST_REMEMBERED
        longest = self._layers()
        if longest is not None:
            return longest
        # Where there is none for the states alone, there is none with one stroke beside them.
        self.depth = 0
        alone = self._layers()
        if alone is None:
            return None
        self.depth = 1
        with_one = self._layers()
        if with_one is None:
            self.depth = 0
        return with_one or alone

    def _thinned_layers(self) -> list[RememberingLayer]:
        """What some fills of the space, drawn alike, go through, and all ways between."""
        visited = self._visited()
        if visited is None:
            # None of them is in reach at the tempo; that is looked at afterwards.
            self.tempo = None
            visited = self._visited()
        return self._layers(visited) or []

    def _visited(self) -> list[Whole] | None:
        """The states and memories together, after each note, of so many fills; None without any."""
        random = np.random.default_rng(0)
        # As many as the bound on all notes together has room for.
        strokes = sum(len(layer.strokes) for layer in self.space.graph.layers)
        visits = min(_VISITS, MOST_IN_ALL // strokes)
        states, memory = np.zeros((2, visits), dtype=np.int64)
        found = []
        for index, layer in enumerate(self.space.graph.layers):
            after, then = layer.after(states), self._remembered(memory, layer)
            ways = layer.completions_after.shares()[after]
            reach = self._within_reach(index, layer)
            if reach is not None:
                ways *= reach[memory]
            running = ways.cumsum(axis=1)
            rows = np.flatnonzero(running[:, -1] > 0)
            if not len(rows):
                return None
            drawn = random.random(len(rows)) * running[rows, -1]
            choice = (running[rows] <= drawn[:, None]).sum(axis=1)
            states, memory = after[rows, choice], then[rows, choice]
            found.append(np.unique(states * self._codes**self.depth + memory))
        return found

    def _layers(self, visited: list[Whole] | None = None) -> list[RememberingLayer] | None:
        """None where so long a memory would need too much; of ``visited`` only these are kept."""
        pairs, layers, steps = np.zeros(1, dtype=np.int64), [], 0
        # Notes alike, with the same before them, share their layer.
        made: dict[tuple[Hashable, ...], tuple[RememberingLayer, Whole]] = {}
        for index, layer in enumerate(self.space.graph.layers):
            here = len(pairs) * len(layer.strokes)
            steps += here
            if steps > MOST_IN_ALL or (here > _MOST_STEPS and self.depth):
                return None
            goes_on, reach = layer.completions_after.some(), self._within_reach(index, layer)
            kept = None if visited is None else visited[index]
            key = (id(layer.step), id(reach), id(kept), goes_on.tobytes(), pairs.tobytes())
            if key not in made:
                found = self._layer(
                    layer, pairs, goes_on, reach, kept, self._room(index + 1, MOST_IN_ALL - steps)
                )
                if found is None:
                    return None
                made[key] = found
            remembering, pairs = made[key]
            layers.append(remembering)
        self.ends = len(pairs)
        return layers

    def _room(self, index: int, steps: int) -> int:
        """How many pairs of states and memories there is room for before a note, where so many
        steps are left.
        """
        layers = self.space.graph.layers
        if index == len(layers):
            return MOST_IN_ALL
        here = min(steps, _MOST_STEPS) if self.depth else steps
        return here // len(layers[index].strokes)

    def _layer(
        self,
        layer: Layer,
        pairs: Whole,
        goes_on: Mask,
        reach: Mask | None,
        kept: Whole | None,
        room: int,
    ) -> tuple[RememberingLayer, Whole] | None:
        """One layer, from the ``pairs`` of states and memories before it, and those after it; None
        where these are more than there is ``room`` for.

        ``goes_on``: which states after it lead to an end; ``reach``: which strokes are in reach of
        each memory; ``kept``: the only pairs that are kept.
        """
        memories = self._codes**self.depth
        states, memory = np.divmod(pairs, memories)
        after, then = layer.after(states), self._remembered(memory, layer)
        open_to = goes_on.take(after)
        if reach is not None:
            open_to &= reach.take(memory, axis=0)
        after *= memories
        after += then
        if kept is not None:
            open_to &= are_in(kept, after)
        below = len(goes_on) * memories
        reached = different(after, open_to, below)
        if len(reached) > room:
            return None
        following = numbers_in(reached, after, open_to, below)
        return RememberingLayer(layer.strokes, memory, following), reached

    def _remembered(self, memory: Whole, layer: Layer) -> Whole:
        """What is remembered after each stroke: states by choices. A foot changes nothing."""
        codes = np.array([self._code.get(hands_of(stroke), 0) for stroke in layer.strokes])
        if not self.depth:
            return np.zeros((len(memory), len(codes)), dtype=np.int64)
        kept = memory % self._codes ** (self.depth - 1) * self._codes
        pushed = np.asarray(kept[:, None] + codes)
        return pushed if codes.all() else np.where(codes > 0, pushed, memory[:, None])

    def _within_reach(self, index: int, layer: Layer) -> Mask | None:
        """Which strokes the hands can come to in time, by what they struck: memories by choices.

        None where all are, as they are where a foot may play in between and the time is not known.
        The same of notes alike is one object.
        """
        if self.tempo is None:
            return None
        dense = self._too_dense(index)
        gaps = self._seconds_before(index) if self.depth == MOST_REMEMBERED else ()
        if not (dense or gaps):
            return None
        key = (gaps, layer.strokes, dense)
        if key not in self._masks:
            self._masks[key] = self._mask(gaps, layer.strokes, dense)
        return self._masks[key]

    def _mask(self, gaps: tuple[float, ...], strokes: tuple[Stroke, ...], dense: bool) -> Mask:
        shape = (self._codes**self.depth, len(strokes))
        if dense:
            return np.zeros(shape, dtype=bool)
        return in_reach(self.struck, strokes, gaps).reshape(shape)

    def _too_dense(self, index: int) -> bool:
        """Whether two hands cannot go on so fast: of five strokes one hand plays three."""
        layers = self.space.graph.layers[max(0, index - 4) : index + 1]
        by_hand = not any(stroke.by_foot for layer in layers for stroke in layer.strokes)
        span = float(self._onsets[index] - self._onsets[max(0, index - 4)])
        at_once = span * 60 / (self.tempo or 60) < 2 * SUSTAINED - ROUNDING
        return by_hand and len(layers) == 5 and at_once

    def _seconds_before(self, index: int) -> tuple[float, ...]:
        """The times between the last three notes, the latest last; empty where feet may play."""
        first = max(0, index - 2)
        layers = self.space.graph.layers[first : index + 1]
        if any(stroke.by_foot for layer in layers for stroke in layer.strokes):
            return ()
        seconds = 60 / (self.tempo or 60)
        return tuple(
            float(self._onsets[place + 1] - self._onsets[place]) * seconds
            for place in range(first, index)
        )
