"""Doubles together: one hand's two strokes in a row stay on one surface."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.hands_apart import Struck, struck_by_hands
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher


@dataclass(frozen=True)
class DoublesTogether(Watcher):
    """Two strokes in a row by one hand are on one surface.

    Both hands at once are a stroke of each hand: the hand that strikes next stays where it is.
    """

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
    """The state has the hands of the stroke before and their surfaces; none after a foot."""

    start: Struck = ()

    def sees(self, stroke: Stroke) -> Struck:
        """Hands and surfaces; feet are alike."""
        return struck_by_hands(stroke)

    def step(self, state: Struck, index: int, stroke: Stroke) -> Struck | None:
        """The same hand stays where it is; feet are free."""
        before, now = dict(state), struck_by_hands(stroke)
        stays = all(before.get(hand, surface) == surface for hand, surface in now)
        return now if stays else None
