"""Feet: rests filled by the feet, or some notes given to them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

from rhythms.engine.bars.bar import Bar
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import FEET, Surface
from rhythms.engine.rules.base import Bound, Choice, Field, Opening, Rule
from rhythms.engine.rules.json_reading import read_choice
from rhythms.engine.rules.scope import EVERY_NOTE, SCOPE_FIELDS, Scope, listed
from rhythms.engine.rules.setting import Setting

RESTS, NOTES = "rests", "notes"
_ON = (Choice(RESTS, "the rests"), Choice(NOTES, "the notes themselves"))
_FEET = tuple(Choice(str(surface), f"the {surface}") for surface in FEET)
_EITHER = Choice("either foot", "either foot")


@dataclass(frozen=True)
class Feet(Rule):
    """The feet alone play the rests of ``scope``, or its notes, on ``surfaces``."""

    name: ClassVar[str] = "feet"
    title: ClassVar[str] = "Feet"
    purpose: ClassVar[str] = "feet"
    fields: ClassVar[tuple[Field, ...]] = (
        *SCOPE_FIELDS,
        Field("on", "The feet take", "choice", _ON, RESTS),
        Field("foot", "On", "choice", (*_FEET, _EITHER), str(Surface.BASS_DRUM)),
    )

    foot: str = str(Surface.BASS_DRUM)
    on: str = RESTS
    scope: Scope = EVERY_NOTE

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Feet:
        """Raises RuleError."""
        cls.check_keys(data)
        return cls(
            read_choice(data, "foot", (*(str(s) for s in FEET), _EITHER.value), "bass drum"),
            read_choice(data, "on", (RESTS, NOTES), RESTS),
            Scope.from_json(data),
        )

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        return {"rule": self.name, **self.scope.to_json(), "on": self.on, "foot": self.foot}

    def sentence(self) -> str:
        """``The rests are played on the bass drum.``; ``16ths off the beat go to either foot.``"""
        where = "by either foot" if self.foot == _EITHER.value else f"on the {self.foot}"
        words = self.scope.words()
        if self.on == RESTS:
            words = "the rests" if self.scope.everywhere else f"rests in place of {words}"
        return f"{words[0].upper()}{words[1:]} are played {where}."

    def surfaces(self, setting: Setting) -> tuple[Surface, ...]:
        """The foot surfaces asked for that this kit has."""
        wanted = FEET if self.foot == _EITHER.value else (Surface(self.foot),)
        return tuple(surface for surface in setting.kit.surfaces if surface in wanted)

    def lacks(self, setting: Setting) -> str:
        """``this kit has no bass drum``."""
        missing = listed(tuple(map(str, FEET))) if self.foot == _EITHER.value else self.foot
        return "" if self.surfaces(setting) else f"this kit has no {missing}"

    def prepare(self, setting: Setting) -> Bar:
        """The bar with the rests of the scope turned into notes; before a pick-up they stay."""
        if self.on != RESTS:
            return setting.bar
        meter, notes = setting.bar.meter, setting.bar.notes
        sounding = Setting(
            Bar(meter, tuple(replace(note, rest=note.onset < meter.opens_at) for note in notes)),
            setting.kit,
        )
        taken = {
            note.onset
            for note in sounding.bar.sounded
            if note.onset < setting.bar.written_end and self.scope.holds(sounding, note.index)
        }
        played = (replace(note, rest=note.rest and note.onset not in taken) for note in notes)
        return replace(setting.bar, notes=tuple(played))

    def given_to_feet(self, setting: Setting) -> frozenset[int]:
        """The notes that were rests, or those of the scope."""
        if self.on == RESTS:
            return frozenset(note for note in setting.rested if self.scope.holds(setting, note))
        scoped = self.scope.members(setting)
        return frozenset(note for note, inside in enumerate(scoped) if inside)

    def bind(self, setting: Setting) -> Bound:
        """Give these notes to the feet."""
        surfaces, taken = self.surfaces(setting), self.given_to_feet(setting)
        wanted = frozenset(surfaces)

        def narrow(index: int, strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            if index not in taken:
                return strokes
            return tuple(stroke for stroke in strokes if wanted.issuperset(stroke.surfaces))

        return Bound(narrow, lambda index: Opening(feet=surfaces if index in taken else ()))
