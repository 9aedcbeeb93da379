"""How hard a stroke is: ghost, normal or accent, by its velocity."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

#: Of the middle velocity: a ghost is below the first and this soft, an accent above the second.
_GHOST, _SOFT, _ACCENT, _LOUD = 0.6, 45, 1.25, 100


@dataclass(frozen=True)
class TouchLevels:
    """Where ghosts end and accents begin; no difference where all sound alike."""

    ghost: float
    accent: float

    @classmethod
    def of(cls, velocities: Sequence[int]) -> TouchLevels:
        """From the middle velocity of a take."""
        if len(set(velocities)) < 3:
            return cls(0, 128)
        middle = median(velocities)
        return cls(min(_SOFT, _GHOST * middle), max(_LOUD, _ACCENT * middle))

    @property
    def varies(self) -> bool:
        """Whether the strokes differ in touch at all."""
        return self.accent <= 127

    def dynamic(self, velocity: int) -> str:
        """``ghost``, ``normal`` or ``accent``."""
        if velocity <= self.ghost:
            return "ghost"
        return "accent" if velocity >= self.accent else "normal"
