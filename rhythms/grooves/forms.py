"""A groove of the studio's own, typed drum by drum."""

from functools import cached_property
from typing import Any, NamedTuple

from django import forms
from django.core.exceptions import ValidationError
from django.forms.boundfield import BoundField
from django.urls import reverse_lazy

from rhythms.engine import Surface
from rhythms.engine.bars.feel import Feel
from rhythms.engine.kits.surfaces import called
from rhythms.engine.playback.groove_library import patterns, styles
from rhythms.engine.playback.groove_pattern import GroovePattern
from rhythms.forms import MeterField, NamedForm
from rhythms.grooves.groove_draft import (
    FEELS,
    IN_ROWS,
    LINE,
    SETUP,
    USUAL,
    GrooveDraft,
    feel_value,
    field_name,
)
from rhythms.models import StudioGroove

_TRIGGER = "input changed delay:200ms, early"


def redraw(trigger: str) -> dict[str, str]:
    """Attributes of a control that has the groove drawn anew from all lines."""
    return {
        "hx-post": str(reverse_lazy("rhythms:groove-preview")),
        "hx-trigger": trigger,
        "hx-target": "#engraving",
        "hx-sync": "closest form:queue last",
    }


class LineRow(NamedTuple):
    """A drum's line in the form, what is wrong with it, and whether most grooves have one."""

    drum: Surface
    in_setup: bool
    field: BoundField
    error: ValidationError | None

    @property
    def usual(self) -> bool:
        """Whether it stands open to all, and not behind a fold."""
        return self.drum in USUAL or bool(self.field.value())

    @property
    def caret(self) -> str:
        """A line to stand under the typed one, with ^ under the column of the error, or ""."""
        column = ((self.error and self.error.params) or {}).get("column")
        return "" if column is None else " " * column + "^"

    @property
    def message_id(self) -> str:
        """The id of the place where it is said what is wrong."""
        return f"{self.field.auto_id}_message"


class GrooveForm(NamedForm):
    """Name, meter, style, tempos; and for each drum a line, and one in the set-up bar."""

    meter = MeterField()
    style = forms.ChoiceField(
        choices=[("", "No style"), *((style, style.capitalize()) for style in styles())],
        required=False,
        error_messages={"invalid_choice": "Choose a style from the list."},
    )
    feel = forms.ChoiceField(
        choices=[(feel_value(feel), feel.in_full.capitalize()) for feel in FEELS],
        required=False,
        error_messages={"invalid_choice": "Choose a feel from the list."},
    )

    class Meta:
        model = StudioGroove
        fields = ["meter", "name", "style", "slowest", "fastest"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        own = self.instance
        self.initial["feel"] = feel_value(Feel.from_json(own.feel))
        self.fields["meter"].widget.attrs |= redraw("input changed delay:200ms, change")
        for name in ("feel", "slowest", "fastest"):
            self.fields[name].widget.attrs |= redraw("change")
        for part, kept in ((LINE, own.lines), (SETUP, own.setup)):
            for surface in IN_ROWS:
                self.fields[field_name(part, surface)] = _line_field(part, surface)
                self.initial.setdefault(field_name(part, surface), kept.get(str(surface), ""))

    @classmethod
    def copied(cls, pattern: GroovePattern, **kwargs: Any) -> "GrooveForm":
        """A new one that starts as a copy of another groove."""
        data = pattern.to_json()
        copy = StudioGroove(**data | {"name": f"{pattern.name}, own"})
        return cls(instance=copy, **kwargs)

    @cached_property
    def draft(self) -> GrooveDraft:
        """What stands in the fields, sent or not."""
        return GrooveDraft.typed({name: self[name].value() or "" for name in self.fields})

    @property
    def groove_rows(self) -> list[LineRow]:
        """A line for each drum."""
        return self._rows(LINE)

    @property
    def setup_rows(self) -> list[LineRow]:
        """A line for each drum in the bar that leads into a fill."""
        return self._rows(SETUP)

    @property
    def rows(self) -> list[LineRow]:
        """All of them."""
        return [*self.groove_rows, *self.setup_rows]

    def _rows(self, part: str) -> list[LineRow]:
        problems = self.draft.problems
        fields = {surface: field_name(part, surface) for surface in IN_ROWS}
        return [
            LineRow(surface, part == SETUP, self[name], problems.get(name))
            for surface, name in fields.items()
        ]

    def clean_name(self) -> str:
        name = super().clean_name()
        if name.casefold() in (pattern.name.casefold() for pattern in patterns()):
            raise ValidationError(
                "“%(name)s” is in the library. Add a letter or a word to tell them apart.",
                code="name-taken",
                params={"name": name},
            )
        return name

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        slowest, fastest = cleaned.get("slowest"), cleaned.get("fastest")
        if slowest and fastest and slowest > fastest:
            self.add_error("fastest", "This is slower than the slowest tempo.")
        for field, error in self.draft.problems.items():
            if field != "meter":  # said by its own field already
                self.add_error(field or None, error)
        self._keep_what_is_typed()
        return cleaned

    def _keep_what_is_typed(self) -> None:
        for part, kept in self.draft.kept().items():
            setattr(self.instance, part, kept)


def _line_field(part: str, surface: Surface) -> forms.CharField:
    name = field_name(part, surface)
    return forms.CharField(
        label=called(surface).capitalize() + (" in the bar that leads in" if part == SETUP else ""),
        required=False,
        strip=False,  # an error's column is counted in what stands in the field
        max_length=400,
        widget=forms.TextInput(
            attrs={
                "class": "count-line",
                "autocomplete": "off",
                "autocapitalize": "off",
                "spellcheck": "false",
                "aria-describedby": f"id_{name}_message",
                **redraw(_TRIGGER),
            }
        ),
    )
