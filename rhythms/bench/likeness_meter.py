"""How like drummers' own fills drawn ones are: surfaces, moves, runs, surprise, and distance.

Whatever judges has not been learned from what is judged by it: the prior knows one part of the
human fills, the figures come from the other part.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import combinations, pairwise
from math import isnan
from typing import NamedTuple

import numpy as np

from rhythms.engine import Fill, FillSpace, Surface
from rhythms.engine.kits.kit_layout import distance
from rhythms.engine.kits.surfaces import FEET, family
from rhythms.engine.prior.human_prior import Prior
from rhythms.engine.prior.learning import learn
from rhythms.engine.prior.played_line import Line, place_in_beat, times_since
from rhythms.engine.prior.remembering import MOST_REMEMBERED
from rhythms.engine.prior.surface_table import SurfaceTable
from rhythms.engine.prior.weighted_space import WeightedSpace
from rhythms.human_fills import HumanFill

#: The share of the human fills that the prior learns from.
LEARNED = 0.7
#: One stroke in ten goes anywhere: what the figures take for chance.
CHANCE = 0.1
_CRASHES, _BELLS = 3, 4
_CRASHING = (Surface.CRASH, Surface.SPLASH, Surface.CHINA)
_BAR = 4


@dataclass(frozen=True)
class Halves:
    """Human fills in two parts: what the prior learned from, and what judges."""

    prior: Prior
    table: SurfaceTable
    held_back: tuple[Line, ...]

    @classmethod
    def of(cls, fills: Sequence[HumanFill], seed: int) -> "Halves":
        """Split them at random, each player's alike."""
        order = np.random.default_rng(seed).permutation(len(fills)).tolist()
        cut = int(LEARNED * len(fills))
        learned: dict[str, list[Line]] = {}
        for place in order[:cut]:
            learned.setdefault(fills[place].player, []).append(fills[place].line)
        held_back = tuple(fills[place].line for place in order[cut:])
        return cls(learn(learned), SurfaceTable.of(held_back), held_back)


class LikenessFigures(NamedTuple):
    """Of travelling strokes, those with more than one surface open to them, unless it says fills.

    ``bits`` a stroke, by the held-back fills; shares from 0 to 1 of ``bright`` strokes (cymbals
    and bells), of strokes that ``stay``, of ``one_surface`` fills, of fills with three
    ``crashes`` or four ``bells`` running; ``apart`` within a set and ``from_known`` to the
    nearest known fill: 1 for a stroke elsewhere, 0.5 within toms or within cymbals and bells.
    ``implausible`` is the share of fills beyond nineteen of twenty human ones.
    """

    bits: float
    bright: float
    stay: float
    one_surface: float
    crashes: float
    bells: float
    apart: float
    from_known: float
    implausible: float
    given: float


def mean_figures(found: Sequence[LikenessFigures]) -> LikenessFigures:
    """The mean of each figure over those that have it."""
    return LikenessFigures(
        *(
            _mean([value for value in column if not isnan(value)])
            for column in zip(*found, strict=True)
        )
    )


