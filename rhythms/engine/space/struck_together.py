"""What other limbs may strike together with a hand on one note."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from rhythms.engine.fills.fill import Hit, Stroke, other_hand
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.kit_layout import crossed_at_once
from rhythms.engine.kits.surfaces import FEET, OPEN_HATS, Surface
from rhythms.engine.rules.base import Opening

Feet = tuple[Hit, ...]


@dataclass(frozen=True)
class StruckTogether:
    """By the surface of a hand: ``alone``, all feet that may go under it, none as the first; and
    ``with_second``, what a second hand may strike, with the feet of both.

    Each pair of surfaces is counted from its first surface alone, and never with crossed hands.
    """

    left_handed: bool
    alone: dict[Surface, tuple[Feet, ...]]
    with_second: dict[Surface, tuple[tuple[Surface, tuple[Feet, ...]], ...]]

    @classmethod
    def of(
        cls, kit: Kit, surfaces: Sequence[Surface], openings: Sequence[Opening]
    ) -> StruckTogether:
        """What rules open where ``surfaces`` are within reach, in the order of surfaces."""
        pairs = frozenset[tuple[Surface, ...]]().union(*(opening.pairs for opening in openings))
        feet = _feet(kit, openings)
        hands = [surface for surface in surfaces if surface not in FEET]
        return cls(
            kit.left_handed,
            {one: _under(feet, {one}) for one in hands},
            {
                one: tuple(
                    (other, _under(feet, {one, other}))
                    for other in hands[place:]
                    if (one, other) in pairs
                )
                for place, one in enumerate(hands, start=1)
            },
        )

    def with_others(self, stroke: Stroke) -> Iterator[Stroke]:
        """A stroke alone, then with each second hand, and all of them with and without feet."""
        if stroke.by_foot:
            yield stroke
            return
        surface, limb, dynamic, ornament, _ = stroke
        for feet in self.alone[surface]:
            yield Stroke(surface, limb, dynamic, ornament, feet)
        # An ornament takes both hands.
        if ornament is None:
            hand = limb and other_hand(limb)
            for second, with_feet in self.with_second[surface]:
                if limb and crossed_at_once(limb, surface, second, left_handed=self.left_handed):
                    continue
                hit = Hit(second, hand, dynamic)
                for feet in with_feet:
                    yield Stroke(surface, limb, dynamic, None, (hit, *feet))


def several(strokes: Iterable[Stroke]) -> int:
    """How many of them are of several limbs."""
    return sum(bool(stroke.beside) for stroke in strokes)


def _feet(kit: Kit, openings: Sequence[Opening]) -> list[tuple[Hit, frozenset[Surface]]]:
    """The feet that may go under hands, and under which of their surfaces."""
    under: dict[Surface, frozenset[Surface]] = {}
    for opening in openings:
        for foot, on in opening.under:
            under[foot] = under.get(foot, frozenset()) | on
    return [(Hit(foot, kit.foot_for(foot)), under[foot]) for foot in kit.surfaces if foot in under]


def _under(feet: list[tuple[Hit, frozenset[Surface]]], struck: set[Surface]) -> tuple[Feet, ...]:
    """Each foot that may go under these, with and without it; none that closes an open hi-hat."""
    choices: list[tuple[Feet, ...]] = [
        ((), (hit,))
        for hit, on in feet
        if not on.isdisjoint(struck)
        and (hit.surface is not Surface.HI_HAT_FOOT or OPEN_HATS.isdisjoint(struck))
    ]
    return tuple(tuple(hit for foot in chosen for hit in foot) for chosen in product(*choices))
