"""Linear patterns: hands and feet in turn, never two limbs at once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

from rhythms.engine.errors import RuleError
from rhythms.engine.fills.fill import HANDS, Stroke
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.rules.base import Bound, Field, Opening, Rule
from rhythms.engine.rules.scope import EVERY_NOTE, SCOPE_FIELDS, Scope, listed
from rhythms.engine.rules.setting import Setting

#: F after the bass drum foot, H after the hi-hat foot.
_FEET = {"F": Surface.BASS_DRUM, "H": Surface.HI_HAT_FOOT}
_MOST_LETTERS = 32
_SWAP = str.maketrans("RL", "LR")


@dataclass(frozen=True)
class Linear(Rule):
    """The notes in ``scope`` take the letters of ``pattern`` in turn, over and over.

    R and L are hands, F the foot on the bass drum, H the foot on the hi-hat. Nothing else is
    struck on these notes.
    """

    name: ClassVar[str] = "linear"
    title: ClassVar[str] = "Hands and feet in turn"
    purpose: ClassVar[str] = "feet"
    fields: ClassVar[tuple[Field, ...]] = (
        *SCOPE_FIELDS,
        Field(
            "pattern",
            "Pattern",
            "text",
            default="RLF",
            # Patterns of common practice.
            help="R and L are hands, F the bass drum, H the hi-hat foot: RLF, RLFF, RLRLF, FRL …",
        ),
    )

    pattern: str
    scope: Scope = EVERY_NOTE

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Linear:
        """Raises RuleError."""
        cls.check_keys(data)
        pattern = data.get("pattern")
        if not isinstance(pattern, str) or not 1 <= len(pattern) <= _MOST_LETTERS:
            raise RuleError(
                f"“pattern” needs one to {_MOST_LETTERS} letters, such as RLF.", field="pattern"
            )
        pattern = pattern.upper().replace(" ", "")
        strange = sorted(set(pattern) - {*HANDS, *_FEET})
        if strange:
            raise RuleError(
                f"“{strange[0]}” is not a limb: write R and L for the hands, "
                "F for the bass drum, H for the hi-hat foot.",
                field="pattern",
            )
        return cls(pattern, Scope.from_json(data))

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        return {"rule": self.name, **self.scope.to_json(), "pattern": self.pattern}

    def sentence(self) -> str:
        """``Hands and feet in turn on all notes: R L F, F on the bass drum.``"""
        feet = listed(tuple(f"{f} on the {_FEET[f]}" for f in _FEET if f in self.pattern))
        ending = f", {feet}" if feet else ""
        where = "all notes" if self.scope.everywhere else f"the {self.scope.words()}"
        return f"Hands and feet in turn on {where}: {' '.join(self.pattern)}{ending}."

    def sentence_on(self, kit: Kit) -> str:
        """Nothing where a foot of the pattern has no pedal: what is played is without it."""
        has_feet = all(kit.has(_FEET[letter]) for letter in _FEET if letter in self.pattern)
        return self.sentence() if has_feet else ""

    @property
    def speaks_of_hands(self) -> bool:
        """It fixes them."""
        return True

    def mirrored(self) -> Linear:
        """The hands swapped; each foot keeps its drum."""
        return replace(self, pattern=self.pattern.translate(_SWAP))

    def lacks(self, setting: Setting) -> str:
        """``this kit has no bass drum``."""
        missing = [
            str(surface)
            for letter, surface in _FEET.items()
            if letter in self.pattern and surface not in setting.kit.surfaces
        ]
        return f"this kit has no {listed(tuple(missing))}" if missing else ""

    def bind(self, setting: Setting) -> Bound:
        """Keep the limb each letter asks for."""
        letters = self._letters(setting)

        def opens(index: int) -> Opening:
            foot = _FEET.get(letters[index] or "")
            return Opening(feet=(foot,) if foot else ())

        def narrow(index: int, strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            letter = letters[index]
            if letter is None:
                return strokes
            return tuple(stroke for stroke in strokes if _plays(stroke, letter))

        return Bound(narrow, opens)

    def _letters(self, setting: Setting) -> tuple[str | None, ...]:
        taken, letters = 0, []
        for inside in self.scope.members(setting):
            letters.append(self.pattern[taken % len(self.pattern)] if inside else None)
            taken += inside
        return tuple(letters)


def _plays(stroke: Stroke, letter: str) -> bool:
    if stroke.beside:
        return False
    return stroke.limb == letter if letter in HANDS else stroke.surface == _FEET[letter]
