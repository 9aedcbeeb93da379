"""What each fill has some of: strokes a beat, drums, strokes on the toms …

Said as a verb of many with a place for how much: ``{number}``, or ``{share}`` for a part of
something that can be counted.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from statistics import fmean

from rhythms.engine.bars.bar import Bar
from rhythms.engine.comfort.hand_moves import Pair, hand_moves
from rhythms.engine.comfort.traits import Trait
from rhythms.engine.fills.fill import Fill, Hit, Stroke
from rhythms.engine.kits.surfaces import FAMILIES, Surface, base

_TOMS = FAMILIES["toms"]
_CYMBALS = (*FAMILIES["cymbals"], *FAMILIES["bells"])
_OPEN = (Surface.OPEN_HI_HAT, Surface.HALF_OPEN_HI_HAT)
#: Fewer strokes, or a shorter stretch in quarters, have no density.
_LEAST_STROKES, _LEAST_SPAN = 3, Fraction(1)
#: How a beat is divided, by the denominators of its places in quarters.
_THIRDS, _FINER = {3}, {5, 6, 8, 12, 24}


@dataclass(frozen=True)
class _Hands:
    """A fill as its amounts are counted: what the hands strike, and when, in quarters."""

    fill: Fill

    @cached_property
    def strokes(self) -> list[tuple[Fraction, Stroke]]:
        notes = zip(self.fill.bar.sounded, self.fill.strokes, strict=True)
        return [(note.onset, stroke) for note, stroke in notes if not stroke.by_foot]

    @cached_property
    def onsets(self) -> list[Fraction]:
        return [onset for onset, _ in self.strokes]

    @cached_property
    def hits(self) -> list[Hit]:
        return [hit for _, stroke in self.strokes for hit in stroke.hand_hits]

    @cached_property
    def drums(self) -> list[Surface]:
        return [base(one) for _, stroke in self.strokes for one in stroke.hand_surfaces]

    @cached_property
    def moves(self) -> list[Pair]:
        return hand_moves(self.fill)

    @cached_property
    def beats(self) -> list[list[Fraction]]:
        """The places struck in each quarter that is struck."""
        found: dict[int, list[Fraction]] = {}
        for onset in self.onsets:
            found.setdefault(onset.__floor__(), []).append(onset % 1)
        return list(found.values())

    @property
    def span(self) -> Fraction:
        """From the first stroke to the last, in quarters."""
        return self.onsets[-1] - self.onsets[0]


def _density(hands: _Hands) -> float | None:
    if len(hands.onsets) < _LEAST_STROKES or hands.span < _LEAST_SPAN:
        return None
    return float((len(hands.onsets) - 1) / hands.span)


def _length(hands: _Hands) -> float:
    return float(hands.span)


def _divided(places: set[int]) -> Callable[[_Hands], float]:
    """The part of the beats struck that are divided so."""
    return lambda hands: fmean(
        any(place.denominator in places for place in beat) for beat in hands.beats
    )


def _on(surfaces: Sequence[Surface]) -> Callable[[_Hands], float]:
    return lambda hands: sum(drum in surfaces for drum in hands.drums) / len(hands.drums)


def _colours(hands: _Hands) -> float:
    return float(len(set(hands.drums)))


def _open(hands: _Hands) -> float | None:
    hats = [hit.surface in _OPEN for hit in hands.hits if base(hit.surface) is Surface.HI_HAT]
    return fmean(hats) if hats else None


def _accents(hands: _Hands) -> float:
    return fmean(hit.dynamic == "accent" for hit in hands.hits)


def _bass_between(hands: _Hands) -> float:
    """Of all that is struck, what the bass drum strikes alone before the hands' last stroke."""
    if len(hands.onsets) < _LEAST_STROKES:
        return 0.0
    return fmean(
        stroke.by_foot and Surface.BASS_DRUM in stroke.surfaces and note.onset < hands.onsets[-1]
        for note, stroke in zip(hands.fill.bar.sounded, hands.fill.strokes, strict=True)
    )


