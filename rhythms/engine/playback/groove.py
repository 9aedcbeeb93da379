"""The beat played before a fill: a small library of our own, or one made of a bar.

Patterns are common practice. A line of a pattern spreads its marks evenly over the bar:
``x`` a stroke, ``X`` an accent, ``o`` a ghost, ``.`` nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.meter import Meter
from rhythms.engine.errors import EngineError
from rhythms.engine.kits.surfaces import Surface, base
from rhythms.engine.playback.feel import STRAIGHT, Feel

_MARKS = {"x": "normal", "X": "accent", "o": "ghost"}
PLAIN_PULSE = "plain pulse"


class GrooveError(EngineError):
    """A groove that does not exist or does not fit its bar."""

    code = "groove"

    def __init__(self, message: str) -> None:
        super().__init__(message, field="groove")


class GrooveHit(NamedTuple):
    """``onset`` in quarter lengths from the bar line; ``dynamic`` as for strokes."""

    onset: Fraction
    surface: Surface
    dynamic: str


@dataclass(frozen=True)
class Groove:
    """One bar of time, ``hits`` in order of onset, as written; ``feel`` is how it is played unless
    somebody says otherwise. Raises GrooveError for a hit outside the bar."""

    name: str
    meter: Meter
    hits: tuple[GrooveHit, ...]
    feel: Feel = STRAIGHT

    def __post_init__(self) -> None:
        for hit in self.hits:
            if not 0 <= hit.onset < self.meter.length:
                raise GrooveError(f"A bar of {self.meter} has no place at {hit.onset} quarters.")

    def on(self, surfaces: Collection[Surface]) -> Groove:
        """The groove on a kit with these surfaces: what is missing is played elsewhere.

        A surface without a stand-in on the kit falls silent.
        """
        there = {surface: _stand_in(surface, surfaces) for surface in Surface}
        moved = {
            (hit.onset, surface): hit._replace(surface=surface)
            for hit in self.hits
            if (surface := there[hit.surface]) is not None
        }
        return replace(self, hits=tuple(moved.values()))


_STAND_INS: dict[Surface, tuple[Surface, ...]] = {
    Surface.HI_HAT: (Surface.RIDE, Surface.CRASH, Surface.COWBELL, Surface.FLOOR_TOM),
    Surface.RIDE: (Surface.HI_HAT, Surface.CRASH, Surface.COWBELL, Surface.FLOOR_TOM),
    Surface.CRASH: (Surface.CHINA, Surface.SPLASH, Surface.RIDE, Surface.HI_HAT),
    Surface.SNARE: (Surface.CROSS_STICK, Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM),
    Surface.BASS_DRUM: (Surface.FLOOR_TOM,),
}


def _stand_in(wanted: Surface, there: Collection[Surface]) -> Surface | None:
    """A way of striking where its drum or cymbal is there; else what stands in for that."""
    options = (base(wanted), *_STAND_INS.get(base(wanted), ()))
    found = next((surface for surface in options if surface in there), None)
    return wanted if found == base(wanted) else found


def landing_on(surfaces: Collection[Surface]) -> tuple[Surface, ...]:
    """What is struck on *one* after the fill: crash and bass drum, or what a kit has instead."""
    wanted = (_stand_in(Surface.CRASH, surfaces), _stand_in(Surface.BASS_DRUM, surfaces))
    return tuple(dict.fromkeys(surface for surface in wanted if surface))


def grooves_for(meter: Meter) -> tuple[Groove, ...]:
    """The library's grooves in this meter, the first to be offered first; never empty."""
    return (*(groove for groove in library() if groove.meter == meter), plain_pulse(meter))


@lru_cache(maxsize=1)
def library() -> tuple[Groove, ...]:
    """Every groove that is written for one meter."""
    return tuple(_read(name, Meter.parse(meter), lines) for name, meter, lines in _LIBRARY)


def groove_named(name: str, meter: Meter) -> Groove:
    """One of ``grooves_for(meter)``. Raises GrooveError, naming those there are."""
    known = {groove.name: groove for groove in grooves_for(meter)}
    if name not in known:
        raise GrooveError(f"There is no groove “{name}” in {meter}; there are {', '.join(known)}.")
    return known[name]


