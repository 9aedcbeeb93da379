"""An automaton that counts marked strokes up to a number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Field
from rhythms.engine.rules.marked_strokes import Mark

HOW_MANY = Field(
    "n", "How many of them", "number", help="Leave empty for all of them.", least=0, optional=True
)


def too_few(scoped: Sequence[bool], n: int | None, everywhere: bool) -> str:
    """Why ``n`` of the scoped notes cannot be marked, in words; "" where there are enough."""
    there = sum(scoped)
    if n is None or there >= n:
        return ""
    if everywhere:
        return f"this bar has only {there} note{'' if there == 1 else 's'}"
    return f"this bar has {f'only {there}' if there else 'none'} of these notes"


@dataclass(frozen=True)
class CountOff:
    """Exactly ``n`` of the scoped notes are marked."""

    every_note_alike: ClassVar[bool] = False
    scoped: tuple[bool, ...]
    n: int
    mark: Mark
    start: int = 0

    def sees(self, stroke: Stroke) -> bool:
        """Whether it counts."""
        return self.mark(stroke)

    def step(self, state: int, index: int, stroke: Stroke) -> int | None:
        """The state is how many were counted so far."""
        if not self.scoped[index] or not self.mark(stroke):
            return state
        return state + 1 if state < self.n else None

    def accepts(self, state: int) -> bool:
        """Neither fewer nor more."""
        return state == self.n

    def kind(self, index: int) -> bool:
        """Scoped notes are all alike, and so are the others."""
        return self.scoped[index]
