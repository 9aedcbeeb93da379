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
    """No more than ``n`` strokes in a row on one surface.

    Of what is struck at once each surface’s run counts by itself, feet included.
    """

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


#: Each surface struck last, and how often in a row.
Runs = tuple[tuple[Surface, int], ...]


@dataclass(frozen=True)
class Run(EveryNoteAlike):
    """The state has the runs that the next stroke may go on with."""

    n: int
    start: Runs = ()

    def sees(self, stroke: Stroke) -> tuple[Surface, ...]:
        """Its surfaces."""
        return stroke.drums

    def step(self, state: Runs, index: int, stroke: Stroke) -> Runs | None:
        """One more on the same surface, or the first on another."""
        runs = []
        for surface in stroke.drums:
            # There are one or two: looking through them is quicker than by name.
            run = 1 + sum([before for other, before in state if other == surface])
            if run > self.n:
                return None
            runs.append((surface, run))
        return tuple(runs)
