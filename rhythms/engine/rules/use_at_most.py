"""Use at most so many surfaces."""

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
class UseAtMost(Watcher):
    """At most ``surfaces`` different surfaces are struck, feet included, one by one or at once."""

    name: ClassVar[str] = "use at most"
    title: ClassVar[str] = "Keep to a few surfaces"
    fields: ClassVar[tuple[Field, ...]] = (
        Field(
            "surfaces",
            "Surfaces in the fill, at most",
            "number",
            default="4",
            most=len(KIT_SURFACES),
        ),
    )

    surfaces: int

    def sentence(self) -> str:
        """``Use at most 4 surfaces.``"""
        surfaces = "surface" if self.surfaces == 1 else "surfaces"
        return f"Use at most {self.surfaces} {surfaces}."

    def automaton(self, setting: Setting) -> NotTooMany:
        """The surfaces visited so far."""
        return NotTooMany(self.surfaces)


@dataclass(frozen=True)
class NotTooMany(EveryNoteAlike):
    """The state is the set of surfaces visited."""

    surfaces: int
    start: Visited = frozenset()

    def sees(self, stroke: Stroke) -> tuple[Surface, ...]:
        """Its surfaces."""
        return stroke.drums

    def step(self, state: Visited, index: int, stroke: Stroke) -> Visited | None:
        """More surfaces, while there is room."""
        visited = state.union(stroke.drums)
        return visited if len(visited) <= self.surfaces else None
