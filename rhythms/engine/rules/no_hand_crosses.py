"""No hand crosses the other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import HANDS, Stroke
from rhythms.engine.kits.kit_layout import crosses
from rhythms.engine.rules.hands_apart import Hands, Struck, moved, struck_by_hands
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher


@dataclass(frozen=True)
class NoHandCrosses(Watcher):
    """No hand strikes on the far side of where the other hand struck last.

    Of two hands at once neither strikes on the far side of where the other one does.
    """

    name: ClassVar[str] = "no hand crosses"
    title: ClassVar[str] = "No crossed hands"

    def sentence(self) -> str:
        """``The hands never cross.``"""
        return "The hands never cross."

    @property
    def speaks_of_hands(self) -> bool:
        """It leaves both hands open, and counts them."""
        return True

    def automaton(self, setting: Setting) -> Uncrossed:
        """Where each hand struck last, on this kit."""
        return Uncrossed(setting.kit.left_handed)


@dataclass(frozen=True)
class Uncrossed(EveryNoteAlike):
    """The state is the surface each hand struck last."""

    left_handed: bool
    start: Hands = (None, None)

    def sees(self, stroke: Stroke) -> Struck:
        """Hands and surfaces; feet are alike."""
        return struck_by_hands(stroke)

    def step(self, state: Hands, index: int, stroke: Stroke) -> Hands | None:
        """A foot changes nothing; a hand stays on its side of the other."""
        right, left = moved(state, stroke)
        if right and left and crosses(HANDS[0], right, left, left_handed=self.left_handed):
            return None
        return right, left
