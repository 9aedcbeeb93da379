"""One player's chances of the next surface."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cached_property, lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.prior.played_line import PLACES, TIMES, Line, place_in_beat, times_since
from rhythms.engine.prior.surface_groups import GROUP_OF, GROUPS, HIGH, MID, handed_out

Floats = NDArray[np.float64]
#: No surface: before the first stroke.
NONE = GROUPS
#: What is known of less (the surface before, the two before, these and the time) counts as so
#: many strokes beside what is known of more. Of trials on held-back fills (bits a stroke).
BACKED_OFF = 10.0
#: So many strokes on each surface are taken for played before anything was.
EVEN = 2.0
#: The share of strokes that go anywhere, whatever came before.
WHIM = 0.03
#: Who strikes one of two rack toms less often than this, of all strokes on them, has only one.
ONE_RACK = 0.03


class Step(NamedTuple):
    """A stroke with what came before it: groups of surfaces, time since, place in the beat."""

    before: int
    last: int
    time: int
    place: int
    group: int


class SurfaceTable:
    """How often one player took each step, and the chances that follow from it."""

    def __init__(self, steps: Mapping[Step, int]) -> None:
        self.steps = dict(steps)
        self.strokes = sum(steps.values())

    @classmethod
    def of(cls, lines: Iterable[Line]) -> SurfaceTable:
        """The table of what somebody played."""
        return cls(Counter(step for line in lines for step in _steps(line)))

    @cached_property
    def one_rack(self) -> bool:
        """Whether the player hardly strikes one of the two rack toms."""
        struck = Counter[int]()
        for step, times in self.steps.items():
            struck[step.group] += times
        rack = struck[HIGH] + struck[MID]
        return min(struck[HIGH], struck[MID]) < ONE_RACK * rack

    @cached_property
    def chances_by_depth(self) -> tuple[Floats, Floats, Floats]:
        """The chances of each group, by as many strokes before as are remembered: 0, 1, 2.

        The axes: before, last, time, place, group; those that are not remembered have length 1.
        Each is backed off to the one with less before it, which counts as BACKED_OFF strokes: a
        hierarchical Dirichlet model (MacKay and Peto 1995, from memory).
        """
        counted = np.zeros((GROUPS + 1, GROUPS + 1, TIMES, PLACES, GROUPS))
        for (before, last, time, place, group), times in self.steps.items():
            counted[self.fold(before), self.fold(last), time, place, self.fold(group)] += times
        even = np.full(GROUPS, EVEN)
        if self.one_rack:
            even[MID] = 0.0
        total = counted.sum(axis=(0, 1, 2, 3), keepdims=True) + even
        nothing = total / total.sum()
        one = _backed_off(counted.sum(axis=(0, 2, 3), keepdims=True), nothing)
        two = _backed_off(counted.sum(axis=(2, 3), keepdims=True), one)
        timed = _backed_off(counted.sum(axis=3, keepdims=True), two)
        return nothing, one, _backed_off(counted, timed)

    def chances(self, kit: Kit, depth: int, time: int, place: int) -> Floats:
        """The chance of each hand surface of ``kit`` next: before last, last, surface.

        Surfaces are numbered as the kit has them; as what came before, from 1, and 0 is none.
        """
        return _chances(self, kit, depth, time, place)

    def fold(self, group: int) -> int:
        """The group itself; of a player with one rack tom both are one group."""
        return HIGH if self.one_rack and group == MID else group


@lru_cache(maxsize=256)
def _chances(of: SurfaceTable, kit: Kit, depth: int, time: int, place: int) -> Floats:
    """Kept: most bars ask the same of the same few players."""
    groups = [NONE, *(of.fold(GROUP_OF[surface]) for surface in kit.hand_surfaces)]
    known = np.broadcast_to(
        of.chances_by_depth[depth], (GROUPS + 1, GROUPS + 1, TIMES, PLACES, GROUPS)
    )[:, :, time, place][np.ix_(groups, groups)]
    chances = np.einsum("abg,abgs->abs", known, handed_out(kit, one_rack=of.one_rack))
    return np.asarray((1 - WHIM) * chances + WHIM / len(kit.hand_surfaces))


def _steps(line: Line) -> Iterable[Step]:
    before = last = NONE
    for onset, time, surface in zip(
        line.onsets, times_since(line.onsets), line.surfaces, strict=True
    ):
        group = GROUP_OF[surface]
        yield Step(before, last, time, place_in_beat(onset), group)
        before, last = last, group


def _backed_off(counted: Floats, to: Floats) -> Floats:
    return np.asarray(
        (counted + BACKED_OFF * to) / (counted.sum(axis=-1, keepdims=True) + BACKED_OFF)
    )
