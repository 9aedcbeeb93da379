"""At most n strokes in a row on one surface."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.rules.base import Field
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher


@dataclass(frozen=True)
class AtMostInARow(Watcher):
    """No more than ``n`` strokes in a row on one surface."""

    name: ClassVar[str] = "at most in a row"
    title: ClassVar[str] = "Move on after a few strokes"
    fields: ClassVar[tuple[Field, ...]] = (
        Field("n", "Strokes in a row on one surface, at most", "number", default="2", most=64),
    )

    n: int

    def sentence(self) -> str:
        """``At most 2 strokes in a row on one surface.``"""
        strokes = "stroke" if self.n == 1 else "strokes"
        return f"At most {self.n} {strokes} in a row on one surface."

    def automaton(self, setting: Setting) -> Run:
        """The run so far."""
        return Run(self.n)


@dataclass(frozen=True)
class Run(EveryNoteAlike):
    """The state is the surface struck last and how often in a row."""

    n: int
    start: tuple[Surface | None, int] = (None, 0)

    def sees(self, stroke: Stroke) -> Surface:
        """Its surface."""
        return stroke.drum

    def step(
        self, state: tuple[Surface | None, int], index: int, stroke: Stroke
    ) -> tuple[Surface | None, int] | None:
        """One more on the same surface, or the first on another."""
        surface, run = state
        if stroke.drum != surface:
            return stroke.drum, 1
        return (surface, run + 1) if run < self.n else None
