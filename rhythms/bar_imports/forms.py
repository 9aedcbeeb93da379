"""A file to take bars from, and which of its bars to keep under which name."""

from collections.abc import Sequence
from datetime import timedelta
from pathlib import PurePath
from typing import Any, NamedTuple

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.db import IntegrityError
from django.forms import BoundField

from rhythms.bar_imports.import_store import (
    Chosen,
    FoundBar,
    Kept,
    keep,
    proposed_names,
    take_in,
)
from rhythms.bar_imports.measure_text import where
from rhythms.engine.playback.groove_library import patterns
from rhythms.models import BarImport, RuleSet, SourceBar, StudioGroove
from rhythms.models.named import LONGEST_NAME, Named
from rhythms.notation.reading import Reading, ReadingError, ReadMeasure
from rhythms.notation.reading.kinds import HEAD, check_size, kind_of
from studio.forms import refuse_taken
from studio.models import Studio
from studio.row_limits import allowed_again, at_the_clock, counted

AS_A_BAR = "bar"
#: Before the number of a fill among those that rules can lay.
_AS_A_FILL = "fill "
#: Files of one studio that may wait at a time: each takes a worker for some seconds.
MOST_WAITING = 5
#: Files that a studio may bring: more than a book has chapters.
LIMITS = {timedelta(hours=1): 60, timedelta(days=1): 200}


class FileForm(forms.Form):
    file = forms.FileField(
        label="File",
        help_text=(
            "MusicXML or compressed MusicXML (.musicxml, .xml, .mxl) up to 4 MB, "
            "or MIDI (.mid) up to 400 KB."
        ),
        widget=forms.FileInput(attrs={"accept": ".musicxml,.xml,.mxl,.mid,.midi"}),
        error_messages={
            "required": "Choose a file that you exported from your notation program.",
            "empty": "The file is empty. Export it once more.",
        },
        max_length=200,
    )
    hands_only = forms.BooleanField(
        label="Hands only",
        required=False,
        help_text="Leaves out the bass drum and the hi-hat foot.",
    )

    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.studio = studio

    def clean_file(self) -> UploadedFile:
        """Look at the first bytes and the size; the rest is for the worker."""
        file: UploadedFile = self.cleaned_data["file"]
        try:
            check_size(kind_of(file.read(HEAD)), file.size or 0)
        except ReadingError as error:
            raise forms.ValidationError(error.message, code=error.code) from error
        finally:
            file.seek(0)
        if self.studio.bar_imports.waiting().count() >= MOST_WAITING:
            raise forms.ValidationError(
                "Some of your files are still being read. Try again in a minute.", code="busy"
            )
        earlier = counted(self.studio.bar_imports.all(), "created_at", LIMITS)
        if again := allowed_again(earlier.values_list("created_at", flat=True), LIMITS):
            raise forms.ValidationError(
                "Those were many files in a short time. The next one can be sent %(when)s.",
                code="too-many",
                params={"when": at_the_clock(again)},
            )
        return file

    def take_in(self) -> BarImport:
        """Hand the file to the worker."""
        return take_in(
            self.studio,
            self.cleaned_data["file"],
            hands_only=self.cleaned_data["hands_only"],
        )


class FoundRow(NamedTuple):
    """A bar with its tick and its name, and as what it is kept, where there is a choice."""

    found: FoundBar
    keep: BoundField
    name: BoundField
    kind: BoundField | None


