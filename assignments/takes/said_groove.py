"""The groove that somebody says a free take was played with: a fill alone does not tell."""

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from django import forms
from django.utils.text import capfirst

from assignments.models import Take
from assignments.student_grooves import grooves_of
from rhythms.engine.playback.groove_library import styles
from rhythms.grooves.groove_list import ListedGroove
from rhythms.models import StudioGroove
from studio.models import Student

_GROOVE, _STYLE = "groove ", "style "


class SaidGroove(NamedTuple):
    """A groove by name, or a style alone; neither where nothing is said."""

    groove: str = ""
    style: str = ""

    @classmethod
    def of(cls, take: Take) -> "SaidGroove":
        """What was said of a take."""
        return cls(take.said_groove, take.said_style)

    @classmethod
    def chosen(cls, value: str) -> "SaidGroove":
        """What a choice of the select means."""
        if value.startswith(_STYLE):
            return cls(style=value.removeprefix(_STYLE))
        return cls(value.removeprefix(_GROOVE))

    @property
    def value(self) -> str:
        """What a form sends for it."""
        if self.groove:
            return f"{_GROOVE}{self.groove}"
        return f"{_STYLE}{self.style}" if self.style else ""


def say_groove(take: Take, said: SaidGroove) -> None:
    """Keep what a take was played with; nothing of it is read anew."""
    Take.objects.filter(pk=take.pk).update(said_groove=said.groove, said_style=said.style)


class SaidGrooveField(forms.TypedChoiceField):
    """A select of what a student works with, of the studio's grooves, and of styles."""

    def __init__(self, **details: Any) -> None:
        details = {
            "label": "Groove or style around it",
            "required": False,
            "coerce": SaidGroove.chosen,
            "empty_value": SaidGroove(),
            "error_messages": {"invalid_choice": "Choose a groove or a style of the list."},
            **details,
        }
        super().__init__(**details)

    def offer(self, student: Student, before: SaidGroove | None = None) -> None:
        """Offer what the student can choose, and what was said `before`."""
        theirs = grooves_of([student.pk])[student.pk]
        own = [
            ListedGroove.own(one)
            for one in StudioGroove.objects.kept().filter(studio=student.studio_id)
        ]
        first = {one.pattern.name for one in theirs}
        others = [one for one in own if one.pattern.name not in first]
        groups = [
            *_group("What you work with", _grooves(theirs)),
            *_group("Grooves of the studio", _grooves(others)),
            ("Styles", _styles([*theirs, *own])),
        ]
        offered = {value for _, choices in groups for value, _ in choices}
        if before and before.value and before.value not in offered:
            said = [(before.value, capfirst(before.groove or before.style))]
            groups.insert(0, ("Said before", said))
        self.choices = [("", "Not said"), *groups]


_Choices = list[tuple[str, str]]


def _group(label: str, choices: _Choices) -> list[tuple[str, _Choices]]:
    return [(label, choices)] if choices else []


def _grooves(listed: Iterable[ListedGroove]) -> _Choices:
    names = dict.fromkeys(one.pattern.name for one in listed)
    return [(SaidGroove(name).value, capfirst(name)) for name in names]


def _styles(listed: Sequence[ListedGroove]) -> _Choices:
    names = dict.fromkeys([*styles(), *(one.pattern.style for one in listed)])
    return [(SaidGroove(style=name).value, capfirst(name)) for name in names if name]
