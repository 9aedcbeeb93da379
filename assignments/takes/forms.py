"""Forms of takes: a file from a kit, what a kit sends, a bar entered in the lesson."""

import uuid
from collections.abc import Iterable
from fractions import Fraction
from typing import Any, cast

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.http import QueryDict
from django.utils.datastructures import MultiValueDict

from assignments.feel_fields import SWING_WORDS, FeelFields
from assignments.form_fields import bounded, tempo_field
from assignments.models import AssignedVariation, Take
from assignments.models.variation import VariationQuerySet
from assignments.takes.said_groove import SaidGroove, SaidGrooveField
from assignments.takes.struck_field import (
    NOTHING,
    StruckField,
    often_together,
    parts_of,
    struck_in,
)
from assignments.takes.take_store import GIVEN, SAID
from rhythms.bars.bar_grid import Cell, Grid, GridBeat, blank, grid_of, read_grid
from rhythms.engine import Fill, Meter
from rhythms.engine.bars.feel import Feel
from rhythms.engine.kits.surfaces import called
from rhythms.engine.takes import USUAL_KEYS
from rhythms.forms import METERS, MidiFileField
from studio.forms import number_in
from studio.models import Student

KEY, LAST_KEY = "key-", 127
MOST_TIMES = 64


class OnceForm(forms.Form):
    """A form whose take has its id already, so that a double click keeps it once."""

    take = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(
        self,
        data: QueryDict | None = None,
        files: MultiValueDict[str, UploadedFile] | None = None,
        **kwargs: Any,
    ) -> None:
        start = {"take": uuid.uuid4()} | (kwargs.pop("initial", None) or {})
        super().__init__(data, files, initial=start, **kwargs)

    def clean_take(self) -> uuid.UUID:
        return self.cleaned_data["take"] or uuid.uuid4()


class TakeFileForm(OnceForm):
    file = MidiFileField()
    variation = forms.ModelChoiceField(
        AssignedVariation.objects.none(),
        label="What you played",
        required=False,
        empty_label="Something free",
    )
    meter = forms.ChoiceField(
        label="Meter of a free take", choices=[(meter, meter) for meter in METERS], initial="4/4"
    )
    groove = SaidGrooveField(
        help_text="Of a free take. A fill alone does not tell; a groove in the file is heard."
    )

    def __init__(
        self,
        data: QueryDict | None = None,
        files: MultiValueDict[str, UploadedFile] | None = None,
        *,
        fills: VariationQuerySet,
        shown: Iterable[AssignedVariation],
        student: Student,
        **kwargs: Any,
    ) -> None:
        """`fills` are all that may be sent, `shown` those of them that are offered."""
        super().__init__(data, files, **kwargs)
        cast(SaidGrooveField, self.fields["groove"]).offer(student)
        of = cast(forms.ModelChoiceField, self.fields["variation"])
        of.queryset = fills
        of.choices = [("", of.empty_label), *((fill.pk, str(fill)) for fill in shown)]
        of.error_messages["invalid_choice"] = "This fill is not yours any more. Choose another one."

    def clean_file(self) -> tuple[str, bytes]:
        sent = self.cleaned_data["file"]
        return sent.name or "", sent.read()


class SaidTempoForm(FeelFields):
    """At which tempo a take was played, and with which feel, by somebody who knows."""

    field_order = ["said_tempo"]
    said_tempo = tempo_field(
        required=False,
        help_text="In quarters a minute. Empty: as the strokes go.",
    )

    def __init__(self, data: QueryDict | None = None, *, take: Take) -> None:
        said: dict[str, Any] = {"said_tempo": take.said_tempo}
        if take.swing is not None:
            said |= {"swing": take.swing, "swing_unit": take.swing_unit}
        super().__init__(data, initial=said)
        self.meter = Meter.parse(take.meter)
        #: Known once the form is cleaned; None where nothing was typed.
        self.feel: Feel | None = None
        empty = "Empty: as it was asked for, or as the strokes go."
        self.fields["swing"].help_text = f"{SWING_WORDS} {empty}"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        self.feel = self.typed_feel(self.meter)
        return cleaned


class CountedForm(forms.Form):
    """How a take is counted whose tempo was said to be twice or half the given one."""

    counted = forms.ChoiceField(
        choices=[(SAID, "As was said"), (GIVEN, "As the click or the file has it")],
        error_messages=dict.fromkeys(
            ("required", "invalid_choice"), "Choose one of the two answers."
        ),
    )


class SaidGrooveForm(forms.Form):
    """With which groove a free take was played, by somebody who knows."""

    groove = SaidGrooveField()

    def __init__(self, data: QueryDict | None = None, *, take: Take) -> None:
        said = SaidGroove.of(take)
        super().__init__(data, initial={"groove": said.value})
        cast(SaidGrooveField, self.fields["groove"]).offer(take.student, said)