class PickForm(forms.Form):
    """One tick and one name for each bar that was found, and whether its drums are kept too."""

    reference = forms.CharField(
        label="Reference",
        max_length=120,
        required=False,
        help_text="For bars from a book: title, page.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(
        self,
        *args: Any,
        studio: Studio,
        reading: Reading,
        found: Sequence[FoundBar],
        base: str,
        **kwargs: Any,
    ):
        super().__init__(*args, **kwargs)
        self.studio = studio
        self.found = found
        alone = len(found) == 1 and not found[0].known_as
        for place, name in enumerate(proposed_names(base, len(found))):
            if _has_a_choice(found[place]):
                self.fields[f"kind-{place}"] = _kind_field(reading, found[place])
            self.fields[f"keep-{place}"] = forms.BooleanField(
                label="Keep", required=False, initial=alone
            )
            self.fields[f"name-{place}"] = forms.CharField(
                label="Name",
                required=not self.is_bound or f"keep-{place}" in self.data,
                initial=name,
                max_length=LONGEST_NAME,
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
                error_messages={"required": "Give it a name."},
            )

    def rows(self) -> list[FoundRow]:
        """Each bar with its fields."""
        return [
            FoundRow(
                found,
                self[f"keep-{place}"],
                self[f"name-{place}"],
                self[f"kind-{place}"] if _has_a_choice(found) else None,
            )
            for place, found in enumerate(self.found)
        ]

    def clean(self) -> None:
        super().clean()
        if not self._picked():
            raise forms.ValidationError("Tick the bars that you want to keep.", code="none")
        taken: dict[type[Named], set[str]] = {SourceBar: set(), StudioGroove: set(), RuleSet: set()}
        for place in self._picked():
            self._check_name(place, taken)

    def keep(self) -> list[Kept]:
        """Save what was picked; nothing, with errors in the form, where a name was just taken."""
        chosen = [self._chosen(place) for place in self._picked()]
        try:
            return keep(self.studio, chosen, self.cleaned_data["reference"])
        except IntegrityError:
            # Sent twice at once, and the other one was faster.
            self.add_error(None, "One of these names was given away just now. Choose another one.")
            return []

    def _picked(self) -> list[int]:
        return [place for place in range(len(self.found)) if self.cleaned_data.get(f"keep-{place}")]

    def _chosen(self, place: int) -> Chosen:
        """What is kept of a bar, under its name."""
        found, name = self.found[place], self.cleaned_data[f"name-{place}"]
        kind = self.cleaned_data.get(f"kind-{place}") or AS_A_BAR
        if kind == AS_A_BAR:
            return Chosen(name, found)
        if kind.startswith(_AS_A_FILL):
            return Chosen(name, found, rules=found.laid[int(kind.removeprefix(_AS_A_FILL))].rules)
        return Chosen(name, found, groove=found.grooves[int(kind)].pattern)

    def _check_name(self, place: int, taken: dict[type[Named], set[str]]) -> None:
        field = f"name-{place}"
        if field not in self.cleaned_data:
            return  # missing or too long, and has its error
        name = self.cleaned_data[field]
        for kind in self._chosen(place).kinds:
            try:
                self._refuse(name, kind, taken[kind])
            except forms.ValidationError as error:
                self.add_error(field, error)
                break
            taken[kind].add(name.casefold())

    def _refuse(self, name: str, kind: type[Named], taken: set[str]) -> None:
        """Raise ValidationError where something of this kind has the name, here or anywhere."""
        if name.casefold() in taken:
            another = f"Another {kind._meta.verbose_name} here has this name."
            raise forms.ValidationError(another, code="name-taken")
        refuse_taken(name, "name", kind(), self.studio)
        if kind is StudioGroove and name.casefold() in _of_library():
            raise forms.ValidationError(
                "“%(name)s” is in the library. Add a letter or a word to tell them apart.",
                code="name-taken",
                params={"name": name},
            )


def _has_a_choice(found: FoundBar) -> bool:
    return bool(found.grooves or found.laid)


def _kind_field(reading: Reading, found: FoundBar) -> forms.ChoiceField:
    grooves = [(str(n), one.measures) for n, one in enumerate(found.grooves)]
    fills = [(f"{_AS_A_FILL}{n}", one.measures) for n, one in enumerate(found.laid)]
    return forms.ChoiceField(
        label="Keep it as",
        choices=[
            (AS_A_BAR, "A bar: its rhythm alone"),
            *_called(reading, "A groove", "with its drums", grooves),
            *_called(reading, "A fill", "the bar and rules for its drums", fills),
        ],
        required=False,
        error_messages={"invalid_choice": "Choose a bar or a groove from the list."},
    )


def _called(
    reading: Reading, kind: str, alone: str, found: Sequence[tuple[str, list[ReadMeasure]]]
) -> list[tuple[str, str]]:
    """Choices of one kind; where there are several, by the measures that have them."""
    several = len(found) > 1
    return [
        (value, f"{kind}: {_as_in(reading, measures) if several else alone}")
        for value, measures in found
    ]


def _as_in(reading: Reading, measures: Sequence[ReadMeasure]) -> str:
    place = where(reading, measures)
    return f"the drums of {place[:1].lower()}{place[1:]}"


def _of_library() -> set[str]:
    return {pattern.name.casefold() for pattern in patterns()}


def base_name(imported: BarImport) -> str:
    """What the bars of a file are called after: its title, or the name of the file."""
    return imported.read.title or PurePath(imported.name).stem.replace("_", " ") or "Bar"
