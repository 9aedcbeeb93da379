"""Call and response: the bar is printed, the answer is the player's own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.turned import with_own_answer
from rhythms.engine.rules.reshaping import ANSWERED, Reshaping


@dataclass(frozen=True)
class OwnAnswer(Reshaping):
    """After the bar as many bars are left open: what the player makes there is taken as played."""

    name: ClassVar[str] = "own answer"
    title: ClassVar[str] = "Call and response"
    stage: ClassVar[int] = ANSWERED

    def sentence(self) -> str:
        """``After it, as long again is the player’s own answer.``"""
        return "After it, as long again is left open for the player’s own answer."

    def reshaped(self, bar: Bar) -> Bar:
        """The call, and nothing after it. Raises MeterError where that is too long."""
        return with_own_answer(bar)

    @property
    def unwritten(self) -> str:
        """Why there is no room."""
        return "call and answer together are too long"
