"""From what was caught at one place to the one stroke that a player can have struck there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from rhythms.engine.fills.fill import HANDS, Hit, Stroke, stroke_of
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import FEET, PLAIN, Surface, base
from rhythms.engine.takes.touch_levels import TouchLevels


class Caught(NamedTuple):
    """One drum or cymbal as it was struck at one place; ``limb`` is the hand where it is known."""

    surface: Surface
    velocity: int
    ornament: str | None = None
    limb: str | None = None


class AtOnce(NamedTuple):
    """The stroke, and what is not in it: hits beyond two hands, a drum struck in another way as
    well, ornaments of hits that are."""

    stroke: Stroke
    left_out: tuple[Caught, ...] = ()
    twice: tuple[Caught, ...] = ()
    plain: tuple[Caught, ...] = ()


def at_once(caught: Iterable[Caught], kit: Kit, touch: TouchLevels) -> AtOnce:
    """The loudest hits that two hands and two feet strike at once; one at least is given.

    Two hits of one drum are one; of more than two drums for the hands the softest are left out, as
    a stroke on one pad is often heard by its neighbours. An ornament takes the other hand.
    """
    kept, left_out, twice = list[Caught](), list[Caught](), list[Caught]()
    for one in sorted(caught, key=lambda one: -one.velocity):
        same = [other for other in kept if base(other.surface) == base(one.surface)]
        if same:
            twice += [one] if one.surface != same[0].surface else []
        else:
            (kept if _has_room(one, kept) else left_out).append(one)
    hands = [one for one in kept if one.surface not in FEET]
    ornament = hands[0].ornament if len(hands) == 1 and hands[0].surface not in PLAIN else None
    plain = tuple(one for one in kept if one.ornament and not ornament)
    stroke = stroke_of(_hits(kept, kit, touch), ornament)
    return AtOnce(stroke, tuple(left_out), tuple(twice), plain)


def _has_room(one: Caught, kept: Sequence[Caught]) -> bool:
    if one.surface in FEET:
        return True
    hands = [other.surface for other in kept if other.surface not in FEET]
    both_taken = Surface.STICKS in hands or (hands and one.surface is Surface.STICKS)
    return len(hands) < len(HANDS) and not both_taken


def _hits(kept: Sequence[Caught], kit: Kit, touch: TouchLevels) -> Iterator[Hit]:
    """Hands that cannot be what they are said to be are open."""
    hands = [one.limb for one in kept if one.surface not in FEET and one.limb]
    known = len(set(hands)) == len(hands)
    for one in kept:
        limb = kit.foot_for(one.surface) if one.surface in FEET else one.limb if known else None
        yield Hit(one.surface, limb, touch.on(one.surface).dynamic(one.velocity))
