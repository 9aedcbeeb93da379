"""The beat played before a fill: of the library, of the studio, or made of a bar."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.bars.meter import Meter
from rhythms.engine.errors import EngineError
from rhythms.engine.fills.fill import HANDS
from rhythms.engine.kits.surfaces import FEET, RANK, Surface
from rhythms.engine.playback.stand_ins import stand_in

PLAIN_PULSE = "plain pulse"


class GrooveError(EngineError):
    """A groove that does not exist or does not fit its bar."""

    code = "groove"

    def __init__(self, message: str) -> None:
        super().__init__(message, field="groove")


class GrooveHit(NamedTuple):
    """``onset`` in quarter lengths from the groove's first bar line; ``dynamic`` as for strokes."""

    onset: Fraction
    surface: Surface
    dynamic: str


@dataclass(frozen=True)
class Groove:
    """One or two bars of time, ``hits`` in order of onset, as written.

    ``feel`` is how it is played unless somebody says otherwise. ``setups`` has for each bar what is
    played in its place where it is the last before a fill, onsets from its own bar line; without
    any, none sets up a fill. Raises GrooveError for a hit outside the bars, or for another number
    of set-ups.
    """

    name: str
    meter: Meter
    hits: tuple[GrooveHit, ...]
    feel: Feel = STRAIGHT
    setups: tuple[tuple[GrooveHit, ...], ...] = ()

    def __post_init__(self) -> None:
        for hit in self.hits:
            if not 0 <= hit.onset < self.meter.length:
                raise GrooveError(f"A bar of {self.meter} has no place at {hit.onset} quarters.")
        if len(self.setups) not in (0, self.meter.bars):
            raise GrooveError(
                f"{self.meter.bars} bars of groove have {len(self.setups)} bars that set up a fill."
            )

    def in_bar(self, number: int, *, setting_up: bool = False) -> tuple[GrooveHit, ...]:
        """What is played in bar ``number`` from 0 on, onsets from its bar line.

        ``setting_up``: a fill follows, and the bar leads into it where the groove has such a bar.
        """
        bar, length = number % self.meter.bars, self.meter.bar_length
        if setting_up and self.setups:
            return self.setups[bar]
        inside = (hit for hit in self.hits if self.meter.bar_at(hit.onset) == bar)
        return tuple(hit._replace(onset=hit.onset - bar * length) for hit in inside)

    def in_meter(self, meter: Meter) -> Groove | None:
        """The groove where bars of ``meter`` are played; None where it is in another one.

        Groups of quarters change no beat: what is played in 5/4 is played in 5/4 (3+2).
        """
        own = self.meter.one_bar
        if own == meter:
            return self
        same = (own.count, own.unit) == (meter.count, meter.unit) and not meter.in_eighths
        return replace(self, meter=meter.over(self.meter.bars)) if same else None

    def on(self, surfaces: Collection[Surface]) -> Groove:
        """The groove on a kit with these surfaces: what is missing is played elsewhere.

        A surface without a stand-in on the kit falls silent, and so does what no hand is left for.
        """
        return replace(
            self,
            hits=_moved(self.hits, surfaces),
            setups=tuple(_moved(bar, surfaces) for bar in self.setups),
        )


def _moved(hits: Iterable[GrooveHit], surfaces: Collection[Surface]) -> tuple[GrooveHit, ...]:
    there = {surface: stand_in(surface, surfaces) for surface in Surface}
    return tuple(
        hit
        for _, together in groupby(hits, key=lambda hit: hit.onset)
        for hit in _by_two_hands(list(together), there)
    )


def _by_two_hands(
    together: list[GrooveHit], there: dict[Surface, Surface | None]
) -> Iterator[GrooveHit]:
    """What of one onset can be struck, each surface once: first what stays where it is."""
    wanted = sorted(together, key=lambda hit: there[hit.surface] != hit.surface)
    struck: dict[Surface, GrooveHit] = {}
    for hit in wanted:
        surface = there[hit.surface]
        hands = sum(one not in FEET for one in struck)
        if surface is None or surface in struck or (surface not in FEET and hands == len(HANDS)):
            continue
        struck[surface] = hit._replace(surface=surface)
    yield from in_order(struck.values())


def plain_pulse(meter: Meter) -> Groove:
    """The hi-hat on every count, the bass drum on *one*, the snare on the backbeats.

    Where quarters are grouped, each group begins with the bass drum and ends with the snare.
    """
    hits = [
        *_counts(meter),
        *(
            GrooveHit(onset, Surface.BASS_DRUM, "normal")
            for onset in sorted(meter.group_starts) or [Fraction(0)]
        ),
        *(GrooveHit(onset, Surface.SNARE, "normal") for onset in _backbeats(meter)),
    ]
    return Groove(PLAIN_PULSE, meter, in_order(hits))


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
    return Groove(name, bar.meter, in_order(hits))


def _counts(meter: Meter) -> Iterator[GrooveHit]:
    for count in range(meter.count * meter.bars):
        yield GrooveHit(count * Fraction(4, meter.unit), Surface.HI_HAT, "normal")


def _backbeats(meter: Meter) -> tuple[Fraction, ...]:
    """Every second beat of a bar; the last one where its beats are odd in number."""
    if starts := meter.group_starts:
        return tuple(onset - 1 for onset in (*sorted(starts)[1:], meter.length))
    beats = meter.one_bar.beats
    backbeats = beats[1::2] if len(beats) % 2 == 0 else beats[1:][-1:]
    bars = (number * meter.bar_length for number in range(meter.bars))
    return tuple(bar + beat.onset for bar in bars for beat in backbeats)


def in_order(hits: Iterable[GrooveHit]) -> tuple[GrooveHit, ...]:
    """Hits by onset, and at one onset by surface."""
    return tuple(sorted(hits, key=lambda hit: (hit.onset, RANK[hit.surface])))
