"""Both hands together: two surfaces at once, on all of some notes or on a number of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations
from typing import Any, ClassVar

from rhythms.engine.errors import RuleError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import KIT_SURFACES, Surface, base
from rhythms.engine.rules.base import Bound, Field, Opening, Rule
from rhythms.engine.rules.counting_off import HOW_MANY, CountOff, too_few
from rhythms.engine.rules.json_reading import read_number
from rhythms.engine.rules.marked_strokes import OnPair
from rhythms.engine.rules.one_limb import left_to_one_limb
from rhythms.engine.rules.scope import EVERY_NOTE, SCOPE_FIELDS, Scope
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.surface_choice import SurfaceChoice

_FULL_KIT = Kit(KIT_SURFACES)


@dataclass(frozen=True)
class BothHands(Rule):
    """On notes in ``scope`` one hand strikes one of ``one``, and the other at once one of
    ``other``; with ``n``, on exactly ``n`` of these notes.

    Which hand is on which is left to the hands, or to other rules; they do not cross, but over the
    hi-hat. Both are struck alike; a foot may be under them.
    """

    name: ClassVar[str] = "both hands"
    title: ClassVar[str] = "Both hands together"
    purpose: ClassVar[str] = "where notes go"
    fields: ClassVar[tuple[Field, ...]] = (
        *SCOPE_FIELDS,
        Field("one", "One hand", "hand surfaces"),
        Field("other", "The other hand", "hand surfaces"),
        HOW_MANY,
    )

    one: SurfaceChoice
    other: SurfaceChoice
    scope: Scope = EVERY_NOTE
    n: int | None = None

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> BothHands:
        """Raises RuleError."""
        cls.check_keys(data)
        rule = cls(
            SurfaceChoice.of_one_hand(data, "one"),
            SurfaceChoice.of_one_hand(data, "other"),
            Scope.from_json(data),
            None if data.get("n") is None else read_number(data, "n", 0, 64),
        )
        if not rule.pairs(_FULL_KIT):
            raise RuleError(
                "Two hands need two drums or cymbals: choose another one for this hand. "
                "Both on one are a flam.",
                field="other",
            )
        return rule

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        surfaces = {"one": self.one.to_json(), "other": self.other.to_json()}
        number = {} if self.n is None else {"n": self.n}
        return {"rule": self.name, **self.scope.to_json(), **surfaces, **number}

    def sentence(self) -> str:
        """``Accented notes are struck by both hands at once, one on the snare, the other …``"""
        words = self.scope.words()
        where = f"one {self.one.words()}, the other {self.other.words()}"
        if self.n is None:
            return f"{words[0].upper()}{words[1:]} are struck by both hands at once, {where}."
        notes = f"note{'' if self.n == 1 else 's'}" if self.scope.everywhere else f"of the {words}"
        return f"Both hands at once on exactly {self.n} {notes}, {where}."

    def pairs(self, kit: Kit) -> frozenset[tuple[Surface, ...]]:
        """The two surfaces that this kit has for it, in order: of two drums or cymbals."""
        hands = [each for each in (*kit.hand_surfaces, *kit.ways) if each is not Surface.STICKS]
        one, other = self.one.on(kit), self.other.on(kit)
        return frozenset(
            (a, b)
            for a, b in combinations(hands, 2)
            if base(a) != base(b) and ((a in one and b in other) or (a in other and b in one))
        )

    def lacks(self, setting: Setting) -> str:
        """A pair of surfaces, or notes enough for the number asked for."""
        if self.n == 0:
            return ""
        if not self.pairs(setting.kit):
            missing = self.one.lacks(setting.kit) or self.other.lacks(setting.kit)
            return missing or "this kit has nothing else for the other hand"
        return too_few(self.scope.members(setting), self.n, self.scope.everywhere)

    def idle_beside(self, rules: Iterable[Rule]) -> str:
        """Notes that another rule leaves to one limb."""
        return left_to_one_limb(self.scope, rules)

    def bind(self, setting: Setting) -> Bound:
        """Open the pairs on the scoped notes, and ask for one of them."""
        scoped, pairs = self.scope.members(setting), self.pairs(setting.kit)
        mark, ways = OnPair(pairs), {*self.one.ways(setting.kit), *self.other.ways(setting.kit)}
        opened = Opening(pairs=pairs, ways=tuple(sorted(ways)))

        def opens(index: int) -> Opening:
            return opened if scoped[index] else Opening()

        if self.n is not None:
            return Bound(opens=opens, automaton=CountOff(scoped, self.n, mark))

        def narrow(index: int, strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            return tuple(filter(mark, strokes)) if scoped[index] else strokes

        return Bound(narrow, opens)
