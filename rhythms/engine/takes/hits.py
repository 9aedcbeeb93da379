"""From what a kit sends to strokes on surfaces."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter, itemgetter
from typing import NamedTuple

from rhythms.engine.kits.surfaces import Surface, base

#: What most kits send. General MIDI System Level 1, percussion map; beyond it the keys of
#: electronic kits as common practice has them: 22 and 26 are edges of the hi-hat, closed and open,
#: 40, 47, 50 and 58 rims of snare and toms, 52, 55, 57 and 59 edges of cymbals; claves (75) stand
#: for stick on stick. Kits differ and can be set otherwise, so what a student has shown us goes
#: before this.
USUAL_KEYS: dict[int, Surface] = {
    22: Surface.HI_HAT,
    26: Surface.OPEN_HI_HAT,
    35: Surface.BASS_DRUM,
    36: Surface.BASS_DRUM,
    37: Surface.CROSS_STICK,
    38: Surface.SNARE,
    40: Surface.RIM_SHOT,
    41: Surface.FLOOR_TOM,
    42: Surface.HI_HAT,
    43: Surface.FLOOR_TOM,
    44: Surface.HI_HAT_FOOT,
    45: Surface.MID_TOM,
    46: Surface.OPEN_HI_HAT,
    47: Surface.MID_TOM,
    48: Surface.HIGH_TOM,
    49: Surface.CRASH,
    50: Surface.HIGH_TOM,
    51: Surface.RIDE,
    52: Surface.CRASH,
    53: Surface.RIDE_BELL,
    55: Surface.CRASH,
    56: Surface.COWBELL,
    57: Surface.CRASH,
    58: Surface.FLOOR_TOM,
    59: Surface.RIDE,
    75: Surface.STICKS,
}
#: Two hits of one drum nearer than this, in ms, are one stroke that its pad heard twice.
HEARD_TWICE = 15.0
#: So are two up to this far apart where the second is no louder: a pad hears its head swing back,
#: or its rim beside its head. A louder one is a flam, whose grace note is the softer; and 32nds are
#: further apart up to 240 quarters a minute. In 423 human fills 29 pairs are 15 to 25 ms apart: 17
#: of them are louder at the second, 7 at full velocity at both, flat flams at best, and 5 alike, in
#: buzzes and rolls.
STILL_THE_SAME = 25.0
#: A bounce comes within so many ms of the hit before it on its surface, and is so much softer than
#: the stroke that bounces.
_BOUNCES_ON, _SOFTER = 120.0, 0.75
#: A take is read up to so many strokes and so many ms; what comes after is counted, no more.
MOST_STROKES, MOST_MS = 6_000, 15 * 60_000


class TimedHit(NamedTuple):
    """One stroke as it was caught: ``ms`` from the start of the take, ``velocity`` 1 to 127."""

    ms: float
    surface: Surface
    velocity: int


@dataclass(frozen=True)
class Heard:
    """The strokes of a take in order of time, how often each key came that means nothing, and
    how many events came after what is read."""

    hits: tuple[TimedHit, ...]
    unknown: Mapping[int, int]
    unread: int = 0


def hear(events: Iterable[Sequence[float]], keys: Mapping[int, Surface]) -> Heard:
    """Strokes from ``(milliseconds, key, velocity)``; ``keys`` goes before the usual ones.

    A velocity of 0 is a key let go, as in the MIDI standard, and no stroke.
    """
    known = {**USUAL_KEYS, **keys}
    struck = sorted((tuple(event) for event in events if event[2] > 0), key=itemgetter(0))
    read = [event for event in struck[:MOST_STROKES] if event[0] <= MOST_MS]
    hits: list[TimedHit] = []
    unknown: Counter[int] = Counter()
    last: dict[Surface, int] = {}
    for ms, key, velocity in read:
        surface = known.get(int(key))
        if surface is None:
            unknown[int(key)] += 1
            continue
        hit = TimedHit(float(ms), surface, int(velocity))
        before = last.get(base(surface))
        if before is not None and _is_heard_twice(hits[before], hit):
            louder = max(hits[before], hit, key=attrgetter("velocity"))
            hits[before] = louder._replace(ms=hits[before].ms)
            continue
        last[base(surface)] = len(hits)
        hits.append(hit)
    return Heard(tuple(hits), dict(unknown), len(struck) - len(read))


def _is_heard_twice(stroke: TimedHit, hit: TimedHit) -> bool:
    """Of a stroke and the next hit on its drum."""
    apart = hit.ms - stroke.ms
    return apart < HEARD_TWICE or (apart <= STILL_THE_SAME and hit.velocity <= stroke.velocity)


def bounces(hits: Sequence[TimedHit]) -> tuple[bool, ...]:
    """Of hits in order of time, which may be bounces of a stroke before them."""
    strokes: dict[Surface, TimedHit] = {}
    last: dict[Surface, float] = {}
    found = []
    for hit in hits:
        drum = base(hit.surface)
        stroke = strokes.get(drum)
        soon = hit.ms - last.get(drum, -_BOUNCES_ON) < _BOUNCES_ON
        soft = stroke is not None and hit.velocity < _SOFTER * stroke.velocity
        found.append(soon and soft)
        last[drum] = hit.ms
        if not found[-1]:
            strokes[drum] = hit
    return tuple(found)
