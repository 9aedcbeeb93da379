"""Play it backwards: the rhythm from its end to its start."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.turned import backwards
from rhythms.engine.rules.reshaping import Reshaping


@dataclass(frozen=True)
class PlayBackwards(Reshaping):
    """The last note or rest of the bar comes first, the first one last."""

    name: ClassVar[str] = "play backwards"
    title: ClassVar[str] = "Play it backwards"

    def sentence(self) -> str:
        """``The rhythm is played backwards, from its end to its start.``"""
        return "The rhythm is played backwards, from its end to its start."

    def reshaped(self, bar: Bar) -> Bar:
        """From its end to its start. Raises BarError."""
        return backwards(bar)
