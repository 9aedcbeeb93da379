"""Form fields for the kinds of field that a rule may have.

A new rule needs nothing here: it is shown by the kinds of its fields.
"""

from collections.abc import Callable, Iterable
from functools import partial
from typing import Any

from django import forms

from rhythms.engine.bars.values import LENGTHS
from rhythms.engine.kits.surfaces import (
    ANYTHING,
    ANYTHING_BUT,
    FAMILIES,
    FEET,
    KIT_SURFACES,
    WAYS,
    Surface,
    called,
)
from rhythms.engine.rules.base import Field

#: What most bars are made of; the others stand behind "More".
COMMON_VALUES = (
    *("quarter", "eighth", "16th", "32nd", "dotted eighth"),
    *("eighth triplet", "16th triplet", "16th quintuplet"),
)
MORE = "More"


def named(names: Iterable[str]) -> list[tuple[str, str]]:
    """Choices that are shown as they are called."""
    return [(str(name), called(name).capitalize()) for name in names]


VALUES = [
    ("", named(COMMON_VALUES)),
    (MORE, named(value for value in LENGTHS if value not in COMMON_VALUES)),
]
_WAYS = "Ways of striking, where named"
SURFACES = [
    ("", named((ANYTHING, *FAMILIES))),
    ("Surfaces", named(KIT_SURFACES)),
    (_WAYS, named(WAYS)),
]
HAND_SURFACES = [
    SURFACES[0],
    ("Surfaces", named(one for one in KIT_SURFACES if one not in FEET)),
    (_WAYS, named(one for one in WAYS if one is not Surface.STICKS)),
]


class Ticks(forms.CheckboxSelectMultiple):
    """Groups of ticks; a group called "More" is folded unless something in it is ticked."""

    template_name = "rhythms/rule_sets/ticks_widget.html"

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        context["widget"]["groups"] = [
            {
                "name": group,
                "options": options,
                "folded": group == MORE,
                "open": any(option["selected"] for option in options),
            }
            for group, options, _ in context["widget"]["optgroups"]
        ]
        return context


class SurfacesWidget(forms.MultiWidget):
    template_name = "rhythms/rule_sets/surfaces_widget.html"

    def __init__(self, surfaces: list[Any]) -> None:
        way = forms.Select(
            choices=SurfacesField.WAYS, attrs={"class": "compact", "aria-label": "On or off these"}
        )
        super().__init__(widgets={"way": way, "names": Ticks(choices=surfaces)})

    def decompress(self, value: Any) -> list[Any]:
        """Of nothing; what is stored comes taken apart already, by the field."""
        return ["", []]


class ValuesField(forms.MultipleChoiceField):
    """Value classes; none ticked means every note."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(choices=VALUES, widget=Ticks, **kwargs)


class SurfacesField(forms.MultiValueField):
    """Surfaces and families, or all but them: a list, or {"anything but": list}."""

    WAYS = [("", "On these"), (ANYTHING_BUT, "Anywhere but on these")]

    def __init__(
        self, *, surfaces: list[Any] = SURFACES, initial: str | None = None, **kwargs: Any
    ) -> None:
        way = forms.ChoiceField(choices=self.WAYS, required=False)
        names = forms.MultipleChoiceField(choices=surfaces, required=False)
        super().__init__(
            [way, names],
            widget=SurfacesWidget(surfaces),
            require_all_fields=False,
            initial=[initial] if initial else None,
            **kwargs,
        )

    def clean(self, value: Any) -> Any:
        """Raises ValidationError where no surface is chosen, whichever way."""
        if not (value and value[1]):
            raise forms.ValidationError("Choose at least one surface.", code="required")
        return super().clean(value)

    def prepare_value(self, value: Any) -> Any:
        """What is stored, as the two controls show it; what was sent stays as it is."""
        if isinstance(value, dict):
            return [ANYTHING_BUT, value[ANYTHING_BUT]]
        stored = isinstance(value, list) and all(isinstance(name, str) for name in value)
        return ["", value] if stored else value

    def compress(self, data_list: list[Any]) -> Any:
        way, names = data_list
        return {ANYTHING_BUT: names} if way else names


class WordsField(forms.CharField):
    """Short texts with commas between them: a list."""

    def prepare_value(self, value: Any) -> Any:
        """What is stored, as it is typed; what was sent stays as it is."""
        return ", ".join(value) if isinstance(value, list) else value

    def clean(self, value: Any) -> Any:
        """The texts; empty where nothing is typed."""
        return [word.strip() for word in super().clean(value).split(",") if word.strip()]


_KINDS: dict[str, Callable[..., forms.Field]] = {
    "values": ValuesField,
    "surfaces": SurfacesField,
    "hand surfaces": partial(SurfacesField, surfaces=HAND_SURFACES),
    "choice": forms.ChoiceField,
    "number": forms.IntegerField,
    "text": forms.CharField,
    "words": WordsField,
}


def grouped(field: Field) -> list[tuple[str, list[tuple[str, str]]]]:
    """Choices under their headings."""
    placed = list(zip(field.groups, field.choices, strict=True))
    return [
        (heading, [choice for group, choice in placed if group == heading])
        for heading in dict.fromkeys(field.groups)
    ]


def form_field(field: Field) -> forms.Field:
    """The form field for one field of a rule."""
    shown: dict[str, Any] = {
        "label": field.label,
        "help_text": field.help,
        "required": not field.optional,
    }
    if field.default:
        shown["initial"] = field.default
    if field.choices:
        shown["choices"] = grouped(field) if field.groups else list(field.choices)
    if field.kind == "number":
        wanted = f"Give a whole number from {field.least} to {field.most}."
        shown |= {"min_value": field.least, "max_value": field.most}
        shown["error_messages"] = dict.fromkeys(("invalid", "min_value", "max_value"), wanted)
    return _KINDS[field.kind](**shown)
