"""Hands apart: no hand strikes where the other one is, other than on the snare."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import HANDS, Stroke
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher

#: Where the right and the left hand struck last.
Hands = tuple[Surface | None, Surface | None]


@dataclass(frozen=True)
class HandsApart(Watcher):
    """A hand never strikes the surface where the other hand is, the snare excepted.

    A hand is where it struck last.
    """

    name: ClassVar[str] = "hands apart"
    title: ClassVar[str] = "Hands apart"

    def sentence(self) -> str:
        """``A hand never strikes where the other one struck last, except on the snare.``"""
        return "A hand never strikes where the other one struck last, except on the snare."

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

    def sees(self, stroke: Stroke) -> tuple[str | None, Surface] | None:
        """Hand and surface; feet are alike."""
        return seen_of_a_hand(stroke)

    def step(self, state: Hands, index: int, stroke: Stroke) -> Hands | None:
        """A foot changes nothing; a hand may not follow the other hand."""
        if stroke.by_foot:
            return state
        if stroke.drum is not Surface.SNARE and stroke.drum == others_place(state, stroke):
            return None
        return moved(state, stroke)


def others_place(state: Hands, stroke: Stroke) -> Surface | None:
    """Where the hand that does not play ``stroke`` struck last."""
    return state[1 - HANDS.index(str(stroke.limb))]


def seen_of_a_hand(stroke: Stroke) -> tuple[str | None, Surface] | None:
    """All that rules about where hands are tell apart; None for a foot."""
    return None if stroke.by_foot else (stroke.limb, stroke.drum)


def moved(state: Hands, stroke: Stroke) -> Hands:
    """Where the hands are after ``stroke``."""
    right, left = state
    return (stroke.drum, left) if stroke.limb == HANDS[0] else (right, stroke.drum)
