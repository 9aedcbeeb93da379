"""A phrase: the fill at the end of several bars, and a smaller one half-way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.phrases import PHRASE_BARS, phrase_of
from rhythms.engine.rules.base import Choice, Field
from rhythms.engine.rules.json_reading import read_choice, read_number
from rhythms.engine.rules.reshaping import PHRASED, Reshaping

_BARS = tuple(Choice(str(bars), f"{bars} bars") for bars in PHRASE_BARS)
_MOST_BEATS = 4
_BEATS = ("no beat", "beat", "2 beats", "3 beats", "4 beats")


@dataclass(frozen=True)
class Phrase(Reshaping):
    """The fill ends ``bars`` bars; the last ``smaller`` beats of its rhythm end the first half.

    Groove goes on in between. Both are fills of the space: the rules hold for both.
    """

    name: ClassVar[str] = "phrase"
    title: ClassVar[str] = "A phrase with a smaller fill half-way"
    fields: ClassVar[tuple[Field, ...]] = (
        Field("bars", "The phrase has", "choice", _BARS, "4"),
        Field(
            "smaller",
            "Beats of the smaller fill",
            "number",
            default="1",
            least=0,
            most=_MOST_BEATS,
            help="The last beats of the rhythm, half-way; 0 for groove alone.",
        ),
    )
    stage: ClassVar[int] = PHRASED

    bars: int
    smaller: int

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Phrase:
        """Raises RuleError."""
        cls.check_keys(data)
        bars = read_choice(data, "bars", tuple(map(str, PHRASE_BARS)), "4")
        return cls(int(bars), read_number(data, "smaller", 0, _MOST_BEATS, 1))

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        return {"rule": self.name, "bars": str(self.bars), "smaller": self.smaller}

    def sentence(self) -> str:
        """``A phrase of 4 bars: the fill at its end, its last 2 beats half-way.``"""
        half_way = f", its last {_BEATS[self.smaller]} half-way" if self.smaller else ""
        return f"A phrase of {self.bars} bars: the fill at its end{half_way}."

    def reshaped(self, bar: Bar) -> Bar:
        """The whole phrase. Raises BarError."""
        return phrase_of(bar, self.bars, self.smaller)

    @property
    def unwritten(self) -> str:
        """Why the bar may not fit."""
        return "the bar is longer than half the phrase, or its fill no longer than the smaller one"
