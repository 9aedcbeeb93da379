"""Start on the "&", "e" or "a": the rhythm begins later, and its end is left off."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.turned import begun_later
from rhythms.engine.rules.base import Choice, Field
from rhythms.engine.rules.reshaping import Reshaping

_BY = {"&": Fraction(1, 2), "e": Fraction(1, 4), "a": Fraction(3, 4)}
_WORDS = {"&": "an eighth", "e": "a 16th", "a": "a dotted eighth"}


@dataclass(frozen=True)
class StartLater(Reshaping):
    """What stood on *one* stands on ``on``; what passes the bar line is left off.

    The landing stays on *one*.
    """

    name: ClassVar[str] = "start later"
    title: ClassVar[str] = "Start on the &"
    fields: ClassVar[tuple[Field, ...]] = (
        Field(
            "on",
            "The rhythm starts",
            "choice",
            tuple(Choice(on, f"on the {on}, {_WORDS[on]} later") for on in _BY),
            "&",
            help="What passes the bar line is left off.",
        ),
    )

    on: str = "&"

    def sentence(self) -> str:
        """``The rhythm starts on the &, an eighth later, and its end is left off.``"""
        return f"The rhythm starts on the {self.on}, {_WORDS[self.on]} later; its end is left off."

    def reshaped(self, bar: Bar) -> Bar:
        """The same rhythm later. Raises BarError."""
        return begun_later(bar, _BY[self.on])
