"""What a teacher would say of a fill: it walks down the toms, it ends on the floor tom …

A trait is said as a verb of many ("walk down the toms from beat 3"), so that a sentence can
count how many fills do it. Traits with a number in them are in `amounts`.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import groupby, pairwise
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.fills.fill import Fill, Stroke
from rhythms.engine.kits.surfaces import FAMILIES, Surface, base, called

#: A walk goes over this many toms.
WALK = 3
#: A surface struck on this many beats or more holds them together.
_BEATS = 3
_TOMS = FAMILIES["toms"]
#: Everybody strikes it, most fills begin on it, and how often says nothing of who plays.
_EVERYBODYS = Surface.SNARE
_OPEN = (Surface.OPEN_HI_HAT, Surface.HALF_OPEN_HI_HAT)


class Trait(NamedTuple):
    """Traits of one ``kind`` describe the same habit in other words.

    ``words`` with ``{share}`` or ``{number}`` in them are of an amount that each fill has.
    """

    kind: str
    words: str

    @property
    def is_amount(self) -> bool:
        """Whether each fill has so much of it, rather than having it or not."""
        return "{" in self.words


class _Place(NamedTuple):
    """In which beat a note sounds, counted from 1 in each bar; whether it begins that beat."""

    beat: int
    is_on_beat: bool

    @property
    def words(self) -> str:
        """A walk that begins a little into a beat still counts as beginning there."""
        return f"beat {self.beat}"


@lru_cache(maxsize=256)
def _places(bar: Bar) -> tuple[_Place, ...]:
    """Where each note of a bar sounds: many fills are asked about on one rhythm."""
    meter = bar.meter
    return tuple(
        _Place(meter.beat_at(note.onset).number, meter.is_on_beat(note.onset))
        for note in bar.sounded
    )


class _Hit(NamedTuple):
    """``surface`` is the first of what the hands strike, ``beside`` what a second one does, however
    they strike it.
    """

    place: _Place
    surface: Surface
    beside: tuple[Surface, ...] = ()


def traits(fill: Fill) -> tuple[Trait, ...]:
    """All traits that a fill has, each once; the most characteristic first."""
    hits = [
        _Hit(place, *_by_hand(stroke))
        for place, stroke in zip(_places(fill.bar), fill.strokes, strict=True)
        if not stroke.by_foot
    ]
    if not hits:
        return ()
    shown = (*_walks(hits), *_colours(hits), *_anchors(hits), *_moves(hits))
    return tuple(dict.fromkeys((*shown, *_ends(hits), *_uses(hits), *_ways(fill))))


def _by_hand(stroke: Stroke) -> tuple[Surface, tuple[Surface, ...]]:
    first, *beside = (base(surface) for surface in stroke.hand_surfaces)
    return first, tuple(beside)


def _walks(hits: list[_Hit]) -> Iterator[Trait]:
    """Runs of strokes from tom to tom in one direction, repeats or not."""
    for on_toms, run in groupby(hits, key=lambda hit: hit.surface in _TOMS):
        steps = [next(group) for _, group in groupby(run, key=lambda hit: hit.surface)]
        if on_toms:
            yield from _walks_among(steps)


def _walks_among(steps: list[_Hit]) -> Iterator[Trait]:
    for direction, sign in (("down", 1), ("up", -1)):
        start, length = 0, 1
        for at in range(1, len(steps) + 1):
            goes_on = at < len(steps) and _height(steps[at]) * sign > _height(steps[at - 1]) * sign
            if goes_on:
                length += 1
                continue
            if length >= WALK:
                where = steps[start].place.words
                yield Trait(f"walk {direction}", f"walk {direction} the toms from {where}")
                yield Trait(f"walk {direction}", f"walk {direction} the toms")
            start, length = at, 1


def _height(hit: _Hit) -> int:
    return _TOMS.index(hit.surface)


def _colours(hits: list[_Hit]) -> Iterator[Trait]:
    """Very few surfaces."""
    used = list(dict.fromkeys(one for hit in hits for one in (hit.surface, *hit.beside)))
    if len(used) == 1:
        yield Trait("colours", f"never leave the {called(used[0])}")
    if len(used) == 2:
        first, second = sorted(used, key=list(Surface).index)
        yield Trait("colours", f"use only {called(first)} and {called(second)}")


def _anchors(hits: list[_Hit]) -> Iterator[Trait]:
    """One surface on every beat that is struck."""
    on_beats = [hit.surface for hit in hits if hit.place.is_on_beat]
    if len(on_beats) >= _BEATS and len(set(on_beats)) == 1:
        yield Trait("anchor", f"come back to the {called(on_beats[0])} on every beat")


def _moves(hits: list[_Hit]) -> Iterator[Trait]:
    """Going to another surface as a beat begins."""
    for origin, target in pairwise(hits):
        if origin.surface != target.surface and target.place.is_on_beat:
            between = f"from the {called(origin.surface)} to the {called(target.surface)}"
            words = f"go {between} into {target.place.words}"
            yield Trait("move", words)


def _ends(hits: list[_Hit]) -> Iterator[Trait]:
    yield Trait("end", f"end on the {called(hits[-1].surface)}")
    yield Trait("last", f"end in {hits[-1].place.words}")
    if hits[0].surface is not _EVERYBODYS:
        yield Trait("start", f"begin on the {called(hits[0].surface)}")
    yield Trait("begin", f"begin in {hits[0].place.words}")


def _uses(hits: list[_Hit]) -> Iterator[Trait]:
    """Each drum and cymbal that is struck at all."""
    used = {one for hit in hits for one in (hit.surface, *hit.beside)} - {_EVERYBODYS}
    for surface in sorted(used, key=list(Surface).index):
        yield Trait("use", f"strike the {called(surface)}")


def _ways(fill: Fill) -> Iterator[Trait]:
    """Ways of striking that are heard as something of their own."""
    hands = [surface for stroke in fill.strokes for surface in stroke.hand_surfaces]
    if any(surface in _OPEN for surface in hands):
        yield Trait("open", "open the hi-hat")
