"""Visit at least so many surfaces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import KIT_SURFACES, Surface
from rhythms.engine.rules.base import Field
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher

Visited = frozenset[Surface]


@dataclass(frozen=True)
class VisitAtLeast(Watcher):
    """At least ``surfaces`` different surfaces are struck, feet included, one by one or at once."""

    name: ClassVar[str] = "visit at least"
    title: ClassVar[str] = "Get round the kit"
    fields: ClassVar[tuple[Field, ...]] = (
        Field(
            "surfaces",
            "Surfaces in the fill, at least",
            "number",
            default="4",
            most=len(KIT_SURFACES),
        ),
    )

    surfaces: int

    def sentence(self) -> str:
        """``Visit at least 4 surfaces.``"""
        surfaces = "surface" if self.surfaces == 1 else "surfaces"
        return f"Visit at least {self.surfaces} {surfaces}."

    def lacks(self, setting: Setting) -> str:
        """Notes, or surfaces for the hands, enough for it."""
        notes, surfaces = len(setting.bar.sounded), len(setting.kit.hand_surfaces)
        if self.surfaces > notes:
            return f"this bar has only {notes} note{'' if notes == 1 else 's'}"
        if self.surfaces > surfaces:
            return (
                f"this kit has only {surfaces} surface{'' if surfaces == 1 else 's'} for the hands"
            )
        return ""

    def automaton(self, setting: Setting) -> Enough:
        """The surfaces visited so far."""
        return Enough(self.surfaces)


@dataclass(frozen=True)
class Enough(EveryNoteAlike):
    """The state is the set of surfaces visited, until there are enough of them."""

    surfaces: int
    start: Visited = frozenset()
    enough: str = "enough"

    def sees(self, stroke: Stroke) -> tuple[Surface, ...]:
        """Its surfaces."""
        return stroke.drums

    def step(self, state: Visited | str, index: int, stroke: Stroke) -> Visited | str:
        """More surfaces, or enough."""
        if isinstance(state, str):
            return state
        visited = state.union(stroke.drums)
        return visited if len(visited) < self.surfaces else self.enough

    def accepts(self, state: Visited | str) -> bool:
        """Only with enough."""
        return state == self.enough
