"""A hand stays: one hand has its surfaces, the other one is free."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

from rhythms.engine.fills.fill import HANDS, LIMB_NAMES, Stroke, other_hand
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.rules.base import Bound, Choice, Field, Opening, Rule
from rhythms.engine.rules.json_reading import read_choice
from rhythms.engine.rules.scope import EVERY_NOTE, SCOPE_FIELDS, Scope
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.surface_choice import SurfaceChoice


@dataclass(frozen=True)
class HandStays(Rule):
    """On the notes in ``scope`` one hand strikes nothing but ``surfaces``, grace notes included."""

    name: ClassVar[str] = "hand stays"
    title: ClassVar[str] = "A hand stays"
    purpose: ClassVar[str] = "which hand plays"
    fields: ClassVar[tuple[Field, ...]] = (
        Field("hand", "Hand", "choice", tuple(Choice(h, LIMB_NAMES[h]) for h in HANDS), "R"),
        Field("surfaces", "Stays", "surfaces"),
        *SCOPE_FIELDS,
    )

    hand: str
    surfaces: SurfaceChoice
    scope: Scope = EVERY_NOTE

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> HandStays:
        """Raises RuleError."""
        cls.check_keys(data)
        hand = read_choice(data, "hand", HANDS, "R")
        return cls(hand, SurfaceChoice.of_hands(data, "surfaces"), Scope.from_json(data))

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        return {
            "rule": self.name,
            "hand": self.hand,
            "surfaces": self.surfaces.to_json(),
            **self.scope.to_json(),
        }

    def sentence(self) -> str:
        """``The right hand stays on the ride.``; ``On the 16ths, the left hand stays …``"""
        stays = f"he {LIMB_NAMES[self.hand]} stays {self.surfaces.words()}."
        return f"T{stays}" if self.scope.everywhere else f"On the {self.scope.words()}, t{stays}"

    @property
    def speaks_of_hands(self) -> bool:
        """It leaves both hands open, and counts them."""
        return True

    def mirrored(self) -> HandStays:
        """The other hand stays."""
        return replace(self, hand=other_hand(self.hand))

    def lacks(self, setting: Setting) -> str:
        """``this kit has no ride``."""
        return self.surfaces.lacks(setting.kit)

    def bind(self, setting: Setting) -> Bound:
        """Keep what the hand does not strike, and what it strikes on its surfaces."""
        chosen = self.surfaces.on(setting.kit)
        opened = Opening(ways=self.surfaces.ways(setting.kit))
        scoped = self.scope.members(setting)

        def narrow(index: int, strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            if not scoped[index]:
                return strokes
            return tuple(s for s in strokes if chosen.issuperset(_struck_by(self.hand, s)))

        return Bound(narrow, lambda index: opened if scoped[index] else Opening())


def _struck_by(hand: str, stroke: Stroke) -> list[Surface]:
    """What a hand strikes: with grace notes, and stick on stick, both hands do."""
    if stroke.ornament in ("flam", "drag") or stroke.surface is Surface.STICKS:
        return [stroke.surface]
    return [hit.surface for hit in stroke.hits if hit.limb == hand]
