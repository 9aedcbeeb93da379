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
    """No two strokes in a row within one family: snare, toms, cymbals, bells, feet."""

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
    """The state is the family struck last, "" before the first."""

    start: str = ""

    def sees(self, stroke: Stroke) -> str:
        """Its family."""
        return family(stroke.surface)

    def step(self, state: str, index: int, stroke: Stroke) -> str | None:
        """Another family than before."""
        now = family(stroke.surface)
        return None if now == state else now
