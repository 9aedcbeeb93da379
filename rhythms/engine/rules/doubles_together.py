"""Doubles together: one hand's two strokes in a row stay on one surface."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher


@dataclass(frozen=True)
class DoublesTogether(Watcher):
    """Two strokes in a row by one hand are on one surface."""

    name: ClassVar[str] = "doubles together"
    title: ClassVar[str] = "Doubles on one surface"

    def sentence(self) -> str:
        """``Both strokes of a double are on one surface.``"""
        return "Both strokes of a double are on one surface."

    @property
    def speaks_of_hands(self) -> bool:
        """It leaves both hands open, and counts them."""
        return True

    def automaton(self, setting: Setting) -> Double:
        """The stroke before."""
        return Double()


@dataclass(frozen=True)
class Double(EveryNoteAlike):
    """The state is the limb and surface of the stroke before."""

    start: tuple[str | None, Surface | None] = (None, None)

    def sees(self, stroke: Stroke) -> tuple[str | None, Surface]:
        """Limb and surface."""
        return stroke.limb, stroke.drum

    def step(
        self, state: tuple[str | None, Surface | None], index: int, stroke: Stroke
    ) -> tuple[str | None, Surface | None] | None:
        """The same hand stays where it is; feet are free."""
        limb, surface = state
        if not stroke.by_foot and stroke.limb == limb and stroke.drum != surface:
            return None
        return stroke.limb, stroke.drum
