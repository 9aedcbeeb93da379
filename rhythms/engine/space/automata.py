"""Automata as tables, and several automata as one.

An automaton that treats every note alike is stepped once for each of its states and for each
kind of stroke that it tells apart; from there on such automata are combined with array
operations, pair by pair, keeping only states that can be reached. The bar only bounds how far.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.errors import TooManyStatesError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Automaton
from rhythms.engine.space.struck_together import several
from rhythms.engine.space.work import CALL, EDGE, STEP, Work

DEAD = -1
#: Pairs of states that may be told apart while two machines are combined, and transitions of one
#: machine: 8 bytes each, a few times over.
_MOST_PAIRS, _MOST_TRANSITIONS = 12_000_000, 2_500_000

Table = NDArray[np.int64]


@dataclass(frozen=True)
class Machine:
    """``table[state, symbol]`` is the state after, DEAD if there is none; it starts in 0."""

    table: Table
    accepts: NDArray[np.bool_]

    @property
    def states(self) -> int:
        """How many states there are."""
        return len(self.accepts)


def idle(symbols: int) -> Machine:
    """The machine that allows everything and remembers nothing."""
    return Machine(np.zeros((1, symbols), dtype=np.int64), np.ones(1, dtype=bool))


def tabulate(automaton: Automaton, symbols: Sequence[Stroke], notes: int, work: Work) -> Machine:
    """A machine of an automaton that treats all notes alike, as far as ``notes`` strokes lead.

    Raises TooManyStatesError.
    """
    seen, column = told_apart(automaton, symbols)
    cost = steps_of(seen)
    numbers: dict[Hashable, int] = {automaton.start: 0}
    rows: list[list[int]] = []
    level: list[Hashable] = [automaton.start]
    for _ in range(notes):
        work.spend(len(level) * cost)
        reached: list[Hashable] = []
        for state in level:
            row = [DEAD] * len(seen)
            for place, stroke in enumerate(seen):
                after = automaton.step(state, 0, stroke)
                if after is None:
                    continue
                if after not in numbers:
                    numbers[after] = len(numbers)
                    reached.append(after)
                row[place] = numbers[after]
            rows.append(row)
        level = reached
        if not level:
            break
    # Where the bar is over, nothing follows.
    rows += [[DEAD] * len(seen) for _ in level]
    table = np.array(rows, dtype=np.int64).reshape(len(numbers), len(seen))
    accepts = np.array([automaton.accepts(state) for state in numbers], dtype=bool)
    return Machine(table[:, column], accepts)


def told_apart(automaton: Automaton, symbols: Sequence[Stroke]) -> tuple[list[Stroke], Table]:
    """One stroke of each kind that the automaton tells apart, and each symbol's kind."""
    kinds: dict[Hashable, int] = {}
    seen: list[Stroke] = []
    column = []
    for stroke in symbols:
        kind = automaton.sees(stroke)
        if kind not in kinds:
            kinds[kind] = len(seen)
            seen.append(stroke)
        column.append(kinds[kind])
    return seen, np.array(column, dtype=np.int64)


def steps_of(seen: Sequence[Stroke]) -> int:
    """What it costs to step an automaton by each of these: three times as much by several limbs."""
    return STEP * (len(seen) + 2 * several(seen))


def combine(a: Machine, b: Machine, notes: int, work: Work) -> Machine:
    """Both machines side by side, as far as ``notes`` strokes lead. Raises TooManyStatesError."""
    if a.states * b.states > _MOST_PAIRS:
        raise TooManyStatesError
    # From 1, so that the pages of what is never reached are never touched.
    number = np.zeros(a.states * b.states, dtype=np.int32)
    number[0] = 1
    reached = [np.zeros(1, dtype=np.int64)]
    found = 1
    parts: list[Table] = []
    for _ in range(notes):
        work.spend(CALL + len(reached[-1]) * a.table.shape[1] * EDGE)
        left, right = np.divmod(reached[-1], b.states)
        after = _pairs(a.table[left], b.table[right], b.states)
        parts.append(after)
        fresh = after[after >= 0]
        fresh = np.unique(fresh[number[fresh] == 0])
        number[fresh] = np.arange(found + 1, found + 1 + len(fresh), dtype=np.int32)
        found += len(fresh)
        reached.append(fresh)
        if found * a.table.shape[1] > _MOST_TRANSITIONS:
            raise TooManyStatesError
        if not len(fresh):
            break
    # Where the bar is over, nothing follows.
    parts.append(np.full((len(reached[-1]), a.table.shape[1]), DEAD, dtype=np.int64))
    pairs, after = np.concatenate(reached), np.concatenate(parts)
    # Of DEAD (-1) the last place is looked up, and not taken.
    table = np.where(after < 0, DEAD, number[after].astype(np.int64) - 1)
    left, right = np.divmod(pairs, b.states)
    return Machine(table, a.accepts[left] & b.accepts[right])


def _pairs(left: Table, right: Table, width: int) -> Table:
    return np.where((left < 0) | (right < 0), DEAD, left * width + right)
