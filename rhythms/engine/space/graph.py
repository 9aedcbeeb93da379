"""The layered graph of counts: one layer a note, one state for each thing the automata remember.

Counts pass 64 bits, so each is kept as limbs of 48 bits: a sum over all strokes of a note
still fits into 64, and array operations stay exact.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate
from operator import itemgetter

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.errors import TooManyStatesError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Automaton
from rhythms.engine.space.automata import DEAD, Kind, Machine, Table, combine, idle, tabulate

_LIMB_BITS = 48
_LIMB = (1 << _LIMB_BITS) - 1
#: Bytes of counts that one space may take.
_MOST_BYTES = 300_000_000


class Counts(dict[int, int]):
    """Completions of one layer by state, turned into whole numbers as they are asked for."""

    def __init__(self, limbs: list[NDArray[np.int64]]) -> None:
        super().__init__()
        self.limbs = limbs

    def __missing__(self, state: int) -> int:
        count = 0
        for limb in reversed(self.limbs):
            count = (count << _LIMB_BITS) | int(limb[state])
        self[state] = count
        return count

    def shares(self) -> NDArray[np.float64]:
        """All counts as floats, each state's relative to the greatest."""
        top = len(self.limbs) - 1
        floats = sum(
            limb.astype(float) * 2.0 ** (_LIMB_BITS * (place - top))
            for place, limb in enumerate(self.limbs)
        )
        greatest = np.max(floats)
        return np.asarray(floats / greatest if greatest else floats)


class Layer:
    """One note: the strokes open to it, in the order that numbers them, and where they lead.

    ``after[state, choice]`` is the state after a stroke, the number of states where there is none.
    """

    def __init__(self, strokes: tuple[Stroke, ...], after: Table) -> None:
        self.strokes = strokes
        self.after = after
        self.choice_of = {stroke: choice for choice, stroke in enumerate(strokes)}
        self.completions_after: Counts = Counts([])
        self._rows: dict[int, tuple[list[int], list[int]]] = {}

    def row(self, state: int) -> tuple[list[int], list[int]]:
        """For one state: completions summed up to and with each choice, and the states after."""
        if state not in self._rows:
            after = self.after[state].tolist()
            counts = self.completions_after
            if len(after) > 1:
                running = list(accumulate(itemgetter(*after)(counts)))
            else:
                running = [counts[state_after] for state_after in after]
            self._rows[state] = running, after
        return self._rows[state]


class Graph:
    """Counts, numbers and unnumbers the strokes of a bar.

    ``options`` holds the strokes open to each note, in the order that numbers them.
    Raises TooManyStatesError where the automata together remember too much.
    """

    def __init__(
        self, options: Sequence[tuple[Stroke, ...]], automata: Sequence[Automaton]
    ) -> None:
        symbols = tuple(dict.fromkeys(stroke for strokes in options for stroke in strokes))
        number = {stroke: place for place, stroke in enumerate(symbols)}
        notes = [[number[stroke] for stroke in strokes] for strokes in options]
        # The same rule twice watches the same.
        distinct = tuple(dict.fromkeys(automata))
        self.machine = _machine(distinct, symbols, notes)
        self.layers = _layers(self.machine, distinct, options, notes)
        self.start = self._count()
        self.size = self.start[0]

    def _count(self) -> Counts:
        """Completions, from the end of the bar back to its start."""
        self._check_memory()
        ending = np.append(self.machine.accepts, False).astype(np.int64)
        counts = Counts([ending])
        for layer in reversed(self.layers):
            layer.completions_after = counts
            counts = Counts(_sum_over_choices(counts.limbs, layer.after))
        return counts

    def _check_memory(self) -> None:
        bits = sum(max(1, len(layer.strokes)).bit_length() for layer in self.layers)
        limbs = 1 + bits // (2 * _LIMB_BITS)
        if 8 * self.machine.states * len(self.layers) * limbs > _MOST_BYTES:
            raise TooManyStatesError

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
        return rank


def _machine(
    automata: tuple[Automaton, ...], symbols: tuple[Stroke, ...], notes: list[list[int]]
) -> Machine:
    open_symbols = [set(note) for note in notes]
    machine = idle((), len(symbols))
    so_far: list[Kind] = [()] * len(notes)
    for automaton in automata:
        other = tabulate(automaton, symbols, open_symbols)
        own: list[Kind] = [(automaton.kind(index),) for index in range(len(notes))]
        if notes:
            machine = combine(machine, other, list(dict.fromkeys(zip(so_far, own, strict=True))))
        else:
            machine = Machine({}, machine.accepts & other.accepts[:1])
        so_far = [(*a, *b) for a, b in zip(so_far, own, strict=True)]
    return machine


def _layers(
    machine: Machine,
    automata: tuple[Automaton, ...],
    options: Sequence[tuple[Stroke, ...]],
    notes: list[list[int]],
) -> list[Layer]:
    """One layer a note; notes alike share their table."""
    tables: dict[tuple[Kind, tuple[Stroke, ...]], Table] = {}
    layers = []
    for index, strokes in enumerate(options):
        kind = tuple(automaton.kind(index) for automaton in automata)
        if (kind, strokes) not in tables:
            table = machine.tables[kind][:, notes[index]]
            tables[kind, strokes] = np.where(table == DEAD, machine.states, table)
        layers.append(Layer(strokes, tables[kind, strokes]))
    return layers


def _sum_over_choices(limbs: list[NDArray[np.int64]], after: Table) -> list[NDArray[np.int64]]:
    """Each state's completions: those after each of its choices, added up exactly."""
    summed, carry = [], np.zeros(len(after), dtype=np.int64)
    for limb in limbs:
        total = limb[after].sum(axis=1) + carry
        summed.append(np.append(total & _LIMB, 0))
        carry = total >> _LIMB_BITS
    if carry.any():
        summed.append(np.append(carry, 0))
    return summed
