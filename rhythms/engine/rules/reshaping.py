"""What rules share that change the rhythm itself before any stroke is chosen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.rules.base import Bound
from rhythms.engine.rules.own_fields import OwnFields
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import Never

#: When a bar is changed: first its rhythm, then the phrase it stands in, then what follows.
RHYTHM, PHRASED, ANSWERED = range(3)


@dataclass(frozen=True)
class Reshaping(OwnFields):
    """``reshaped`` makes another rhythm; where that cannot be written there are no fills."""

    purpose: ClassVar[str] = "the rhythm"
    stage: ClassVar[int] = RHYTHM

    def lacks(self, setting: Setting) -> str:
        """Why the rhythm stayed as it is."""
        return self.unwritten if self in setting.unwritten else ""

    @property
    def unwritten(self) -> str:
        """What is said where the rhythm cannot be written."""
        return "the rhythm that comes of it cannot be written in notes"

    def bind(self, setting: Setting) -> Bound:
        """Every stroke stays open, or no bar can be played."""
        return Bound(automaton=Never()) if self.lacks(setting) else Bound()
