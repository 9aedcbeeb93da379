"""What of a student's takes is looked at: a groove or a style, a range of tempos, since when."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from typing import Any, cast

from django import forms
from django.http import QueryDict
from django.utils.text import capfirst

from assignments.comfort.comfort_zones import DAYS
from assignments.comfort.played_with import PlayedWith, takes_played
from assignments.form_fields import NOT_A_DATE, date_input, tempo_field
from assignments.text import count
from rhythms.engine.comfort import FEWEST
from rhythms.engine.takes.groove_heard import OTHER_GROOVE
from studio.models import Student

#: Before a name that the address has, and what it has for takes without a groove.
_GROOVE, _STYLE, _NONE = "groove ", "style ", "none"


class ViewForm(forms.Form):
    """The choice, as the address has it; `takes` are those to choose of."""

    groove = forms.ChoiceField(
        label="Groove or style",
        required=False,
        error_messages={"invalid_choice": "No take has this groove. Choose one of the list."},
    )
    slowest = tempo_field(required=False)
    fastest = tempo_field(required=False)
    since = forms.DateField(
        label="Since",
        required=False,
        widget=date_input(),
        error_messages=NOT_A_DATE,
    )

    def __init__(self, data: QueryDict | None, *, takes: Sequence[PlayedWith], today: date) -> None:
        super().__init__(data)
        self.today = today
        self.fields["slowest"].label, self.fields["fastest"].label = "Tempo from", "Tempo to"
        cast(forms.ChoiceField, self.fields["groove"]).choices = _choices(takes)
        self.fields["since"].widget.attrs["max"] = today.isoformat()

    def clean_since(self) -> date | None:
        since: date | None = self.cleaned_data["since"]
        if since and since > self.today:
            raise forms.ValidationError(
                f"This day is still to come. Give one up to today, {self.today:%-d %B}.",
                code="future",
            )
        return since

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        slowest, fastest = cleaned.get("slowest"), cleaned.get("fastest")
        if slowest and fastest and slowest > fastest:
            self.add_error("fastest", f"This is slower than {slowest}. Give {slowest} or more.")
        return cleaned


@dataclass(frozen=True)
class View:
    """The takes that a page looks at, of `takes` since the `first` day up to `today`."""

    form: ViewForm
    takes: Sequence[PlayedWith]
    first: date
    today: date

    @classmethod
    def asked(cls, student: Student, query: QueryDict, today: date) -> "View":
        """What an address asks for; where that cannot be, its form says why, and it is all."""
        since = _since_in(query, today)
        first = since or today - timedelta(days=DAYS - 1)
        takes = takes_played(student, first, today)
        is_asked = any(query.get(name) for name in ViewForm.base_fields)
        return cls(
            ViewForm(query if is_asked else None, takes=takes, today=today), takes, first, today
        )

    @property
    def is_chosen(self) -> bool:
        """Whether it is a part of what the student played, or of other weeks."""
        return self.form.is_bound and self.form.is_valid()

    @cached_property
    def chosen(self) -> list[PlayedWith]:
        """The takes that are looked at."""
        return [take for take in self.takes if not self.is_chosen or self._has(take)]

    @property
    def is_enough(self) -> bool:
        """Whether these are takes enough to say anything."""
        return len(self.chosen) >= FEWEST

    @property
    def period(self) -> str:
        """Of which days they are, in words."""
        since = self.form.cleaned_data.get("since") if self.is_chosen else None
        return f"since {_day(since, self.today)}" if since else "of the last six weeks"

    @property
    def words(self) -> str:
        """``All of it: 4 grooves, 78 to 144.`` or ``Funk, 90 to 110: 14 of 40 takes.``"""
        if not self.is_chosen:
            mixed = [*_grooves_among(self.takes), *_tempos_of(self.takes)]
            return f"All of it: {', '.join(mixed)}." if mixed else ""
        of = f"{len(self.chosen)} of {count(len(self.takes), 'take')}"
        return f"{capfirst(', '.join(self._asked))}: {of}."

    @property
    def _asked(self) -> list[str]:
        said = self.form.cleaned_data
        named = said["groove"].removeprefix(_STYLE).removeprefix(_GROOVE)
        parts = ["no groove" if said["groove"] == _NONE else named, self._tempo_asked]
        since = [f"since {_day(said['since'], self.today)}"] if said["since"] else []
        return [part for part in [*parts, *since] if part]

    @property
    def _tempo_asked(self) -> str:
        slowest, fastest = (self.form.cleaned_data[name] for name in ("slowest", "fastest"))
        if slowest and fastest:
            return f"{slowest} to {fastest}" if slowest < fastest else f"at {slowest}"
        return f"from {slowest} on" if slowest else f"up to {fastest}" if fastest else ""

    def _has(self, take: PlayedWith) -> bool:
        said = self.form.cleaned_data
        slowest, fastest = said["slowest"], said["fastest"]
        if (slowest or fastest) and take.tempo is None:
            return False
        tempo = take.tempo or 0
        in_range = (slowest or 0) <= tempo <= (fastest or tempo)
        return in_range and said["groove"] in ("", *_values_of(take))


def _values_of(take: PlayedWith) -> list[str]:
    """All that the address can ask for to see this take."""
    own = [f"{_GROOVE}{take.groove}"] if take.groove else []
    style = [f"{_STYLE}{take.style}"] if take.style else []
    return [*own, *style] or [_NONE]


def _choices(takes: Iterable[PlayedWith]) -> list[tuple[str, Any]]:
    """All of it, styles of more than one groove, grooves, and takes without any; how many each."""
    found = Counter(value for take in takes for value in _values_of(take))
    together = Counter({(take.groove, take.style) for take in takes if take.style})
    of_style = Counter(style for _, style in together)
    alone = {style for groove, style in together if not groove}
    styles = [
        (value, number)
        for value, number in found.most_common()
        if value.startswith(_STYLE)
        and (of_style[style := value.removeprefix(_STYLE)] > 1 or style in alone)
    ]
    grooves = [one for one in found.most_common() if one[0].startswith(_GROOVE)]
    none = [(_NONE, f"No groove: {count(found[_NONE], 'take')}")] if found[_NONE] else []
    return [
        ("", "All of it"),
        *([("Styles", [_choice(*one) for one in styles])] if styles else []),
        *([("Grooves", [_choice(*one) for one in grooves])] if grooves else []),
        *none,
    ]


def _choice(value: str, takes: int) -> tuple[str, str]:
    name = value.removeprefix(_STYLE).removeprefix(_GROOVE)
    return value, f"{capfirst(name)}: {count(takes, 'take')}"


def _grooves_among(takes: Iterable[PlayedWith]) -> list[str]:
    """How many grooves are mixed, in words; a style that was said alone is one."""
    together = {take.groove or take.style for take in takes if take.groove or take.style}
    without = sum(not (take.groove or take.style) for take in takes)
    named = sorted(together - {OTHER_GROOVE})
    others = [OTHER_GROOVE] if OTHER_GROOVE in together else []
    shown = [*named, *others] if len(together) == 1 else [count(len(together), "groove")]
    left = [f"{count(without, 'take')} without a groove"] if without else []
    return [*(shown if together else []), *left]


def _tempos_of(takes: Iterable[PlayedWith]) -> list[str]:
    tempos = [take.tempo for take in takes if take.tempo]
    if not tempos:
        return []
    lowest, highest = min(tempos), max(tempos)
    return [f"at {lowest}" if lowest == highest else f"{lowest} to {highest}"]


def _since_in(query: QueryDict, today: date) -> date | None:
    """The day that the address asks for; None where the form will say what is wrong with it."""
    try:
        since = ViewForm.base_fields["since"].clean(query.get("since", ""))
    except forms.ValidationError:
        return None
    return since if since and since <= today else None


def _day(day: date, today: date) -> str:
    return f"{day:%-d %B}" if day.year == today.year else f"{day:%-d %B %Y}"
