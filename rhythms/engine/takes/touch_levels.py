"""How hard a stroke is: ghost, normal or accent, by its velocity."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

from rhythms.engine.kits.surfaces import FEET, Surface
from rhythms.engine.takes.hits import TimedHit

#: Of the middle velocity: a ghost is below the first and this soft, an accent above the second.
_GHOST, _SOFT, _ACCENT, _LOUD = 0.6, 45, 1.25, 100


@dataclass(frozen=True)
class TouchLevels:
    """Where ghosts end and accents begin; no difference where all sound alike.

    ``of_feet`` are those of the feet where they are others: pedals send what they like, and a bass
    drum that is softer than the hands throughout is no ghost.
    """

    ghost: float
    accent: float
    of_feet: TouchLevels | None = None

    @classmethod
    def of(cls, velocities: Sequence[int]) -> TouchLevels:
        """From the middle velocity of strokes that are alike."""
        if len(set(velocities)) < 3:
            return cls(0, 128)
        middle = median(velocities)
        return cls(min(_SOFT, _GHOST * middle), max(_LOUD, _ACCENT * middle))

    @classmethod
    def of_take(cls, hits: Sequence[TimedHit]) -> TouchLevels:
        """From the middle velocity of all strokes, and for the feet from theirs."""
        feet = cls.of([hit.velocity for hit in hits if hit.surface in FEET])
        return replace(cls.of([hit.velocity for hit in hits]), of_feet=feet)

    @property
    def varies(self) -> bool:
        """Whether the strokes differ in touch at all."""
        return self.accent <= 127

    def on(self, surface: Surface) -> TouchLevels:
        """Those of a surface, which are those of the feet on what feet strike."""
        return self.of_feet if self.of_feet and surface in FEET else self

    def dynamic(self, velocity: int) -> str:
        """``ghost``, ``normal`` or ``accent``."""
        if velocity <= self.ghost:
            return "ghost"
        return "accent" if velocity >= self.accent else "normal"