class KitMapForm(forms.Form):
    """A surface for each key that the kit sends; those of the usual map stand there already."""

    def __init__(
        self,
        data: QueryDict | None = None,
        *,
        surfaces: Iterable[str],
        known: dict[int, str],
        asked: set[int],
    ) -> None:
        super().__init__(data)
        usual = {key: str(surface) for key, surface in USUAL_KEYS.items()}
        self.asked = sorted({*usual, *known, *asked, *_keys_in(data or {})})
        for key in self.asked:
            start = known.get(key, usual.get(key, ""))
            names = [*surfaces, *([start] if start and start not in surfaces else [])]
            self.fields[f"{KEY}{key}"] = forms.ChoiceField(
                label=f"Key {key}",
                choices=[("", NOTHING), *((name, called(name)) for name in names)],
                required=False,
                initial=start,
                error_messages={"invalid_choice": "Choose one of the surfaces of the list."},
            )

    def keys(self) -> dict[int, str]:
        """Return what differs from the usual, and what the usual does not know."""
        chosen = {
            int(name.removeprefix(KEY)): surface
            for name, surface in self.cleaned_data.items()
            if surface
        }
        return {key: surface for key, surface in chosen.items() if USUAL_KEYS.get(key) != surface}


def _keys_in(data: Iterable[str]) -> set[int]:
    """The MIDI keys that were sent: the page adds those it hears."""
    sent = (number_in(name.removeprefix(KEY), LAST_KEY) for name in data if name.startswith(KEY))
    return {key for key in sent if key is not None}


class LessonForm(OnceForm):
    """A bar as the student played it: what is struck, or nothing, in each place of a grid."""

    tempo = tempo_field()
    times = bounded(
        forms.IntegerField,
        lowest=1,
        highest=MOST_TIMES,
        wanted=f"Give a whole number from 1 to {MOST_TIMES}.",
        label="How many times",
        initial=1,
        help_text="So often it counts for what the student plays most.",
    )

    def __init__(
        self,
        data: QueryDict | None = None,
        *,
        grid: Grid,
        surfaces: Iterable[str],
        fill: Fill | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(data, None, **kwargs)
        self.grid = grid
        self.surfaces = [str(surface) for surface in surfaces]
        self.fill = fill
        start = struck_in(fill) if fill else {}
        sent = self.data if self.is_bound else {}
        together = often_together(self.surfaces, start.values())
        for beat in grid:
            for cell in beat.cells:
                onset = _at(beat, cell)
                self.fields[_name(onset)] = StruckField(
                    self.surfaces,
                    [*together, sent.get(_name(onset), "")],
                    label=f"{beat.title}, {cell.label}",
                    initial=start.get(onset, ""),
                )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not self.errors and not any(surface for _, surface in self._cells(data)):
            raise forms.ValidationError(
                "Nothing is struck yet: choose a surface for at least one place.", code="empty"
            )
        return data

    @property
    def rows(self) -> list[tuple[GridBeat, list[tuple[str, forms.BoundField]]]]:
        """Each beat with the syllable of each place, and its field."""
        return [
            (beat, [(cell.label, self[_name(_at(beat, cell))]) for cell in beat.cells])
            for beat in self.grid
        ]

    def struck(self) -> list[tuple[float, str]]:
        """Return onsets in quarters with each surface struck there; the form is valid."""
        cells = self._cells(self.cleaned_data)
        return [(onset, name) for onset, struck in cells for name in parts_of(struck)]

    def _cells(self, data: dict[str, Any]) -> list[tuple[float, str]]:
        onsets = (_at(beat, cell) for beat in self.grid for cell in beat.cells)
        return [(float(onset), data.get(_name(onset), "")) for onset in onsets]


def _at(beat: GridBeat, cell: Cell) -> Fraction:
    """Quarters from the bar line."""
    return beat.beat.onset + cell.offset


def _name(onset: Fraction) -> str:
    return f"at-{onset.numerator}-{onset.denominator}"


def grid_for(fill: Fill | None, meter: str, division: str) -> Grid:
    """Return the grid of the fill's bar, or an even one. Raises EngineError."""
    if fill is not None:
        return grid_of(fill.bar)
    return even(Meter.parse(meter), division)


def even(meter: Meter, division: str) -> Grid:
    """Return a grid with every beat divided alike. Raises EngineError."""
    kinds = {beat.beat.name: [cell.kind for cell in beat.cells] for beat in blank(meter)}
    return read_grid(meter, [division] * len(meter.beats), kinds)
