"""The strokes that rules leave to each note of a bar; each rule is asked once for all sets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules import Rule
from rhythms.engine.rules.base import Bound
from rhythms.engine.space.struck_together import several
from rhythms.engine.space.work import ASKED, CALL, TOGETHER, Work

Strokes = tuple[Stroke, ...]
#: For each note, which of the strokes within reach a rule allows; None where it allows all.
Allowed = list[NDArray[np.bool_] | None]


class OpenStrokes:
    """``reach`` has the strokes of each note before any rule narrows them."""

    def __init__(self, reach: Sequence[Strokes], bound: Mapping[Rule, Bound]) -> None:
        self.reach = reach
        self.bound = bound
        self._allowed: dict[Rule, Allowed] = {}
        # Most notes are alike: what is left of them is looked up, and stays one object.
        self._left = cache(_left)
        self._together = [several(strokes) for strokes in reach]

    def to(self, rules: Sequence[Rule], work: Work) -> list[Strokes]:
        """What some of the rules together leave to each note. Raises TooManyStatesError."""
        allowed = [self._allowed_by(rule, work) for rule in rules]
        work.spend(CALL * (1 + len(self.reach) * (1 + len(rules)) // 20))
        options = []
        for note, reach in enumerate(self.reach):
            masks = [each for one in allowed if (each := one[note]) is not None]
            if masks:
                together = np.logical_and.reduce(masks)
                options.append(self._left(reach, together.tobytes()))
            else:
                options.append(reach)
        return options

    def _allowed_by(self, rule: Rule, work: Work) -> Allowed:
        if rule not in self._allowed:
            self._allowed[rule] = [
                self._mask(rule, note, reach, work) for note, reach in enumerate(self.reach)
            ]
        return self._allowed[rule]

    def _mask(self, rule: Rule, note: int, reach: Strokes, work: Work) -> NDArray[np.bool_] | None:
        work.spend(ASKED)
        left = self.bound[rule].narrow(note, reach)
        if left is reach:
            return None
        work.spend(ASKED * len(reach) + TOGETHER * self._together[note])
        kept = {id(stroke) for stroke in left}
        return np.array([id(stroke) in kept for stroke in reach], dtype=bool)


def _left(reach: Strokes, mask: bytes) -> Strokes:
    return tuple(stroke for stroke, allowed in zip(reach, mask, strict=True) if allowed)
