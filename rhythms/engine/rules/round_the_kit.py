"""Round the kit: along the drums in one direction."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import FAMILIES, Surface
from rhythms.engine.rules.base import Choice, Field
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher

DOWN, UP = "down", "up"
#: Round the kit as it is played: from the snare by the toms, high to low (common practice).
DRUMS = (Surface.SNARE, *FAMILIES["toms"])


@dataclass(frozen=True)
class RoundTheKit(Watcher):
    """The line goes along the drums and never back, over at least ``drums`` of them.

    ``way`` "down" is from the snare to the lowest tom, "up" the other way. Cymbals, bells and
    feet may come between. Two drums struck at once are both on the way: the line comes from the
    one and goes on from the other.
    """

    name: ClassVar[str] = "round the kit"
    title: ClassVar[str] = "Round the kit, down or up"
    fields: ClassVar[tuple[Field, ...]] = (
        Field(
            "way",
            "Along the drums",
            "choice",
            (Choice(DOWN, "down from the snare"), Choice(UP, "up to the snare")),
            DOWN,
        ),
        Field(
            "drums", "Drums on the way, at least", "number", default="3", least=2, most=len(DRUMS)
        ),
    )

    way: str
    drums: int

    def sentence(self) -> str:
        """``Down the kit over at least 3 drums, and never back.``"""
        return f"{self.way.capitalize()} the kit over at least {self.drums} drums, and never back."

    def lacks(self, setting: Setting) -> str:
        """``this kit has 2 drums``."""
        there = len(self._on(setting))
        return (
            "" if there >= self.drums else f"this kit has {there} drum{'' if there == 1 else 's'}"
        )

    def automaton(self, setting: Setting) -> OneWay:
        """The drum struck last, and how many came before it."""
        return OneWay(self._on(setting), self.drums)

    def _on(self, setting: Setting) -> tuple[Surface, ...]:
        there = tuple(drum for drum in DRUMS if drum in setting.kit.surfaces)
        return there if self.way == DOWN else there[::-1]


@dataclass(frozen=True)
class OneWay(EveryNoteAlike):
    """The state is the place of the drum struck last, and how many drums were struck."""

    drums: tuple[Surface, ...]
    enough: int
    start: tuple[int, int] = (-1, 0)

    def sees(self, stroke: Stroke) -> tuple[int, ...]:
        """The places of the drums it is on, along the way."""
        return tuple(place for place, drum in enumerate(self.drums) if drum in stroke.drums)

    def step(self, state: tuple[int, int], index: int, stroke: Stroke) -> tuple[int, int] | None:
        """The same drum or later ones."""
        last, struck = state
        for place in self.sees(stroke):
            if place < last:
                return None
            last, struck = place, min(self.enough, struck + (place > last))
        return last, struck

    def accepts(self, state: tuple[int, int]) -> bool:
        """Only with drums enough."""
        return state[1] >= self.enough
