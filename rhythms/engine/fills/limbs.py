"""A fill limb by limb: what each hand and foot strikes when, graces included."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import HANDS, LIMBS, Fill, other_hand
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.kit_layout import crosses
from rhythms.engine.kits.move_time import CROSSING, REBOUND, move_time
from rhythms.engine.kits.surfaces import Surface

#: The share of a buzz's time in which its stick is pressed into the head, by common practice: the
#: other hand takes over from there. The second stroke of a diddle comes half way.
BUZZED = HALF = Fraction(1, 2)


class LimbHit(NamedTuple):
    """One contact of one limb, at ``onset`` quarter lengths, as it sounds; ``note`` is its stroke.

    ``strokes`` is 2 for the graces of a drag. A buzz ``lasts`` so many quarters: the hand may leave
    no sooner.
    """

    onset: float
    surface: Surface
    note: int
    strokes: int = 1
    lasts: float = 0.0


#: What the hands strike, in order; and where each hand is.
HandHits = list[tuple[str, LimbHit]]
HandPlaces = dict[str, LimbHit]


class LimbMove(NamedTuple):
    """A hand from one hit to its next: ``quarters`` to do it in, ``seconds`` it needs."""

    origin: LimbHit
    target: LimbHit
    crossed: bool

    @property
    def quarters(self) -> float:
        """The time given, in quarter lengths."""
        return self.target.onset - self.origin.onset - self.origin.lasts

    @property
    def seconds(self) -> float:
        """The time needed."""
        return self._seconds() + (CROSSING if self.crossed else 0.0)

    def _seconds(self) -> float:
        graces = REBOUND * (self.target.strokes - 1)
        return move_time(self.origin.surface, self.target.surface) + graces

    def load(self, tempo: float, *, crossing: bool = True) -> float:
        """The squared share of the time given that is needed at ``tempo`` quarters a minute."""
        needed = self.seconds if crossing else self._seconds()
        return (needed * tempo / (60 * self.quarters)) ** 2

    @property
    def name(self) -> str:
        """Which part of the effort it is: hand_rate, doubles or travel."""
        if self.origin.surface == self.target.surface:
            return "hand_rate"
        return "doubles" if self.target.note - self.origin.note == 1 else "travel"


def hits_at(
    fill: Fill, index: int, limb: str, feel: Feel = STRAIGHT
) -> Iterator[tuple[str, LimbHit]]:
    """The hits of one stroke when ``limb`` plays it: the other hand's graces, then its own.

    What is struck beside it follows: by the other hand, and by feet.
    """
    stroke = fill.strokes[index]
    onset, pressed, to_second = _times(fill.bar, feel)[index]
    if stroke.ornament in ("flam", "drag"):
        graces = 2 if stroke.ornament == "drag" else 1
        yield other_hand(limb), LimbHit(onset, stroke.surface, index, graces)
    lasts = pressed if stroke.ornament == "buzz" else 0.0
    yield limb, LimbHit(onset, stroke.surface, index, lasts=lasts)
    if stroke.ornament == "diddle":
        yield limb, LimbHit(onset + to_second, stroke.surface, index)
    for hit in stroke.beside:
        by = str(hit.limb) if hit.by_foot else other_hand(limb)
        yield by, LimbHit(onset, hit.surface, index)


class _Times(NamedTuple):
    """When a note sounds, and how long after it a buzz lasts and a diddle strikes again."""

    onset: float
    buzzed: float
    halved: float


@lru_cache(maxsize=256)
def _times(bar: Bar, feel: Feel) -> tuple[_Times, ...]:
    sounding = feel.warp_of(bar).sounding
    return tuple(
        _Times(
            float(onset),
            float(sounding(note.onset + note.length * BUZZED) - onset),
            float(sounding(note.onset + note.length * HALF) - onset),
        )
        for note, onset in zip(bar.sounded, feel.strokes_of(bar), strict=True)
    )


def hits_of(fill: Fill, feel: Feel = STRAIGHT) -> dict[str, list[LimbHit]]:
    """Every limb's hits in order. The hands of ``fill`` must be fixed."""
    hits: dict[str, list[LimbHit]] = {limb: [] for limb in LIMBS}
    for index, stroke in enumerate(fill.strokes):
        for limb, hit in hits_at(fill, index, str(stroke.limb), feel):
            hits[limb].append(hit)
    return hits


def hand_hits_at(
    fill: Fill, index: int, limb: str, feel: Feel = STRAIGHT
) -> tuple[HandHits, HandPlaces]:
    """The hits of the hands, and where each hand is then if both strike at once, else nothing."""
    hits = [(hand, hit) for hand, hit in hits_at(fill, index, limb, feel) if hand in HANDS]
    return hits, dict(hits) if fill.strokes[index].both_hands else {}


def moves_of(fill: Fill, kit: Kit, feel: Feel = STRAIGHT) -> Iterator[LimbMove]:
    """Every move of the hands. The hands of ``fill`` must be fixed."""
    last: dict[str, LimbHit] = {}
    for index, stroke in enumerate(fill.strokes):
        hits, at_once = hand_hits_at(fill, index, str(stroke.limb), feel)
        for hand, hit in hits:
            if hand in last:
                other = (at_once or last).get(other_hand(hand))
                yield move(last[hand], hit, hand, other, kit)
            last[hand] = hit


def move(origin: LimbHit, target: LimbHit, limb: str, other: LimbHit | None, kit: Kit) -> LimbMove:
    """The move of hand ``limb``, with the other hand where it struck last, or strikes at once."""
    crossed = (
        other is not None
        and target.surface != origin.surface
        and crosses(limb, target.surface, other.surface, left_handed=kit.left_handed)
    )
    return LimbMove(origin, target, crossed)