def _hat_foot(hands: _Hands) -> float:
    """The part of the quarters, from the first stroke on, in which the hi-hat foot strikes."""
    by_foot = {
        note.onset.__floor__()
        for note, stroke in zip(hands.fill.bar.sounded, hands.fill.strokes, strict=True)
        if Surface.HI_HAT_FOOT in stroke.surfaces
    }
    quarters = range(hands.onsets[0].__floor__(), hands.onsets[-1].__floor__() + 1)
    return fmean(quarter in by_foot for quarter in quarters)


def _together(hands: _Hands) -> float:
    return fmean(stroke.both_hands for _, stroke in hands.strokes)


def _ornaments(hands: _Hands) -> float:
    return fmean(stroke.ornament is not None for _, stroke in hands.strokes)


def _stays(hands: _Hands) -> float | None:
    return fmean(a == b for a, b in hands.moves) if hands.moves else None


def _down(hands: _Hands) -> float | None:
    """Of the moves from one tom to another, those that go down."""
    places = [(_TOMS.index(a), _TOMS.index(b)) for a, b in hands.moves if {a, b} <= set(_TOMS)]
    ways = [a < b for a, b in places if a != b]
    return fmean(ways) if ways else None


def _again(hands: _Hands) -> float | None:
    """Of the strokes a beat after another one, those on the same drum."""
    strokes = hands.fill.strokes
    same = [
        base(strokes[before].surface) is base(strokes[note].surface)
        for note, before in _a_beat_apart(hands.fill.bar)
        if not (strokes[before].by_foot or strokes[note].by_foot)
    ]
    return fmean(same) if same else None


@lru_cache(maxsize=256)
def _a_beat_apart(bar: Bar) -> list[tuple[int, int]]:
    """The places of the notes that sound a quarter after another one, and of that one."""
    places = {note.onset: place for place, note in enumerate(bar.sounded)}
    return [(place, places[onset - 1]) for onset, place in places.items() if onset - 1 in places]


#: Each amount by what it is said with.
AMOUNTS: dict[Trait, Callable[[_Hands], float | None]] = {
    Trait("density", "play {number} strokes a beat"): _density,
    Trait("length", "go on for {number} beats"): _length,
    Trait("32nds", "play finer than 16ths in {share} beats"): _divided(_FINER),
    Trait("triplets", "play triplets in {share} beats"): _divided(_THIRDS),
    Trait("drums", "use {number} drums and cymbals a fill"): _colours,
    Trait("surfaces", "put {share} strokes on the toms"): _on(_TOMS),
    Trait("surfaces", "put {share} strokes on the floor tom"): _on((Surface.FLOOR_TOM,)),
    Trait("surfaces", "put {share} strokes on the hi-hat"): _on((Surface.HI_HAT,)),
    Trait("surfaces", "put {share} strokes on cymbals and bells"): _on(_CYMBALS),
    Trait("open", "open the hi-hat for {share} strokes on it"): _open,
    Trait("accents", "accent {share} strokes"): _accents,
    Trait("bass drum", "play the bass drum alone between the hands in {share} strokes"): (
        _bass_between
    ),
    Trait("hi-hat foot", "step the hi-hat in {share} beats"): _hat_foot,
    Trait("together", "strike two drums at once in {share} strokes"): _together,
    Trait("ornaments", "play flams, drags and buzzes in {share} strokes"): _ornaments,
    Trait("stays", "stay on the same drum in {share} moves"): _stays,
    Trait("direction", "go down in {share} moves between toms"): _down,
    Trait("repetition", "strike the drum of a beat ago again in {share} strokes"): _again,
}
#: How far strokes are from steady, in ms; a take has it, a fill as such has not.
STEADY = Trait("timing", "scatter by {number} ms")


def amounts(fill: Fill, kinds: Container[str] | None = None) -> Iterator[tuple[Trait, float]]:
    """How much of each a fill has, of all ``kinds`` or some; what it cannot have is left out."""
    hands = _Hands(fill)
    if not hands.strokes:
        return
    for trait, measure in AMOUNTS.items():
        value = measure(hands) if kinds is None or trait.kind in kinds else None
        if value is not None:
            yield trait, value
