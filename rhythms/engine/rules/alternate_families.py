"""Alternate families: snare, toms, cymbals, bells and feet in turn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface, family
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

    def sentence_on(self, kit: Kit) -> str:
        """The families of which this kit has something; one drum or cymbal by its name."""
        has: dict[str, list[Surface]] = {}
        for surface in kit.surfaces:
            has.setdefault(family(surface), []).append(surface)
        said = [str(on[0]) if len(on) == 1 else name for name, on in has.items()]
        return f"Each stroke changes family: {', '.join(said)}."

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
