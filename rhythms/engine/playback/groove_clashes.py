"""What two hands and two feet cannot strike at once, in a groove that is typed drum by drum."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from rhythms.engine.bars.meter import Meter
from rhythms.engine.bars.spoken_counts import division_for
from rhythms.engine.errors import NotCountableError
from rhythms.engine.fills.fill import HANDS
from rhythms.engine.kits.surfaces import FEET, OPEN_HATS, Surface, base, called
from rhythms.engine.playback.groove_line import LineHit

#: What each drum plays, in the order of its lines.
Played = Mapping[Surface, Sequence[LineHit]]


class GrooveClash(NamedTuple):
    """Drums that cannot be struck together at ``onset``, in the order of their lines, and why."""

    onset: Fraction
    surfaces: tuple[Surface, ...]
    why: str


def clashes(played: Played, meter: Meter) -> Iterator[GrooveClash]:
    """The first onset that limbs cannot play and the first beat that cannot be counted, if any."""
    yield from list(_of_limbs(played))[:1]
    yield from list(_of_counting(played, meter))[:1]


def _of_limbs(played: Played) -> Iterator[GrooveClash]:
    together: dict[Fraction, list[Surface]] = defaultdict(list)
    for surface, hits in played.items():
        for hit in hits:
            together[hit.onset].append(surface)
    for onset, surfaces in sorted(together.items()):
        if why := why_not_together(surfaces):
            yield GrooveClash(onset, tuple(surfaces), why)


def why_not_together(surfaces: Sequence[Surface]) -> str:
    """Why a player cannot strike all of these at once, as a sentence; "" where that can be done."""
    by_hand = [surface for surface in surfaces if surface not in FEET]
    if len(by_hand) > len(HANDS):
        return f"{_listed(by_hand)} at once: a player has two hands."
    drums = [_drum(surface) for surface in by_hand]
    if len(set(drums)) < len(drums):
        return f"{_listed(by_hand)} are one {drums[0]}: it is struck one way at a time."
    if Surface.STICKS in by_hand and len(by_hand) > 1:
        return f"{_listed(by_hand)} at once: the sticks take both hands."
    if Surface.HI_HAT_FOOT in surfaces and not OPEN_HATS.isdisjoint(by_hand):
        return "The foot closes the hi-hat here, where a hand strikes it open."
    return ""


def _drum(surface: Surface) -> Surface:
    """What is struck, in whichever way."""
    return Surface.SNARE if surface is Surface.CROSS_STICK else base(surface)


def _listed(surfaces: Sequence[Surface]) -> str:
    *first, last = map(called, surfaces)
    return f"{', '.join(first)} and {last}".capitalize()


def _of_counting(played: Played, meter: Meter) -> Iterator[GrooveClash]:
    """Beats that one drum counts otherwise than another: they could not be engraved."""
    for beat in meter.beats:
        inside: set[Fraction] = set()
        for surface, hits in played.items():
            own = {hit.onset for hit in hits if beat.onset <= hit.onset < beat.end}
            try:
                division_for(beat, frozenset(on - beat.onset for on in inside | own), meter)
            except NotCountableError:
                why = f"Beat {beat.number} is counted otherwise on another line. Count both alike."
                yield GrooveClash(_first_of(own, inside), (surface,), why)
                break
            inside |= own


def _first_of(own: Iterable[Fraction], others: Iterable[Fraction]) -> Fraction:
    return min(set(own) - set(others))
