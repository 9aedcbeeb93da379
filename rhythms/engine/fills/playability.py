"""How hard a fill is to play: its top tempo, and its effort broken down.

Times are those between strokes where they fall by a feel: swung, the second of a pair is nearer to
what follows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import HANDS, Fill
from rhythms.engine.fills.hands import fitting_as_taught, with_hands
from rhythms.engine.fills.limbs import hits_of, moves_of
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.move_time import FOOT_AGAIN, FOOT_PAIR, SUSTAINED

#: Beyond this, tempos count as the same.
MOST_TEMPO = 300.0
_DIGITS = 6


class Demand(NamedTuple):
    """``seconds`` are needed where ``quarters`` quarter lengths are given."""

    quarters: float
    seconds: float

    @property
    def tempo(self) -> float:
        """The highest tempo, in quarters a minute, that leaves the time needed."""
        # A sixth of a beat is no exact float: 99.99999 is 100.
        return round(60 * self.quarters / self.seconds, _DIGITS)


@dataclass(frozen=True)
class Effort:
    """What a fill asks for at a tempo, as squared shares of the time there is.

    A move that needs half the time it has counts 0.25. ``hand_rate``: strokes on the surface a
    hand is on; ``travel``: moves to another surface; ``doubles``: those moves inside a double;
    ``crossings``: what passing the other hand adds.
    """

    hand_rate: float
    travel: float
    doubles: float
    crossings: float

    @property
    def total(self) -> float:
        """All parts together."""
        return self.hand_rate + self.travel + self.doubles + self.crossings


def top_tempo(fill: Fill, kit: Kit, feel: Feel = STRAIGHT) -> float:
    """The highest tempo, in quarters a minute, at which every move fits; at most MOST_TEMPO.

    Feet that keep going count with the fill's own strokes of that foot.
    Where the hands are open, those of least effort are taken.
    """
    demands = _demands(with_hands(fill, kit, feel), kit, feel)
    return min([MOST_TEMPO, *(demand.tempo for demand in demands)])


def fits_as_taught(fill: Fill, kit: Kit, tempo: float, feel: Feel = STRAIGHT) -> bool:
    """Whether every move fits at ``tempo`` quarters a minute, open hands filled in as taught."""
    return looked_at_as_taught(fill, kit, tempo, feel)[0]


def looked_at_as_taught(
    fill: Fill, kit: Kit, tempo: float, feel: Feel = STRAIGHT
) -> tuple[bool, int]:
    """The same, and how many strokes it took to find out."""
    played, tried = fitting_as_taught(fill, kit, tempo, feel)
    if played is None or tempo > MOST_TEMPO:
        return False, tried
    fits = all(demand.tempo >= tempo for demand in _demands(played, kit, feel))
    return fits, tried + len(fill.strokes)


def effort(fill: Fill, kit: Kit, tempo: float, feel: Feel = STRAIGHT) -> Effort:
    """The effort of ``fill`` at ``tempo`` quarters a minute. Raises ValueError for a tempo of 0."""
    if tempo <= 0:
        raise ValueError(f"A tempo is more than 0; {tempo} was given.")
    parts = dict.fromkeys(("hand_rate", "travel", "doubles", "crossings"), 0.0)
    for move in moves_of(with_hands(fill, kit, feel), kit, feel):
        crossing = move.load(tempo) - move.load(tempo, crossing=False)
        parts["crossings"] += crossing
        parts[move.name] += move.load(tempo) - crossing
    return Effort(**parts)


def _demands(fill: Fill, kit: Kit, feel: Feel) -> Iterator[Demand]:
    for move in moves_of(fill, kit, feel):
        yield Demand(move.quarters, move.seconds)
    going = _going_on(fill, kit, feel)
    for limb, hits in hits_of(fill, feel).items():
        onsets = [hit.onset for hit in hits]
        if limb in HANDS:
            yield from _in_a_row(onsets, 2, 2 * SUSTAINED)
            continue
        if limb in going:
            onsets = sorted({*onsets, *going[limb]})
        yield from _in_a_row(onsets, 1, FOOT_PAIR)
        yield from _in_a_row(onsets, 2, 2 * FOOT_AGAIN)


def _in_a_row(onsets: Sequence[float], further: int, seconds: float) -> Iterator[Demand]:
    """So many seconds from each stroke of a limb to the one that comes so many after it."""
    for first, last in zip(onsets, onsets[further:], strict=False):
        yield Demand(last - first, seconds)


def _going_on(fill: Fill, kit: Kit, feel: Feel) -> dict[str, list[float]]:
    """When each foot strikes that keeps going under the fill."""
    found: dict[str, list[float]] = {}
    if fill.ostinato is None:
        return found
    warp = feel.warp_of(fill.bar)
    for hit in fill.going_on:
        found.setdefault(kit.foot_for(hit.surface), []).append(float(warp.sounding(hit.onset)))
    return found
