"""What rules share that change the rhythm itself before any stroke is chosen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Bound
from rhythms.engine.rules.own_fields import OwnFields
from rhythms.engine.rules.setting import Setting

_UNWRITTEN = "the rhythm that comes of it cannot be written in notes"


@dataclass(frozen=True)
class Reshaping(OwnFields):
    """``reshaped`` makes another rhythm; where that cannot be written there are no fills."""

    purpose: ClassVar[str] = "the rhythm"

    def lacks(self, setting: Setting) -> str:
        """Why the rhythm stayed as it is."""
        return _UNWRITTEN if self in setting.unwritten else ""

    def bind(self, setting: Setting) -> Bound:
        """Every stroke stays open, or none does."""

        def none(_index: int, _strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            return ()

        return Bound(none) if self.lacks(setting) else Bound()
