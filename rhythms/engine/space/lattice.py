"""What a bar's strokes lead to, note by note: the automata of some rules over the strokes open.

Automata that treat every note alike make one machine for the whole bar; those that tell notes
apart are unrolled along it. A state is a pair of both, and no table of pairs is ever made: going
one note back is going back by the one and then by the other.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.errors import TooManyStatesError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Automaton
from rhythms.engine.space.automata import Machine, Table, combine, idle, tabulate
from rhythms.engine.space.struck_together import several
from rhythms.engine.space.unrolled import Unrolled, unroll
from rhythms.engine.space.work import CALL, CELL, MOST_STATES, TOGETHER, Work

Mask = NDArray[np.bool_]


#: How many strokes there are of each symbol of the unrolled.
Mix = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class LatticeStep:
    """One note, and how many strokes lead on alike.

    ``machine[symbol]`` and ``unrolled[symbol]`` are the states after, by the state before, the
    last one where there is none; ``width`` and ``width_after`` count those of the unrolled. The
    strokes are of the pairs ``symbols``, in their order. ``groups`` has the symbols of the machine
    whose strokes are the same mix of symbols of the unrolled.
    """

    machine: Table
    unrolled: Table
    symbols: tuple[Table, Table]
    groups: dict[Mix, list[int]]
    width: int
    width_after: int

    def after(self, states: Table) -> Table:
        """The numbers of the states after, for some states: states by strokes."""
        by_machine, by_unrolled = self.symbols
        if self.width == self.width_after == 1:
            return _looked_up(self.machine, by_machine, states)
        left, right = np.divmod(states, self.width)
        after = _looked_up(self.machine, by_machine, left)
        after *= self.width_after
        after += _looked_up(self.unrolled, by_unrolled, right)
        return after

    @property
    def states(self) -> int:
        """How many states there are before or after it, whichever are more."""
        return int(self.machine.shape[1]) * max(self.width, self.width_after)

    @property
    def work(self) -> int:
        """What going back over it costs for each number that a state has."""
        taken = sum(len(mix) + len(symbols) for mix, symbols in self.groups.items())
        return CALL + taken * (CALL // 10 + CELL * int(self.machine.shape[1]) * self.width)

    def summed(self, ahead: NDArray[np.int64]) -> NDArray[np.int64]:
        """Numbers of the states after, added up over the strokes of each state before."""
        table = ahead.reshape(-1, self.width_after)
        total = np.zeros((len(table), self.width), dtype=np.int64)
        taken = np.empty_like(total)
        for mix, symbols in self.groups.items():
            mixed = self._mixed(table, mix)
            for symbol in symbols:
                np.take(mixed, self.machine[symbol], axis=0, out=taken, mode="clip")
                total += taken
        return total.ravel()

    def _mixed(self, table: NDArray[np.int64], mix: Mix) -> NDArray[np.int64]:
        if self.width == self.width_after == 1:
            return np.asarray(table * sum(times for _, times in mix))
        (symbol, times), *others = mix
        total = np.asarray(table[:, self.unrolled[symbol]] * times)
        for symbol, times in others:
            total += table[:, self.unrolled[symbol]] * times
        return total

    def leads_on(self, ahead: Mask) -> Mask:
        """Which states have a stroke to one of those ``ahead``."""
        table = ahead.reshape(-1, self.width_after)
        found = np.zeros((len(table), self.width), dtype=bool)
        for mix, symbols in self.groups.items():
            mixed = np.zeros_like(found)
            for symbol, _ in mix:
                mixed |= table[:, self.unrolled[symbol]]
            for symbol in symbols:
                found |= mixed[self.machine[symbol]]
        return found.ravel()


def _looked_up(table: Table, rows: Table, columns: Table) -> Table:
    """What stands in each of the rows, in each of the columns: columns by rows."""
    return np.asarray(table.take(rows * table.shape[1] + columns[:, None]))


class Lattice:
    """The steps of a bar. ``options`` holds the strokes open to each note.

    Raises TooManyStatesError where the automata together remember too much.
    """

    def __init__(
        self, options: Sequence[tuple[Stroke, ...]], automata: Sequence[Automaton], work: Work
    ) -> None:
        self.options = options
        self.work = work
        self._symbols = tuple(dict.fromkeys(stroke for strokes in options for stroke in strokes))
        # The same rule twice watches the same.
        distinct = dict.fromkeys(automata)
        work.spend(TOGETHER * len(distinct) * several(self._symbols))
        self._alike = [each for each in distinct if each.every_note_alike]
        self._apart = [each for each in distinct if not each.every_note_alike]
        self.machine, self._machine_symbols = self._as_machine()
        self.unrolled, self._unrolled_symbols = self._as_unrolled()

    def _as_machine(self) -> tuple[Machine, dict[Stroke, int]]:
        symbols, number = _classes(self._alike, self._symbols)
        notes = len(self.options)
        parts = [tabulate(each, symbols, notes, self.work) for each in self._alike]
        machine = idle(len(symbols))
        for part in sorted(parts, key=lambda part: part.states):
            machine = combine(machine, part, notes, self.work)
        return machine, number

    def _as_unrolled(self) -> tuple[Unrolled, dict[Stroke, int]]:
        symbols, number = _classes(self._apart, self._symbols)
        notes = [sorted({number[stroke] for stroke in strokes}) for strokes in self.options]
        return unroll(self._apart, symbols, notes, self.work), number

    @cached_property
    def _rows(self) -> Table:
        """The machine's states after, by symbol and state before; the last one is none."""
        table = self.machine.table
        nowhere = np.full((1, table.shape[1]), self.machine.states, dtype=np.int64)
        filled = np.where(table < 0, self.machine.states, table)
        return np.ascontiguousarray(np.concatenate([filled, nowhere]).T)

    @cached_property
    def _widths(self) -> list[int]:
        """States of the unrolled before each note and at the end, one for none included."""
        spare = self.unrolled.remembers
        return [width + spare for width in self.unrolled.widths]

    @cached_property
    def steps(self) -> list[LatticeStep]:
        """One a note; notes alike share theirs. Raises TooManyStatesError."""
        made: dict[tuple[Hashable, ...], LatticeStep] = {}
        steps = []
        for index, strokes in enumerate(self.options):
            key = (strokes, *self._widths[index : index + 2], self.unrolled.tables[index].tobytes())
            if key not in made:
                made[key] = self._step(index, strokes)
                if made[key].states > MOST_STATES:
                    raise TooManyStatesError
            steps.append(made[key])
        return steps

    def _step(self, index: int, strokes: tuple[Stroke, ...]) -> LatticeStep:
        pairs: dict[int, dict[int, int]] = {}
        for stroke in strokes:
            row = pairs.setdefault(self._machine_symbols[stroke], {})
            symbol = self._unrolled_symbols[stroke]
            row[symbol] = row.get(symbol, 0) + 1
        groups: dict[Mix, list[int]] = {}
        for symbol, row in pairs.items():
            groups.setdefault(tuple(sorted(row.items())), []).append(symbol)
        return LatticeStep(
            self._rows,
            self._unrolled_rows(index),
            (
                np.array([self._machine_symbols[stroke] for stroke in strokes], dtype=np.int64),
                np.array([self._unrolled_symbols[stroke] for stroke in strokes], dtype=np.int64),
            ),
            groups,
            *self._widths[index : index + 2],
        )

    def _unrolled_rows(self, index: int) -> Table:
        table = self.unrolled.tables[index]
        width, width_after = self._widths[index : index + 2]
        rows = np.full((table.shape[1], width), width_after - 1, dtype=np.int64)
        rows[:, : len(table)] = np.where(table < 0, width_after - 1, table).T
        return rows

    @property
    def ends(self) -> Mask:
        """Which states a bar may end in."""
        ends = np.zeros((self.machine.states + 1, self._widths[-1]), dtype=bool)
        ends[:-1, : self.unrolled.widths[-1]] = self.machine.accepts[:, None]
        return ends.ravel()

    @property
    def states(self) -> int:
        """The most states that are before a note or at the end."""
        return self.machine.states * max(self.unrolled.widths)

    def has_paths(self) -> bool:
        """Whether the bar can be played at all. Raises TooManyStatesError."""
        ahead = self.ends
        for step in reversed(self.steps):
            self.work.spend(step.work)
            ahead = step.leads_on(ahead)
        return bool(ahead[0])


def _classes(
    automata: Sequence[Automaton], symbols: Sequence[Stroke]
) -> tuple[list[Stroke], dict[Stroke, int]]:
    """One stroke of each kind that some of the automata tell apart, and every stroke's kind."""
    kinds: dict[tuple[Hashable, ...], int] = {}
    first: list[Stroke] = []
    number = {}
    for stroke in symbols:
        kind = tuple(automaton.sees(stroke) for automaton in automata)
        if kind not in kinds:
            kinds[kind] = len(first)
            first.append(stroke)
        number[stroke] = kinds[kind]
    return first, number
