"""Bars of fill in a row as the phrases they make."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from rhythms.engine.bars.meter import MOST_BARS, Meter
from rhythms.engine.kits.surfaces import FAMILIES, FEET, Surface, base
from rhythms.engine.takes.stroke_reading import PlacedHit

#: Bars are played again where they are this much alike.
AGAIN = 0.75
#: Bars in a row are one phrase again and again where so many of them come again, each of them like
#: one of the last few at its place in the phrase.
_COME_AGAIN, _LAST_FEW = Fraction(2, 3), 3
#: Longer silences of the hands over a bar line are where a long solo may be divided, in quarters.
A_REST = 1
_CYMBALS = (*FAMILIES["cymbals"], *FAMILIES["bells"])

#: What is struck at which place of a bar, in whatever way.
Cells = frozenset[tuple[Fraction, Surface]]
_Bars = Mapping[int, Sequence[PlacedHit]]


class PlayedPhrase(NamedTuple):
    """A fill as it was played: its first ``bar``, the ``meter`` of all its bars, and its strokes,
    with onsets from the first bar line.

    Where it begins with an upbeat, the meter has that as its pick-up.
    """

    bar: int
    meter: Meter
    placed: tuple[PlacedHit, ...]

    @property
    def bars(self) -> range:
        """The bars it has something in, by number."""
        return range(self.bar, self.bar + self.meter.bars)

    @property
    def hand_onsets(self) -> frozenset[Fraction]:
        """Where hands strike."""
        return frozenset(each.onset for each in self.placed if each.hit.surface not in FEET)


def cells_of(placed: Sequence[PlacedHit]) -> Cells:
    """The strokes of a bar by their places."""
    return frozenset((each.onset, base(each.hit.surface)) for each in placed)


def same(a: Cells, b: Cells) -> float:
    """The share of strokes that two bars have in common, from 0 to 1."""
    return 2 * len(a & b) / (len(a) + len(b)) if a or b else 1.0


def phrases_in(bars: _Bars, meter: Meter) -> Iterator[PlayedPhrase]:
    """Bars in a row that have something of a fill, up to four together, in order.

    What is played again begins a phrase anew, and so does what comes after a silence of the hands
    as long as a bar. A longer solo is divided where it lands or rests. A bar that holds no more
    than a landing, or nothing but feet, is no part of any.
    """
    for run in _runs(bars):
        cells = [cells_of(bars[bar]) for bar in run]
        for first, stop in pairwise(_beginnings(run, bars, cells, meter)):
            yield _phrase({bar: bars[bar] for bar in run[first:stop]}, meter)


def _runs(bars: _Bars) -> Iterator[list[int]]:
    run: list[int] = []
    for bar in sorted(bar for bar in bars if not _is_a_landing(bars[bar])):
        if run and bar != run[-1] + 1:
            yield run
            run = []
        run.append(bar)
    if run:
        yield run


def _is_a_landing(placed: Sequence[PlacedHit]) -> bool:
    """Whether hands strike no more than a cymbal on *one*."""
    return all(
        each.hit.surface in FEET or (each.onset == 0 and base(each.hit.surface) in _CYMBALS)
        for each in placed
    )


def _beginnings(
    run: Sequence[int], bars: _Bars, cells: Sequence[Cells], meter: Meter
) -> Iterator[int]:
    """Where each phrase of a run begins, by place in it, and where the last one ends."""
    rests = [Fraction(0), *(_rest(bars[a], bars[b], meter) for a, b in pairwise(run))]
    silent = [k for k, rest in enumerate(rests) if rest >= meter.bar_length]
    likely = [_lands(bars[bar]) + (rest > A_REST) for bar, rest in zip(run, rests, strict=True)]
    for first, stop in pairwise(sorted({0, *silent, *_anew(cells), len(run)})):
        yield from (first + place for place in _divided(likely[first:stop]))
    yield len(run)


def _anew(cells: Sequence[Cells]) -> list[int]:
    """Where something begins that was played before, by place in a run."""
    repeats = [(_come_again(cells, bars), -bars) for bars in range(1, MOST_BARS + 1)]
    share, bars = max(repeats)
    if share >= _COME_AGAIN:
        return list(range(-bars, len(cells), -bars))
    return [k for k, (before, bar) in enumerate(pairwise(cells), 1) if same(before, bar) >= AGAIN]


def _come_again(cells: Sequence[Cells], bars: int) -> Fraction:
    """The share of bars that are like an earlier one, so many bars ago or a multiple of them.

    None of them where so many bars are not there twice.
    """
    later = range(bars, len(cells)) if len(cells) >= 2 * bars else range(0)
    again = sum(
        any(same(cells[k], one) >= AGAIN for one in cells[k - bars :: -bars][:_LAST_FEW])
        for k in later
    )
    return Fraction(again, len(later)) if later else Fraction(0)


def _rest(before: Sequence[PlacedHit], bar: Sequence[PlacedHit], meter: Meter) -> Fraction:
    """How long the hands are silent over the bar line between two bars, in quarters."""
    ends, starts = (
        [each.onset for each in some if each.hit.surface not in FEET] for some in (before, bar)
    )
    return meter.bar_length - max(ends) + min(starts)


def _lands(bar: Sequence[PlacedHit]) -> bool:
    return any(each.onset == 0 and each.hit.surface is Surface.CRASH for each in bar)


def _divided(likely: Sequence[int]) -> list[int]:
    """The beginnings of as few phrases as there can be, each where it is likeliest.

    ``likely`` has for each bar how much speaks for a phrase that begins there.
    """
    best: list[tuple[int, int, list[int]]] = [(0, 0, [])]
    for stop in range(1, len(likely) + 1):
        ways = (
            (parts + 1, worth - likely[first], [*begun, first])
            for first in range(max(0, stop - MOST_BARS), stop)
            for parts, worth, begun in [best[first]]
        )
        best.append(min(ways, key=lambda way: (*way[:2], -way[2][-1])))
    return best[-1][2]


def _phrase(bars: _Bars, meter: Meter) -> PlayedPhrase:
    first, length = min(bars), meter.bar_length
    placed = tuple(
        each._replace(onset=each.onset + (bar - first) * length)
        for bar in sorted(bars)
        for each in bars[bar]
    )
    starts = min(each.onset for each in placed)
    counts = int((length - meter.beat_at(starts).onset) * meter.unit / 4) if starts < length else 0
    # A bar of one beat has no part that could be an upbeat.
    if len(bars) == 1 or starts < length / 2 or not 0 < counts < meter.count:
        return PlayedPhrase(first, meter.over(len(bars)), placed)
    return PlayedPhrase(first, meter.over(len(bars) - 1).after_pickup(counts), placed)
