"""What was struck in one place of a lesson's grid: a surface, or several at once."""

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from django import forms

from rhythms.engine import EngineError, Fill, Surface
from rhythms.engine.fills.fill import Hit, stroke_of
from rhythms.engine.kits.surfaces import FEET, called

NOTHING = "–"
#: Between surfaces that are struck at once. The page's script writes it too.
AND = " + "
#: Pairs that both hands strike most often (counted in human fills), where the kit has them.
_UNISONS = (
    (Surface.SNARE, Surface.FLOOR_TOM),
    (Surface.HIGH_TOM, Surface.FLOOR_TOM),
)


def parts_of(struck: str) -> list[str]:
    """The surfaces of a value: none of `""`."""
    return struck.split(AND) if struck else []


def struck_in(fill: Fill) -> dict[Fraction, str]:
    """The value for each stroke of a fill, by its onset."""
    return {
        note.onset: AND.join(map(str, stroke.surfaces))
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
    }


def often_together(surfaces: Iterable[str], values: Iterable[str]) -> list[str]:
    """What a list offers besides single surfaces: what the fill has, and what is common."""
    there = list(surfaces)
    bass = str(Surface.BASS_DRUM)
    unisons = [AND.join(pair) for pair in _UNISONS if {*map(str, pair)} <= {*there}]
    over_it = [f"{name}{AND}{bass}" for name in there if bass in there and name not in FEET]
    own = [value for value in values if AND in value]
    return list(dict.fromkeys([*own, *unisons, *over_it]))


class StruckField(forms.ChoiceField):
    """One surface, or several joined by AND that a player can strike at once; `""` for none.

    `offered` are values of several; whatever else is sent stands in the list again, so that it is
    not lost with a mistake.
    """

    def __init__(self, surfaces: Iterable[str], offered: Iterable[str], **kwargs: Any) -> None:
        self.surfaces = list(surfaces)
        several = [value for value in dict.fromkeys(offered) if self._is_of_the_kit(value)]
        values = [*self.surfaces, *(value for value in several if AND in value)]
        super().__init__(
            choices=[("", NOTHING), *((value, _said(value)) for value in values)],
            required=False,
            error_messages={"invalid_choice": "“%(value)s” is not on this kit."},
            **kwargs,
        )

    def valid_value(self, value: object) -> bool:
        """Whether everything in it is on this kit."""
        return self._is_of_the_kit(str(value))

    def clean(self, value: Any) -> str:
        """The surfaces in their order. Raises ValidationError where nobody strikes that at once."""
        struck = super().clean(value)
        if AND not in struck:
            return str(struck)
        try:
            stroke = stroke_of(Hit(Surface(name)) for name in parts_of(struck))
        except EngineError as error:
            raise forms.ValidationError(error.message, code="at-once") from error
        return AND.join(map(str, stroke.surfaces))

    def _is_of_the_kit(self, value: str) -> bool:
        return all(name in self.surfaces for name in parts_of(value))


def _said(value: str) -> str:
    *first, last = map(called, parts_of(value))
    return f"{', '.join(first)} and {last}" if first else last
