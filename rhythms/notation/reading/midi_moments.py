"""Strokes of a MIDI file that sound together: hands on two drums, feet under them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from rhythms.engine.kits.surfaces import FEET
from rhythms.engine.takes.moments import FOOT_UNDER, TOGETHER, moments
from rhythms.engine.takes.stroke_reading import FLAM, GRACED
from rhythms.engine.takes.struck_at_once import Caught
from rhythms.notation.export.midi import NORMAL_VELOCITY
from rhythms.notation.reading.blows import Blow
from rhythms.notation.reading.midi_bar_lines import Clock
from rhythms.notation.reading.midi_surfaces import drum_of, surface_of

#: However fast the tempo, strokes this far apart, in quarters, are not together: 32nds are strokes.
_NEAR_QUARTERS = 0.09


class MidiMoment(NamedTuple):
    """What sounds together; ``shares``: it may have the count of the moment before it."""

    blows: tuple[Blow, ...]
    shares: bool = False

    @property
    def tick(self) -> float:
        """Where it is, in the middle."""
        return sum(blow.tick for blow in self.blows) / len(self.blows)


def moments_of(blows: Sequence[Blow], clock: Clock, *, percussion: bool) -> Iterator[MidiMoment]:
    """The moments of a part, in order."""
    times = [clock.milliseconds(blow.tick) for blow in blows]
    drums = [drum_of(blow.key, percussion=percussion) for blow in blows]
    before: tuple[Blow, ...] = ()
    for group in moments(times, drums, _within(clock)):
        together = tuple(blows[place] for place in group)
        shares = bool(before) and _may_share(before, together, clock, percussion=percussion)
        yield MidiMoment(together, shares)
        before = together


def _within(clock: Clock) -> float:
    """How many ms strokes may be apart where the file is fastest."""
    return min(TOGETHER, _NEAR_QUARTERS * min(clock.quarters))


def _may_share(
    before: Sequence[Blow], then: Sequence[Blow], clock: Clock, *, percussion: bool
) -> bool:
    """Whether two moments may be meant for one count: a flam, a foot under the hands, a chord."""
    first, last = before[-1].tick, then[0].tick
    gap = clock.milliseconds(last) - clock.milliseconds(first)
    if (last - first) / clock.ticks_per_quarter > _NEAR_QUARTERS:
        return False
    if not percussion:
        return gap <= FOOT_UNDER
    if {drum_of(blow.key) for blow in before} & {drum_of(blow.key) for blow in then}:
        return gap <= FLAM
    return gap <= FOOT_UNDER and any(drum_of(blow.key) in FEET for blow in (*before, *then))


def caught(together: Iterable[MidiMoment], *, typed: bool, even: bool = False) -> Iterator[Caught]:
    """What is struck at one count, drum by drum; keys that are no part of a drum set are left out.

    Several strokes of a drum are one with grace notes. ``even``: all is as loud as can be, which
    says nothing.
    """
    blows = [blow for moment in together for blow in moment.blows]
    of_drums = sorted(blows, key=lambda blow: (str(drum_of(blow.key)), blow.tick))
    for _, struck in groupby(of_drums, key=lambda blow: drum_of(blow.key)):
        on_it = list(struck)
        loudest = max(on_it, key=lambda blow: blow.velocity)
        surface = surface_of(loudest.key, typed=typed)
        if surface is None:
            continue
        velocity = NORMAL_VELOCITY if even else loudest.velocity
        yield Caught(surface, velocity, _ornament(on_it) if surface not in FEET else None)


def _ornament(on_it: Sequence[Blow]) -> str | None:
    if any(blow.buzz for blow in on_it):
        return "buzz"
    graces = sum(blow.graces for blow in on_it) + len(on_it) - 1
    return GRACED[min(graces, len(GRACED) - 1)]
