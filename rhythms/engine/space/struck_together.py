"""What other limbs may strike together with a hand on one note."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from rhythms.engine.fills.fill import Hit, Stroke, other_hand
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import FEET, Surface
from rhythms.engine.rules.base import Opening, Under


@dataclass(frozen=True)
class StruckTogether:
    """``partners`` has what a second hand may strike, by the surface of the first: each pair is
    counted from its first surface alone. ``feet`` has the feet, each with what it may go under.
    """

    partners: dict[Surface, tuple[Surface, ...]]
    feet: tuple[tuple[Hit, tuple[Under, ...]], ...]

    @classmethod
    def of(
        cls, kit: Kit, surfaces: Sequence[Surface], openings: Sequence[Opening]
    ) -> StruckTogether:
        """What rules open where ``surfaces`` are within reach, in the order of surfaces."""
        pairs = frozenset[frozenset[Surface]]().union(*(opening.pairs for opening in openings))
        partners = {
            surface: tuple(other for other in surfaces[place:] if {surface, other} in pairs)
            for place, surface in enumerate(surfaces, start=1)
        }
        unders = [under for opening in openings for under in opening.under]
        feet = tuple(
            (Hit(foot, kit.foot_for(foot)), tuple(u for u in unders if u.surface == foot))
            for foot in kit.surfaces
            if foot in FEET
        )
        return cls(partners, feet)

    def with_others(self, stroke: Stroke) -> Iterator[Stroke]:
        """A stroke alone, then with each second hand, and all of them with and without feet."""
        if stroke.by_foot:
            yield stroke
            return
        for hands in ((), *self._second_hands(stroke)):
            struck = {stroke.surface, *(hit.surface for hit in hands)}
            for feet in self._feet_under(struck):
                yield stroke._replace(beside=(*hands, *feet)) if hands or feet else stroke

    def _second_hands(self, stroke: Stroke) -> Iterator[tuple[Hit]]:
        # An ornament takes both hands.
        if stroke.ornament is None:
            hand = stroke.limb and other_hand(stroke.limb)
            for surface in self.partners[stroke.surface]:
                yield (Hit(surface, hand, stroke.dynamic),)

    def _feet_under(self, struck: set[Surface]) -> Iterator[tuple[Hit, ...]]:
        choices: list[tuple[tuple[Hit, ...], ...]] = [
            ((), (hit,))
            for hit, unders in self.feet
            if any(not under.on.isdisjoint(struck) for under in unders)
        ]
        for feet in product(*choices):
            yield tuple(hit for foot in feet for hit in foot)
