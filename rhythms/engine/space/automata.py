"""Automata as tables, and several automata as one.

A rule's automaton is stepped once for each of its states and strokes; from there on the
automata of a rule set are combined with array operations, pair by pair, keeping only states
that can be reached. Nothing here depends on the length of the bar.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.errors import TooManyStatesError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Automaton

DEAD = -1
#: States times strokes of one table; beyond this an answer would take too long.
_MOST_STEPS = 6_000_000
_MOST_PAIRS = 60_000_000

Table = NDArray[np.int64]
#: What the notes of a bar are to the automata: notes of one kind step alike.
Kind = tuple[Hashable, ...]


@dataclass(frozen=True)
class Machine:
    """``tables[kind][state, symbol]`` is the state after, DEAD if there is none; it starts in 0."""

    tables: dict[Kind, Table]
    accepts: NDArray[np.bool_]

    @property
    def states(self) -> int:
        """How many states there are."""
        return len(self.accepts)


def idle(kind: Kind, symbols: int) -> Machine:
    """The machine that allows everything and remembers nothing."""
    return Machine({kind: np.zeros((1, symbols), dtype=np.int64)}, np.ones(1, dtype=bool))


def tabulate(automaton: Automaton, symbols: Sequence[Stroke], notes: Sequence[set[int]]) -> Machine:
    """A machine of one automaton.

    ``notes[i]`` holds the symbols open to note i. Raises TooManyStatesError.
    """
    example: dict[Hashable, int] = {}
    used: dict[Hashable, set[int]] = {}
    for index, open_symbols in enumerate(notes):
        kind = automaton.kind(index)
        example.setdefault(kind, index)
        used.setdefault(kind, set()).update(open_symbols)
    numbers: dict[Hashable, int] = {automaton.start: 0}
    rows: dict[Hashable, list[list[int]]] = {kind: [] for kind in used}
    waiting = [automaton.start]
    for state in waiting:
        for kind, index in example.items():
            row = [DEAD] * len(symbols)
            for symbol in used[kind]:
                after = automaton.step(state, index, symbols[symbol])
                if after is None:
                    continue
                if after not in numbers:
                    numbers[after] = len(numbers)
                    waiting.append(after)
                row[symbol] = numbers[after]
            rows[kind].append(row)
        _check_size(len(numbers) * len(symbols))
    accepts = np.array([automaton.accepts(state) for state in numbers], dtype=bool)
    tables: dict[Kind, Table] = {
        (kind,): np.array(table, dtype=np.int64) for kind, table in rows.items()
    }
    return Machine(tables, accepts)


def combine(a: Machine, b: Machine, kinds: Sequence[tuple[Kind, Kind]]) -> Machine:
    """Both machines side by side; ``kinds`` are the pairs of kinds that notes have.

    Raises TooManyStatesError.
    """
    if a.states * b.states > _MOST_PAIRS:
        raise TooManyStatesError
    number = np.full(a.states * b.states, DEAD, dtype=np.int64)
    number[0] = 0
    reached = [np.zeros(1, dtype=np.int64)]
    found = 1
    parts: dict[tuple[Kind, Kind], list[Table]] = {pair: [] for pair in kinds}
    while len(reached[-1]):
        left, right = np.divmod(reached[-1], b.states)
        new: list[Table] = []
        for kind_a, kind_b in kinds:
            after = _pairs(a.tables[kind_a][left], b.tables[kind_b][right], b.states)
            parts[kind_a, kind_b].append(after)
            met = np.zeros(len(number), dtype=bool) if after.size > len(number) else None
            fresh = _distinct(after[after >= 0], met)
            fresh = fresh[number[fresh] == DEAD]
            number[fresh] = np.arange(found, found + len(fresh))
            found += len(fresh)
            new.append(fresh)
        reached.append(np.concatenate(new))
        _check_size(found * max(table.shape[1] for table in a.tables.values()))
    pairs = np.concatenate(reached)
    # One spare place at the end, so that DEAD (-1) stays DEAD.
    number = np.append(number, DEAD)
    tables = {(*pair[0], *pair[1]): number[np.concatenate(parts[pair])] for pair in kinds}
    left, right = np.divmod(pairs, b.states)
    return Machine(tables, a.accepts[left] & b.accepts[right])


def _pairs(left: Table, right: Table, width: int) -> Table:
    return np.where((left < 0) | (right < 0), DEAD, left * width + right)


def _distinct(codes: Table, met: NDArray[np.bool_] | None) -> Table:
    if met is None:
        return np.unique(codes)
    met[codes] = True
    return np.flatnonzero(met)


def _check_size(steps: int) -> None:
    if steps > _MOST_STEPS:
        raise TooManyStatesError
