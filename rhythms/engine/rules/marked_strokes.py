"""What rules count in strokes: a dynamic, an ornament, both hands on two surfaces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import Surface


class Mark(Protocol):
    """Whether a stroke is marked. Equal marks are the same one."""

    def __call__(self, stroke: Stroke) -> bool:
        """Whether it is."""

    def __hash__(self) -> int:
        """Marks are told apart by what they ask for."""


@dataclass(frozen=True)
class InDynamic:
    """All hands strike in it; of feet alone the first does."""

    dynamic: str

    def __call__(self, stroke: Stroke) -> bool:
        """Feet under the hands have no say."""
        beside = (hit for hit in stroke.beside if not hit.by_foot)
        return stroke.dynamic == self.dynamic and all(hit.dynamic == self.dynamic for hit in beside)


@dataclass(frozen=True)
class WithOrnament:
    """It is one of these."""

    ornament: str

    def __call__(self, stroke: Stroke) -> bool:
        """Only a hand that strikes alone has one."""
        return stroke.ornament == self.ornament


@dataclass(frozen=True)
class OnPair:
    """Both hands strike the two surfaces of one of the ``pairs``, which have them in order."""

    pairs: frozenset[tuple[Surface, ...]]

    def __call__(self, stroke: Stroke) -> bool:
        """Feet under the hands have no say."""
        return bool(stroke.beside) and stroke.hand_surfaces in self.pairs
