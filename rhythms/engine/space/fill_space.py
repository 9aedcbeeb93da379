"""The fill space: all fills that a bar, a rule set and a kit allow, counted and numbered."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property
from random import Random

from rhythms.engine.bars.bar import Bar
from rhythms.engine.errors import BarError, FillError, MeterError, RankError
from rhythms.engine.fills.fill import Fill, Stroke, open_hand
from rhythms.engine.fills.ostinato import Ostinato, together
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.rules import Rule
from rhythms.engine.rules.base import Automaton, Bound
from rhythms.engine.rules.rule_list import RuleSet
from rhythms.engine.rules.setting import Setting
from rhythms.engine.space.graph import Graph
from rhythms.engine.space.lattice import Lattice
from rhythms.engine.space.open_strokes import OpenStrokes
from rhythms.engine.space.reach import within_reach
from rhythms.engine.space.unranking import strokes_of
from rhythms.engine.space.work import Work

#: Up to here the standard library can draw from the whole range at once.
_DRAWABLE = 2**62


class FillSpace:
    """The fills of ``bar`` under ``rule_set`` on ``kit``.

    Equivalent to listing every choice of strokes note by note and keeping those that every
    rule allows, in order of the kit's surfaces and then the hands; worked out without listing:

    >>> bar = Bar.from_counts("1 & 2 e & a 3 & 4 e & a")
    >>> eighths = {"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]}
    >>> space = FillSpace(bar, RuleSet.from_json([eighths]), Kit.standard())
    >>> space.size
    16777216
    >>> space.rank(space.fill(1_000_000))
    1000000
    """

    def __init__(self, bar: Bar, rule_set: RuleSet, kit: Kit) -> None:
        self.bar = bar
        self.rule_set = rule_set
        self.kit = kit

    @cached_property
    def setting(self) -> Setting:
        """The bar as it is played, on the kit: a rule may have changed its rhythm, or put strokes
        on rests.
        """
        written, unwritten = self._reshaped
        played = Setting(written, self.kit)
        for rule in self.rule_set.rules:
            played = Setting(rule.prepare(played), self.kit)
        struck = {note.onset for note in written.sounded}
        rested = (note.index for note in played.bar.sounded if note.onset not in struck)
        sounding = Setting(played.bar, self.kit, frozenset(rested), unwritten=unwritten)
        by_feet = (rule.given_to_feet(sounding) for rule in self.rule_set.rules)
        return replace(sounding, by_feet=frozenset().union(*by_feet))

    @cached_property
    def _reshaped(self) -> tuple[Bar, frozenset[Rule]]:
        """The rhythm that the rules make of the bar, and those whose rhythm cannot be written."""
        written, unwritten = self.bar, set()
        for rule in sorted(self.rule_set.rules, key=lambda rule: rule.stage):
            try:
                written = rule.reshaped(written)
            except (BarError, MeterError):
                unwritten.add(rule)
        return written, frozenset(unwritten)

    @cached_property
    def ostinato(self) -> Ostinato | None:
        """What the feet keep playing under each of the fills."""
        going = (rule.keeps_going(self.setting) for rule in self.rule_set.rules)
        return together(one for one in going if one)

    def fill_of(self, strokes: tuple[Stroke, ...]) -> Fill:
        """The fill of these strokes, one a note."""
        return Fill(self.setting.bar, strokes, self.ostinato)

    @cached_property
    def _bound(self) -> dict[Rule, Bound]:
        return {rule: rule.bind(self.setting) for rule in self.rule_set.rules}

    @cached_property
    def within_reach(self) -> tuple[tuple[Stroke, ...], ...]:
        """For each note, all strokes before any rule narrows them."""
        return within_reach(
            self.setting, tuple(self._bound.values()), hands=self.rule_set.speaks_of_hands
        )

    @cached_property
    def graph(self) -> Graph:
        """The counts of the whole rule set."""
        return self.graph_of(self.rule_set.rules)

    def graph_of(self, rules: Iterable[Rule]) -> Graph:
        """The counts of some of the rules, with the same strokes within reach.

        Raises TooManyStatesError.
        """
        rules, work = tuple(rules), Work()
        return Graph(self.open_strokes.to(rules, work), self._watching(rules), work)

    def leaves_fills(self, rules: Iterable[Rule], work: Work) -> bool:
        """Whether some of the rules leave any fill, with the same strokes within reach.

        Cheaper than counting them. Raises TooManyStatesError where that is more than ``work``.
        """
        rules = tuple(rules)
        options = self.open_strokes.to(rules, work)
        return all(options) and Lattice(options, self._watching(rules), work).has_paths()

    def watches(self, rule: Rule) -> bool:
        """Whether one of the rules looks at several strokes together."""
        return self._bound[rule].automaton is not None

    @cached_property
    def open_strokes(self) -> OpenStrokes:
        """What rules leave to each note."""
        return OpenStrokes(self.within_reach, self._bound)

    def _watching(self, rules: Iterable[Rule]) -> list[Automaton]:
        automata = (self._bound[rule].automaton for rule in rules)
        return [automaton for automaton in automata if automaton]

    @property
    def size(self) -> int:
        """The exact number of fills."""
        return self.graph.size

    def fill(self, rank: int) -> Fill:
        """The fill numbered ``rank``. Raises RankError outside 0 … size - 1."""
        if not 0 <= rank < self.size:
            raise RankError(f"Fill {rank} is not among the {self.size:,} fills, numbered from 0.")
        return self.fill_of(self.graph.strokes(rank))

    def rank(self, fill: Fill) -> int:
        """The number of ``fill``: the inverse of ``fill``. Raises FillError for one not in here."""
        rank = self.rank_or_none(fill)
        if rank is None:
            raise FillError("This fill is not among the fills of this bar, rule set and kit.")
        return rank

    def __contains__(self, fill: object) -> bool:
        return isinstance(fill, Fill) and self.rank_or_none(fill) is not None

    def rank_or_none(self, fill: Fill) -> int | None:
        """The number of ``fill``; None for one not in here."""
        if fill.bar != self.setting.bar:
            return None
        strokes = fill.strokes
        if not self.rule_set.speaks_of_hands:
            strokes = tuple(open_hand(stroke) for stroke in strokes)
        return self.graph.rank(strokes)

    def sample(self, n: int, seed: int | str) -> tuple[Fill, ...]:
        """``n`` different fills, uniformly chosen; the same for the same ``seed``.

        Raises RankError where there are fewer than ``n``.
        """
        if not 0 <= n <= self.size:
            raise RankError(f"{n} fills were asked for, and there are {self.size:,}.")
        ranks, bar, going = _distinct(n, self.size, seed), self.setting.bar, self.ostinato
        return tuple(Fill(bar, strokes, going) for strokes in strokes_of(self.graph.layers, ranks))


def _distinct(n: int, size: int, seed: int | str) -> list[int]:
    """``n`` different numbers below ``size``, in random order."""
    random = Random(seed)  # noqa: S311 - reproducible on purpose
    if size <= _DRAWABLE:
        return random.sample(range(size), n)
    drawn: dict[int, None] = {}
    while len(drawn) < n:
        drawn[random.randrange(size)] = None
    return list(drawn)
