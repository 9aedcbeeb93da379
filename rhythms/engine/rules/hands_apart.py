"""Hands apart: no hand strikes where the other one is, other than on the snare."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from rhythms.engine.fills.fill import HANDS, Stroke
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface, base
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher

#: Where the right and the left hand struck last.
Hands = tuple[Surface | None, Surface | None]
#: The hands of one stroke and their surfaces.
Struck = tuple[tuple[str | None, Surface], ...]


@dataclass(frozen=True)
class HandsApart(Watcher):
    """A hand never strikes the surface where the other hand is, the snare excepted.

    A hand is where it struck last; of two at once each is where it strikes, so that they are apart.
    """

    name: ClassVar[str] = "hands apart"
    title: ClassVar[str] = "Hands apart"

    def sentence(self) -> str:
        """``A hand never strikes where the other one struck last, except on the snare.``"""
        return "A hand never strikes where the other one struck last, except on the snare."

    def sentence_on(self, kit: Kit) -> str:
        """Without the exception on a kit without a snare."""
        if kit.has(Surface.SNARE):
            return self.sentence()
        return "A hand never strikes where the other one struck last."

    @property
    def speaks_of_hands(self) -> bool:
        """It leaves both hands open, and counts them."""
        return True

    def automaton(self, setting: Setting) -> Apart:
        """Where each hand struck last."""
        return Apart()


@dataclass(frozen=True)
class Apart(EveryNoteAlike):
    """The state is the surface each hand struck last."""

    start: Hands = (None, None)

    def sees(self, stroke: Stroke) -> Struck:
        """Hands and surfaces; feet are alike."""
        return struck_by_hands(stroke)

    def step(self, state: Hands, index: int, stroke: Stroke) -> Hands | None:
        """A foot changes nothing; a hand may not follow the other hand."""
        right, left = moved(state, stroke)
        return None if right == left not in (None, Surface.SNARE) else (right, left)


@lru_cache(maxsize=4096)
def struck_by_hands(stroke: Stroke) -> Struck:
    """All that rules about where hands are tell apart; nothing for feet alone."""
    if stroke.by_foot:
        return ()
    first = stroke.limb, base(stroke.surface)
    return (
        (first, (stroke.beside[0].limb, base(stroke.beside[0].surface)))
        if stroke.both_hands
        else (first,)
    )


def moved(state: Hands, stroke: Stroke) -> Hands:
    """Where the hands are after ``stroke``."""
    right, left = state
    for hand, surface in struck_by_hands(stroke):
        right, left = (surface, left) if hand == HANDS[0] else (right, surface)
    return right, left