def plain_pulse(meter: Meter) -> Groove:
    """The hi-hat on every count, the bass drum on *one*, the snare on the backbeats."""
    hits = [
        *_counts(meter),
        GrooveHit(Fraction(0), Surface.BASS_DRUM, "normal"),
        *(GrooveHit(onset, Surface.SNARE, "normal") for onset in _backbeats(meter)),
    ]
    return Groove(PLAIN_PULSE, meter, _in_order(hits))


def groove_of_bar(bar: Bar, name: str = "your bar") -> Groove:
    """A bar read as a groove under the counts on the hi-hat (common practice in reading books).

    Its accents go to the snare, its other notes to the bass drum. A bar without accents is
    all bass drum, and the snare keeps the backbeats.
    """
    hits = list(_counts(bar.meter))
    for note in bar.sounded:
        surface = Surface.SNARE if note.accent else Surface.BASS_DRUM
        hits.append(GrooveHit(note.onset, surface, "normal"))
    if not any(note.accent for note in bar.sounded):
        hits += [GrooveHit(onset, Surface.SNARE, "normal") for onset in _backbeats(bar.meter)]
    return Groove(name, bar.meter, _in_order(hits))


def _counts(meter: Meter) -> Iterator[GrooveHit]:
    for count in range(meter.count):
        yield GrooveHit(count * Fraction(4, meter.unit), Surface.HI_HAT, "normal")


def _backbeats(meter: Meter) -> tuple[Fraction, ...]:
    """Every second beat; the last one where beats are odd in number."""
    beats = meter.beats
    backbeats = beats[1::2] if len(beats) % 2 == 0 else beats[1:][-1:]
    return tuple(beat.onset for beat in backbeats)


_LIBRARY: tuple[tuple[str, str, Mapping[Surface, str]], ...] = (
    (
        "rock",
        "4/4",
        {
            Surface.HI_HAT: "x x x x x x x x",
            Surface.SNARE: ". . X . . . X .",
            Surface.BASS_DRUM: "x . . . x x . .",
        },
    ),
    (
        "funk",
        "4/4",
        {
            Surface.HI_HAT: "x . x .  x . x .  x . x .  x . x .",
            Surface.SNARE: ". . . .  X . . o  . o . .  X . . o",
            Surface.BASS_DRUM: "x . . x  . . . .  . . x .  . x . .",
        },
    ),
    (
        "shuffle",
        "4/4",
        {
            Surface.HI_HAT: "x . x  x . x  x . x  x . x",
            Surface.SNARE: ". . .  X . .  . . .  X . .",
            Surface.BASS_DRUM: "x . .  . . .  x . x  . . .",
        },
    ),
    (
        "half-time",
        "4/4",
        {
            Surface.HI_HAT: "x x x x x x x x",
            Surface.SNARE: ". . . . X . . .",
            Surface.BASS_DRUM: "x . . x . . . x",
        },
    ),
    (
        "jazz ride",
        "4/4",
        {
            Surface.RIDE: "x . .  X . x  x . .  X . x",
            Surface.HI_HAT_FOOT: ". . .  x . .  . . .  x . .",
            Surface.BASS_DRUM: "o . .  o . .  o . .  o . .",
        },
    ),
    (
        "3/4",
        "3/4",
        {
            Surface.HI_HAT: "x x x x x x",
            Surface.SNARE: ". . X . X .",
            Surface.BASS_DRUM: "x . . . . .",
        },
    ),
    (
        "6/8",
        "6/8",
        {
            Surface.HI_HAT: "x x x x x x",
            Surface.SNARE: ". . . X . .",
            Surface.BASS_DRUM: "x . . . . x",
        },
    ),
)


def _read(name: str, meter: Meter, lines: Mapping[Surface, str]) -> Groove:
    hits = [hit for surface, line in lines.items() for hit in _line(surface, line, meter)]
    return Groove(name, meter, _in_order(hits))


def _line(surface: Surface, line: str, meter: Meter) -> Iterator[GrooveHit]:
    marks = line.replace(" ", "")
    for place, mark in enumerate(marks):
        if mark in _MARKS:
            yield GrooveHit(meter.length * place / len(marks), surface, _MARKS[mark])


_RANK = {surface: rank for rank, surface in enumerate(Surface)}


def _in_order(hits: list[GrooveHit]) -> tuple[GrooveHit, ...]:
    return tuple(sorted(hits, key=lambda hit: (hit.onset, _RANK[hit.surface])))
