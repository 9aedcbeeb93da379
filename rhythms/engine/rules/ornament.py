"""Ornaments: flams, drags, diddles and buzzes, on all of some notes or on a number of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

from rhythms.engine.fills.fill import HANDS, ORNAMENTS, Stroke, other_hand
from rhythms.engine.rules.base import Bound, Choice, Field, Opening, Rule
from rhythms.engine.rules.counting_off import HOW_MANY, CountOff, too_few
from rhythms.engine.rules.json_reading import read_choice, read_number
from rhythms.engine.rules.marked_strokes import WithOrnament
from rhythms.engine.rules.scope import EVERY_NOTE, SCOPE_FIELDS, Scope
from rhythms.engine.rules.setting import Setting

EITHER = "either"
_LEADS = (
    Choice("", "not said"),
    Choice("R", "right hand"),
    Choice("L", "left hand"),
    Choice(EITHER, "either hand, both counted"),
)
_PLURALS = {"flam": "flams", "drag": "drags", "diddle": "diddles", "buzz": "buzzes"}
_LEADING = {"R": "right hand leading", "L": "left hand leading", EITHER: "either hand leading"}


@dataclass(frozen=True)
class Ornament(Rule):
    """Notes in ``scope`` are flams, drags, diddles or buzzes; with ``n``, exactly ``n`` of them.

    The stroke's limb is the leading hand: it plays the note itself, the other hand the grace
    notes before it (a diddle is both strokes of the one hand, a buzz all bounces of its stick).
    Feet play no ornaments, and two hands at once neither; a foot may be under one.
    ``lead`` "either" counts both hands; "" leaves hands to the other rules.
    """

    name: ClassVar[str] = "ornament"
    title: ClassVar[str] = "Flams, drags, diddles and buzzes"
    purpose: ClassVar[str] = "touch"
    fields: ClassVar[tuple[Field, ...]] = (
        *SCOPE_FIELDS,
        Field(
            "ornament",
            "These notes are",
            "choice",
            tuple(Choice(o, _PLURALS[o]) for o in ORNAMENTS),
            "flam",
        ),
        Field("lead", "Leading hand", "choice", _LEADS, optional=True),
        HOW_MANY,
    )

    ornament: str
    scope: Scope = EVERY_NOTE
    lead: str = ""
    n: int | None = None

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Ornament:
        """Raises RuleError."""
        cls.check_keys(data)
        return cls(
            read_choice(data, "ornament", ORNAMENTS),
            Scope.from_json(data),
            read_choice(data, "lead", ("", *HANDS, EITHER), ""),
            None if data.get("n") is None else read_number(data, "n", 0, 64),
        )

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        lead = {"lead": self.lead} if self.lead else {}
        number = {} if self.n is None else {"n": self.n}
        return {
            "rule": self.name,
            **self.scope.to_json(),
            "ornament": self.ornament,
            **lead,
            **number,
        }

    def sentence(self) -> str:
        """``Quarters are flams, right hand leading.``; ``Exactly 2 drags among the eighths.``"""
        words = self.scope.words()
        lead = f", {_LEADING[self.lead]}" if self.lead else ""
        if self.n is None:
            return f"{words[0].upper()}{words[1:]} are {_PLURALS[self.ornament]}{lead}."
        among = words if self.scope.everywhere else f"the {words}"
        ornaments = self.ornament if self.n == 1 else _PLURALS[self.ornament]
        return f"Exactly {self.n} {ornaments} among {among}{lead}."

    @property
    def speaks_of_hands(self) -> bool:
        """Only where a leading hand is asked for or counted."""
        return bool(self.lead)

    def mirrored(self) -> Ornament:
        """The other hand leads."""
        return replace(self, lead=other_hand(self.lead)) if self.lead in HANDS else self

    def lacks(self, setting: Setting) -> str:
        """Notes enough for the number asked for."""
        return too_few(self.scope.members(setting), self.n, self.scope.everywhere)

    def bind(self, setting: Setting) -> Bound:
        """Open the ornament on the scoped notes, ask for it, and for its leading hand."""
        scoped = self.scope.members(setting)
        every = self.n is None

        def narrow(index: int, strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            if not scoped[index]:
                return strokes
            return tuple(stroke for stroke in strokes if self._allows(stroke, every))

        automaton = (
            None if self.n is None else CountOff(scoped, self.n, WithOrnament(self.ornament))
        )
        opened = Opening(ornaments=(self.ornament,))
        return Bound(
            narrow, lambda index: opened if scoped[index] else Opening(), automaton=automaton
        )

    def _allows(self, stroke: Stroke, every: bool) -> bool:
        if stroke.ornament != self.ornament:
            return not every
        return self.lead not in HANDS or stroke.limb == self.lead
