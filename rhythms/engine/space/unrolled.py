"""Automata that tell notes apart, unrolled along the bar: a table of its own for each note.

What can no longer be reached, or leads to no end, has no state there, and states that go on
alike are one. So a rule about a few notes costs nothing before the first and after the last of
them, however many such rules there are.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np

from rhythms.engine.errors import TooManyStatesError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Automaton
from rhythms.engine.space.automata import DEAD, Table, steps_of, told_apart
from rhythms.engine.space.work import CALL, EDGE, Work

#: Above this, codes of states could leave 63 bits.
_MOST_CODES = 2**62
_MOST_TRANSITIONS = 1_000_000


@dataclass(frozen=True)
class Unrolled:
    """``tables[note][state, symbol]`` is the state before the next note, DEAD if there is none.

    ``widths[note]`` is the number of states before a note, one more at the end of the bar; there
    all states are as good. It starts in 0, if there is a state at all.
    """

    tables: list[Table]
    widths: list[int]

    @property
    def remembers(self) -> bool:
        """Whether it needs states at all."""
        return any(width != 1 for width in self.widths) or any((t < 0).any() for t in self.tables)


def unroll(
    automata: Sequence[Automaton], symbols: Sequence[Stroke], notes: list[list[int]], work: Work
) -> Unrolled:
    """Several automata side by side; ``notes`` has the symbols open to each note.

    Raises TooManyStatesError.
    """
    if not automata:
        nothing = np.zeros((1, len(symbols)), dtype=np.int64)
        return Unrolled([nothing] * len(notes), [1] * (len(notes) + 1))
    return _side_by_side([_alone(each, symbols, notes, work) for each in automata], notes, work)


def _alone(
    automaton: Automaton, symbols: Sequence[Stroke], notes: list[list[int]], work: Work
) -> Unrolled:
    seen, column = told_apart(automaton, symbols)
    stepped = _Stepped(automaton, seen, work)
    states, tables = np.zeros(1, dtype=np.int64), []
    for index, open_symbols in enumerate(notes):
        rows = stepped.rows(index, states)
        closed = np.setdiff1d(np.arange(len(seen)), column[open_symbols])
        rows[:, closed] = DEAD
        following = np.unique(rows[rows >= 0])
        tables.append(np.where(rows < 0, DEAD, np.searchsorted(following, rows)))
        states = following
    ends = np.array([automaton.accepts(stepped.states[state]) for state in states], dtype=bool)
    merged = _merged(tables, ends, work)
    return Unrolled([table[:, column] for table in merged.tables], merged.widths)


class _Stepped:
    """An automaton's steps, each taken once for all notes of a kind."""

    def __init__(self, automaton: Automaton, seen: Sequence[Stroke], work: Work) -> None:
        self.automaton = automaton
        self.seen = seen
        self.work = work
        self._cost = steps_of(seen)
        self.states: list[Hashable] = [automaton.start]
        self._numbers: dict[Hashable, int] = {automaton.start: 0}
        self._known: dict[Hashable, dict[int, list[int]]] = {}

    def rows(self, index: int, states: Table) -> Table:
        """The numbers of the states after note ``index``: states by what is told apart."""
        known = self._known.setdefault(self.automaton.kind(index), {})
        self.work.spend(CALL + len(states) * len(self.seen) * EDGE)
        found = []
        for state in states.tolist():
            if state not in known:
                known[state] = self._row(state, index)
            found.append(known[state])
        return np.array(found, dtype=np.int64).reshape(len(states), len(self.seen))

    def _row(self, state: int, index: int) -> list[int]:
        self.work.spend(self._cost)
        return [
            self._number(self.automaton.step(self.states[state], index, stroke))
            for stroke in self.seen
        ]

    def _number(self, state: Hashable | None) -> int:
        if state is None:
            return DEAD
        if state not in self._numbers:
            self._numbers[state] = len(self.states)
            self.states.append(state)
        return self._numbers[state]


def _side_by_side(parts: list[Unrolled], notes: list[list[int]], work: Work) -> Unrolled:
    if len(parts) == 1 or not all(part.widths[0] for part in parts):
        return min(parts, key=lambda part: part.widths[0])
    before = np.zeros((1, len(parts)), dtype=np.int64)
    tables = []
    for index, open_symbols in enumerate(notes):
        symbols = parts[0].tables[index].shape[1]
        transitions = len(before) * len(open_symbols)
        work.spend(CALL * len(parts) + transitions * len(parts) * EDGE)
        if transitions * len(parts) > _MOST_TRANSITIONS:
            raise TooManyStatesError
        after = np.stack(
            [
                part.tables[index][before[:, place]][:, open_symbols]
                for place, part in enumerate(parts)
            ]
        )
        goes_on = (after >= 0).all(axis=0)
        codes, first = _numbered(after[:, goes_on], [p.widths[index + 1] for p in parts])
        table = np.full((len(before), symbols), DEAD, dtype=np.int64)
        inner = np.full(goes_on.shape, DEAD, dtype=np.int64)
        inner[goes_on] = codes
        table[:, open_symbols] = inner
        tables.append(table)
        before = after[:, goes_on][:, first].T
    return _merged(tables, np.ones(len(before), dtype=bool), work)


def _merged(tables: list[Table], ends: Table, work: Work) -> Unrolled:
    """The same, without states that lead to no end, and with one state for all that go on alike."""
    width = int(ends.any())
    merged = np.where(ends, 0, DEAD)
    smaller, widths = [], [width]
    for table in reversed(tables):
        work.spend(CALL + table.size * EDGE)
        # Of DEAD (-1) the spare last place is taken, which is DEAD.
        rows = np.append(merged, DEAD)[table]
        leads_on = (rows >= 0).any(axis=1)
        codes, first = _numbered(rows[leads_on].T + 1, [width + 1] * rows.shape[1])
        merged = np.full(len(rows), DEAD, dtype=np.int64)
        merged[leads_on] = codes
        smaller.append(rows[leads_on][first])
        width = len(first)
        widths.append(width)
    return Unrolled(smaller[::-1], widths[::-1])


def _numbered(columns: Table, widths: list[int]) -> tuple[Table, Table]:
    """For things given by ``columns`` of numbers below ``widths``: the number of each, alike ones
    have the same, and the first thing of each number. The first of all is 0.
    """
    codes, codes_below = np.zeros(columns.shape[1], dtype=np.int64), 1
    for column, width in zip(columns, widths, strict=True):
        if codes_below * width > _MOST_CODES:
            codes = np.unique(codes, return_inverse=True)[1]
            codes_below = len(codes)
        codes = codes * width + column
        codes_below *= width
    _, first, numbers = np.unique(codes, return_index=True, return_inverse=True)
    return numbers, first
