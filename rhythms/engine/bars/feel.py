"""How two notes share their time: straight, or swung, the first longer than the second.

The number is the share of a pair that its first note takes, in percent. Drummers' ride cymbals go
from 1:1 at fast tempos to 3.5:1 (78 %) at slow ones, and 2:1 is met at one tempo alone (Friberg and
Sundström 2002, Music Perception 19); each drummer moves it with the tempo (Honing and de Haas 2008,
Music Perception 25). The words for it are common practice; what number light has is a proposal.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.meter import Meter
from rhythms.engine.errors import EngineError

#: In percent. Less would be short before long; more than 3.5:1 nobody was seen to play.
LEAST, MOST = 50, 80
WORDS = {50: "straight", 58: "light", 67: "triplet", 75: "hard"}
EIGHTHS, SIXTEENTHS = "eighths", "16ths"
#: By the notes that swing, in quarters: what two of them last.
PAIRS = {EIGHTHS: Fraction(1), SIXTEENTHS: Fraction(1, 2)}


class FeelError(EngineError):
    """A swing that is no number from LEAST to MOST, or of notes that do not swing."""

    code = "feel"

    def __init__(self, message: str, *, field: str = "swing") -> None:
        super().__init__(message, field=field)


@dataclass(frozen=True)
class Feel:
    """``swing`` in percent of a pair; ``unit`` says which notes go in pairs, EIGHTHS or SIXTEENTHS.

    Raises FeelError.
    """

    swing: int = 50
    unit: str = EIGHTHS

    def __post_init__(self) -> None:
        if self.unit not in PAIRS:
            raise FeelError(f"“{self.unit}” do not swing: eighths do, or 16ths.", field="unit")
        if not isinstance(self.swing, int) or not LEAST <= self.swing <= MOST:
            raise FeelError(_wanted(f"A swing of {self.swing} % cannot be played"))

    @classmethod
    def parse(cls, text: str, unit: str = EIGHTHS) -> Feel:
        """``"67"``, ``"67 %"`` or ``"triplet"`` -> Feel(67). Raises FeelError."""
        typed = text.strip().removesuffix("%").strip().lower().removesuffix(" swing")
        named = next((swing for swing, word in WORDS.items() if word == typed), None)
        if named is not None:
            return cls(named, unit)
        if not (typed.removeprefix("-").isdecimal() and len(typed) < 10):
            raise FeelError(_wanted(f"“{text.strip()}” is not a swing"))
        return cls(int(typed), unit)

    @property
    def is_straight(self) -> bool:
        """Whether it sounds as it is written."""
        return self.swing == LEAST

    @property
    def share(self) -> Fraction:
        """Of a pair, what its first note takes: 2/3 for a triplet, and else so many hundredths."""
        return Fraction(2, 3) if WORDS.get(self.swing) == "triplet" else Fraction(self.swing, 100)

    @property
    def words(self) -> str:
        """``straight``, ``light swing``, ``62 % swing``; ``hard swing of the 16ths``."""
        if self.is_straight:
            return WORDS[self.swing]
        of = "" if self.unit == EIGHTHS else f" of the {self.unit}"
        return f"{WORDS.get(self.swing, f'{self.swing} %')} swing{of}"

    @property
    def in_full(self) -> str:
        """The words with their number: ``triplet swing (67 %)``."""
        number = "" if self.is_straight or self.swing not in WORDS else f" ({self.swing} %)"
        return self.words + number

    def swings_in(self, meter: Meter) -> bool:
        """Whether such notes swing there: where eighths are counted, they are the pulse."""
        return not (self.unit == EIGHTHS and meter.in_eighths)

    def in_meter(self, meter: Meter) -> Feel:
        """The feel as it is heard there: STRAIGHT where its notes do not swing."""
        return STRAIGHT if self.is_straight or not self.swings_in(meter) else self

    def warp(self, meter: Meter, onsets: Iterable[Fraction]) -> Warp:
        """Where things sound that are written at these onsets of a bar in this meter."""
        feel = self.in_meter(meter)
        pair = PAIRS[feel.unit]
        return Warp(feel.share, pair, tuplets(onsets, pair))

    def warp_of(self, bar: Bar) -> Warp:
        """Where the notes and rests of a bar sound."""
        return self.warp(bar.meter, [note.onset for note in bar.notes])

    def strokes_of(self, bar: Bar) -> tuple[Fraction, ...]:
        """When each sounded note of a bar sounds, in quarters from its bar line."""
        return _strokes_of(self.in_meter(bar.meter), bar)

    def to_json(self) -> dict[str, Any]:
        """``{"swing": 67, "unit": "eighths"}``."""
        return {"swing": self.swing, "unit": self.unit}

    @classmethod
    def from_json(cls, data: Mapping[str, Any] | None) -> Feel:
        """The inverse of ``to_json``; STRAIGHT for nothing. Raises FeelError."""
        return cls(data["swing"], data["unit"]) if data else STRAIGHT


@dataclass(frozen=True)
class Warp:
    """From written to sounding time in a bar, in quarters from its bar line, and back.

    In each ``pair`` two straight lines meet where its second note sounds: pairs begin and end where
    they are written, and all between keeps its order. ``tuplets`` are pairs, by number, that are
    divided otherwise and sound as written.
    """

    share: Fraction
    pair: Fraction
    tuplets: Collection[int] = frozenset()

    def sounding(self, onset: Fraction) -> Fraction:
        """When something sounds that is written at ``onset``."""
        return self._moved(onset, Fraction(1, 2), self.share)

    def written(self, onset: Fraction) -> Fraction:
        """The inverse of ``sounding``."""
        return self._moved(onset, self.share, Fraction(1, 2))

    def _moved(self, onset: Fraction, old: Fraction, new: Fraction) -> Fraction:
        if old == new:
            return onset
        number, inside = divmod(onset, self.pair)
        if number in self.tuplets:
            return onset
        part = inside / self.pair
        moved = part * new / old if part <= old else 1 - (1 - part) * (1 - new) / (1 - old)
        return (number + moved) * self.pair


STRAIGHT = Feel()


@lru_cache(maxsize=256)
def _strokes_of(feel: Feel, bar: Bar) -> tuple[Fraction, ...]:
    warp = feel.warp_of(bar)
    return tuple(warp.sounding(note.onset) for note in bar.sounded)


def named_feels(meter: Meter, unit: str | None = None) -> tuple[Feel, ...]:
    """Every feel that has a word in this meter, straight first; of one unit where it is given."""
    swung = [Feel(swing, of) for of in PAIRS for swing in WORDS if swing > LEAST]
    return (
        STRAIGHT,
        *(feel for feel in swung if unit in (None, feel.unit) and feel.swings_in(meter)),
    )


def tuplets(onsets: Iterable[Fraction], pair: Fraction) -> frozenset[int]:
    """The pairs, by number, with an onset that halving beats never comes to."""
    others = (onset for onset in onsets if onset.denominator & (onset.denominator - 1))
    return frozenset(int(onset // pair) for onset in others)


def _wanted(wrong: str) -> str:
    known = ", ".join(f"{swing} ({word})" for swing, word in WORDS.items())
    return f"{wrong}: give a number from {LEAST} to {MOST}, such as {known}."