class LikenessMeter:
    """Measures fills of one space."""

    def __init__(self, space: FillSpace, halves: Halves) -> None:
        self.space = space
        self.halves = halves
        self._open = [sorted({s.surface for s in layer.strokes}) for layer in space.graph.layers]
        self._travels = [len(surfaces) > 1 for surfaces in self._open]
        self._weighted = WeightedSpace(space, halves.prior)

    def figures(self, fills: Sequence[Fill], known: Sequence[Fill] = ()) -> LikenessFigures:
        """The figures of one set of fills, for somebody who knows some."""
        lines = [[stroke.surface for stroke in fill.strokes] for fill in fills]
        travelling = [self._of_travelling(line) for line in lines]
        strokes = [surface for line in travelling for surface in line]
        stays = [
            before == after
            for line in lines
            for (before, after), travels in zip(pairwise(line), self._travels[1:], strict=True)
            if travels
        ]
        apart = [self._apart(a, b) for a, b in combinations(travelling, 2)]
        others = [self._of_travelling([s.surface for s in fill.strokes]) for fill in known]
        nearest = [min(self._apart(a, b) for b in others) for a in travelling if others]
        surprise = self._weighted.surprise(self._weighted.choices(fills))
        return LikenessFigures(
            _mean([bits for line in lines for bits in self._bits(line)]),
            _mean([_is_bright(surface) for surface in strokes]),
            _mean(stays),
            _mean([len(set(line)) == 1 for line in travelling]),
            _mean([_runs(line, _CRASHES, lambda s: s in _CRASHING) for line in lines]),
            _mean([_runs(line, _BELLS, lambda s: family(s) == "bells") for line in lines]),
            _mean(apart),
            _mean(nearest),
            _mean((surprise > self._plausible).tolist()),
            float(len(fills)),
        )

    @cached_property
    def laid(self) -> tuple[Fill, ...]:
        """The held-back human fills, their surfaces laid over this bar and its rules.

        Each note takes the surface struck nearest to its time, and of those that are open to it
        the one nearest on the kit; what the rules forbid as a whole is left out.
        """
        found = (self._laid(line) for line in self.halves.held_back)
        return tuple(dict.fromkeys(fill for fill in found if fill is not None))

    @cached_property
    def _plausible(self) -> float:
        """The surprise that nineteen of twenty laid fills do not pass."""
        if not self.laid:
            return float("inf")
        surprise = self._weighted.surprise(self._weighted.choices(self.laid))
        return float(np.quantile(surprise, 0.95))

    def _laid(self, line: Line) -> Fill | None:
        first = line.onsets[0] // _BAR * _BAR
        strokes = []
        for note, layer, hand in zip(
            self.space.setting.bar.sounded,
            self.space.graph.layers,
            self.space.setting.grid_hands,
            strict=True,
        ):
            near = min(range(len(line.onsets)), key=_distance_in_time(line, first + note.onset))
            surface = line.surfaces[near]
            strokes.append(
                min(
                    layer.strokes,
                    key=lambda s: (distance(s.surface, surface), s.limb not in (None, hand)),
                )
            )
        fill = Fill(self.space.setting.bar, tuple(strokes))
        return fill if fill in self.space else None

    def _of_travelling(self, line: Sequence[Surface]) -> list[Surface]:
        return [surface for surface, travels in zip(line, self._travels, strict=True) if travels]

    def _bits(self, line: Sequence[Surface]) -> Iterator[float]:
        surfaces = self.space.kit.hand_surfaces
        onsets = [note.onset for note in self.space.setting.bar.sounded]
        before = last = 0
        for place, (surface, time) in enumerate(zip(line, times_since(onsets), strict=True)):
            if surface in FEET:
                continue
            if self._travels[place]:
                chances = self.halves.table.chances(
                    self.space.kit, MOST_REMEMBERED, time, place_in_beat(onsets[place])
                )[before, last]
                open_to = [surfaces.index(s) for s in self._open[place] if s not in FEET]
                share = chances[surfaces.index(surface)] / chances[open_to].sum()
                yield float(-np.log2((1 - CHANCE) * share + CHANCE / len(open_to)))
            before, last = last, surfaces.index(surface) + 1

    @staticmethod
    def _apart(a: Sequence[Surface], b: Sequence[Surface]) -> float:
        return _mean([_stroke_apart(x, y) for x, y in zip(a, b, strict=True)])


def _distance_in_time(line: Line, at: Fraction) -> Callable[[int], Fraction]:
    return lambda place: abs(line.onsets[place] - at)


def _stroke_apart(a: Surface, b: Surface) -> float:
    if a == b:
        return 0.0
    together = (_is_bright(a) and _is_bright(b)) or family(a) == family(b) == "toms"
    return 0.5 if together else 1.0


def _is_bright(surface: Surface) -> bool:
    return family(surface) in ("cymbals", "bells")


def _runs(line: Sequence[Surface], length: int, counts: Callable[[Surface], bool]) -> bool:
    """Whether so many of them follow each other."""
    run = 0
    for surface in line:
        run = run + 1 if counts(surface) else 0
        if run == length:
            return True
    return False


def _mean(values: Sequence[float]) -> float:
    return float(np.mean(values)) if len(values) else float("nan")
