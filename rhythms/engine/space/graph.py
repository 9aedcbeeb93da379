"""The layered graph of counts: one layer a note, one state for each thing the automata remember."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate

import numpy as np

from rhythms.engine.errors import TooManyStatesError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Automaton
from rhythms.engine.space.automata import Table
from rhythms.engine.space.counts import Counts, summed
from rhythms.engine.space.lattice import Lattice, LatticeStep
from rhythms.engine.space.work import MOST_BYTES, Work


class Layer:
    """One note: the strokes open to it, in the order that numbers them, and where they lead."""

    def __init__(self, strokes: tuple[Stroke, ...], step: LatticeStep) -> None:
        self.strokes = strokes
        self.step = step
        self.choice_of = {stroke: choice for choice, stroke in enumerate(strokes)}
        self.completions_after: Counts = Counts([])
        self._rows: dict[int, tuple[list[int], list[int]]] = {}

    def after(self, states: Table) -> Table:
        """The states after each stroke: states by strokes. One without completions is none."""
        return self.step.after(states)

    def row(self, state: int) -> tuple[list[int], list[int]]:
        """For one state: completions summed up to and with each choice, and the states after."""
        if state not in self._rows:
            after = self.after(np.array([state]))[0].tolist()
            running = list(accumulate(self.completions_after[state_after] for state_after in after))
            self._rows[state] = running, after
        return self._rows[state]


class Graph:
    """Counts, numbers and unnumbers the strokes of a bar.

    ``options`` holds the strokes open to each note, in the order that numbers them.
    Raises TooManyStatesError where the automata together remember too much for ``work``.
    """

    def __init__(
        self,
        options: Sequence[tuple[Stroke, ...]],
        automata: Sequence[Automaton],
        work: Work | None = None,
    ) -> None:
        self.work = work or Work()
        lattice = Lattice(options, automata, self.work)
        self.states = lattice.states
        self.layers = [
            Layer(strokes, step) for strokes, step in zip(options, lattice.steps, strict=True)
        ]
        self.size = self._count(Counts([lattice.ends.astype(np.int64)]))[0]

    def _count(self, counts: Counts) -> Counts:
        """Completions, from the end of the bar back to its start."""
        taken = 0
        for layer in reversed(self.layers):
            taken += sum(limb.nbytes for limb in counts.limbs)
            if taken > MOST_BYTES:
                raise TooManyStatesError
            self.work.spend(layer.step.work * len(counts.limbs))
            layer.completions_after = counts
            counts = Counts(summed(layer.step, counts.limbs))
        return counts

    def strokes(self, rank: int) -> tuple[Stroke, ...]:
        """The strokes numbered ``rank``, 0 <= rank < size."""
        state, chosen = 0, []
        for layer in self.layers:
            running, after = layer.row(state)
            choice = bisect_right(running, rank)
            if choice:
                rank -= running[choice - 1]
            chosen.append(layer.strokes[choice])
            state = after[choice]
        return tuple(chosen)

    def rank(self, strokes: Sequence[Stroke]) -> int | None:
        """The number of some strokes, one a note; None where they are not in the graph."""
        state, rank = 0, 0
        for layer, stroke in zip(self.layers, strokes, strict=True):
            choice = layer.choice_of.get(stroke)
            if choice is None:
                return None
            running, after = layer.row(state)
            before = running[choice - 1] if choice else 0
            if running[choice] == before:
                return None
            rank += before
            state = after[choice]
        # Without notes there may be no fill at all.
        return rank if rank < self.size else None
