"""Alternate families: snare, toms, cymbals, bells and feet in turn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import family
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher


@dataclass(frozen=True)
class AlternateFamilies(Watcher):
    """No two strokes in a row within one family: snare, toms, cymbals, bells, feet.

    What is struck at once may be of one family; of all its families the next stroke has none.
    """

    name: ClassVar[str] = "alternate families"
    title: ClassVar[str] = "Alternate families"

    def sentence(self) -> str:
        """``Each stroke changes family: snare, toms, cymbals, bells, feet.``"""
        return "Each stroke changes family: snare, toms, cymbals, bells, feet."

    def automaton(self, setting: Setting) -> Changing:
        """The family struck last."""
        return Changing()


@dataclass(frozen=True)
class Changing(EveryNoteAlike):
    """The state has the families struck last."""

    start: frozenset[str] = frozenset()

    def sees(self, stroke: Stroke) -> frozenset[str]:
        """Its families."""
        return frozenset(map(family, stroke.surfaces))

    def step(self, state: frozenset[str], index: int, stroke: Stroke) -> frozenset[str] | None:
        """Other families than before."""
        now = self.sees(stroke)
        return now if now.isdisjoint(state) else None
