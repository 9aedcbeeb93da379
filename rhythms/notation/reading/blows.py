"""From single hits to strokes: grace notes belong to the stroke they lead to, bounces to theirs.

What one drum sends twice at once, by head and rim, is one stroke.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace

from rhythms.engine.playback.timeline import GRACE
from rhythms.engine.takes.hits import HEARD_TWICE
from rhythms.notation.reading.midi_hits import MidiHit, Track
from rhythms.notation.reading.midi_surfaces import drum_of

#: A written-out grace note in quarters: as our own files have it, with room for rounding.
_ROUNDING = 0.0015
_GRACE_QUARTERS = float(GRACE) + _ROUNDING
#: Nearer than any written one, in quarters.
_AT_ONCE = 1 / 32
#: A played one: at most this long before its stroke, in quarters and in ms, and this much softer.
_PLAYED_QUARTERS, _PLAYED_MS = 0.11, 60.0
_SOFTER = 0.75
_LOUDEST = 127
#: A drag has two; more soft strokes in a row are strokes.
_MOST_GRACES = 2
#: From so many hits on as close as grace notes, none of them louder, they are one that bounces.
_A_BUZZ = 4
#: Quarters from a stroke to a soft drag after it, which looks alike: a 32nd, or what is left of a
#: 16th where grace notes at the very start made the stroke late.
_TO_A_DRAG = (1 / 8, 3 * float(GRACE))


@dataclass(frozen=True)
class Blow:
    """One stroke; ``tick`` is where it counts, ``velocity`` that of its loudest hit.

    ``graces`` is how many grace notes lead to it; ``buzz``, whether the stick bounces after it.
    """

    tick: int
    end: int
    key: int
    velocity: int
    graces: int = 0
    buzz: bool = False


def blows(track: Track, ticks_per_quarter: int, milliseconds: Callable[[int], float]) -> list[Blow]:
    """The strokes of one part, in order, without grace notes and bounces.

    Grace notes at the very start have no room before the stroke: they take its place, and that of
    what is struck with it.
    """
    strokes: list[_Stroke] = []
    upcoming: dict[Hashable, _Stroke] = {}
    struck = _without_bounces(track.hits, ticks_per_quarter)
    for hit in reversed(struck):
        drum = drum_of(hit.key, percussion=track.percussion)
        after = upcoming.get(drum)
        if after is not None and after.is_heard_twice(hit, ticks_per_quarter, milliseconds):
            continue
        if after is not None and _leads(hit, after, ticks_per_quarter, milliseconds):
            after.first, after.softest = hit.tick, hit.velocity
            after.graces += 1
            continue
        upcoming[drum] = _Stroke(hit, hit.tick)
        strokes.append(upcoming[drum])
    late = max((stroke.hit.tick for stroke in strokes if not stroke.first), default=0)
    found = (stroke.blow for stroke in strokes)
    started = (replace(blow, tick=0) if blow.tick <= late else blow for blow in found)
    return sorted(started, key=lambda blow: blow.tick)


def _without_bounces(hits: Sequence[MidiHit], ticks_per_quarter: int) -> list[MidiHit]:
    """Of hits that follow each other closely on one key, the first; a louder one is another."""
    close = _GRACE_QUARTERS * ticks_per_quarter
    chains: list[list[MidiHit]] = []
    latest: dict[int, list[MidiHit]] = {}
    for hit in hits:
        chain = latest.get(hit.key)
        if chain and hit.tick - chain[-1].tick <= close and not _is_louder(hit, chain[-1]):
            chain.append(hit)
        else:
            latest[hit.key] = [hit]
            chains.append(latest[hit.key])
    kept = [
        hit
        for chain in chains
        for hit in (
            [replace(chain[0], bounces=True)] if _is_a_buzz(chain, ticks_per_quarter) else chain
        )
    ]
    return sorted(kept, key=lambda hit: hit.tick)


def _is_a_buzz(chain: Sequence[MidiHit], ticks_per_quarter: int) -> bool:
    lasts = (chain[-1].tick - chain[0].tick) / ticks_per_quarter
    ends_as_a_drag = any(abs(lasts - drag) <= _ROUNDING for drag in _TO_A_DRAG)
    return len(chain) > _A_BUZZ or (len(chain) == _A_BUZZ and not ends_as_a_drag)


def _is_louder(hit: MidiHit, before: MidiHit) -> bool:
    return _SOFTER * hit.velocity > before.velocity


@dataclass
class _Stroke:
    """``first`` is the tick of its first grace note, or its own; ``softest``, how loud that is."""

    hit: MidiHit
    first: int
    graces: int = 0
    softest: int = _LOUDEST

    @property
    def blow(self) -> Blow:
        hit = self.hit
        return Blow(hit.tick, hit.end, hit.key, hit.velocity, self.graces, hit.bounces)

    def is_heard_twice(
        self, hit: MidiHit, ticks_per_quarter: int, milliseconds: Callable[[int], float]
    ) -> bool:
        """Whether the hit is this stroke once more; the louder one of them is kept."""
        step = (self.first - hit.tick) / ticks_per_quarter
        apart = milliseconds(self.first) - milliseconds(hit.tick)
        # Not up to 25 ms, as in takes: from 120 a minute a written flam on a ghost is as near.
        if apart >= HEARD_TWICE or step >= _AT_ONCE:
            return False
        if not self.graces and hit.velocity > self.hit.velocity:
            self.hit = hit
            self.first = hit.tick
        return True


def _leads(
    hit: MidiHit, to: _Stroke, ticks_per_quarter: int, milliseconds: Callable[[int], float]
) -> bool:
    # What is clearly louder than the grace note after it is a stroke.
    if to.graces == _MOST_GRACES or _SOFTER * hit.velocity > to.softest:
        return False
    step = (to.first - hit.tick) / ticks_per_quarter
    if step <= _GRACE_QUARTERS and hit.velocity <= to.hit.velocity:
        return True
    gap = (to.hit.tick - hit.tick) / ticks_per_quarter
    near = milliseconds(to.hit.tick) - milliseconds(hit.tick) <= _PLAYED_MS
    return gap <= _PLAYED_QUARTERS and near and hit.velocity < _SOFTER * to.hit.velocity
