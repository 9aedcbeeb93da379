"""The form in which a student logs practice, or changes what was logged."""

import uuid
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from assignments.form_fields import NOT_A_DATE, bounded, date_input, tempo_field
from assignments.models import AssignedVariation, PracticeEntry
from assignments.models.entry import LONGEST, MOST_LOOPS, SHORTEST
from assignments.practice.practice_log import Practised, check_clean_loops, check_day

QUICK_MINUTES = (2, 5, 10)
WANTED_MINUTES = f"Give minutes from {SHORTEST} to {LONGEST}, such as 5 or 2.5."
WANTED_LOOPS = f"Give a whole number from 1 to {MOST_LOOPS}, or leave it empty."
WANTED_CLEAN = f"Give a whole number from 0 to {MOST_LOOPS}, or leave it empty."


class LogForm(forms.Form):
    entry = forms.UUIDField(widget=forms.HiddenInput, required=False)
    #: Asked of mastered fills alone.
    recheck = forms.BooleanField(
        label="Played cold, to see whether it holds", widget=forms.HiddenInput, required=False
    )
    minutes = bounded(
        forms.DecimalField,
        lowest=SHORTEST,
        highest=LONGEST,
        wanted=WANTED_MINUTES,
        decimal_places=1,
    )
    tempo = tempo_field(required=False)
    loops = bounded(
        forms.IntegerField,
        lowest=1,
        highest=MOST_LOOPS,
        wanted=WANTED_LOOPS,
        label="Times through",
        required=False,
    )
    clean_loops = bounded(
        forms.IntegerField,
        lowest=0,
        highest=MOST_LOOPS,
        wanted=WANTED_CLEAN,
        label="Of these clean",
        required=False,
    )
    felt = forms.ChoiceField(
        label="How it felt",
        choices=PracticeEntry.Felt.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    day = forms.DateField(widget=date_input(), error_messages=NOT_A_DATE)
    note = forms.CharField(label="Note to your teacher", required=False, max_length=200)

    def __init__(
        self,
        data: QueryDict | None = None,
        *,
        fill: AssignedVariation | None,
        today: date,
        **kwargs: Any,
    ) -> None:
        start: dict[str, Any] = {"entry": uuid.uuid4(), "day": today}
        if fill:
            start["tempo"] = fill.assignment.tempo
        super().__init__(data, initial=start | kwargs.pop("initial", {}), **kwargs)
        self.fill = fill
        self.today = today
        if fill and fill.mastered_at:
            self.fields["recheck"].widget = forms.CheckboxInput()
        self.fields["minutes"].error_messages["required"] = WANTED_MINUTES
        self.fields["minutes"].widget.attrs |= {"inputmode": "decimal", "step": "any"}
        for name in ("tempo", "loops", "clean_loops"):
            self.fields[name].widget.attrs["inputmode"] = "numeric"
        self.fields["day"].widget.attrs["max"] = today.isoformat()

    @classmethod
    def of(cls, entry: PracticeEntry, data: QueryDict | None = None, *, today: date) -> "LogForm":
        """Return the form that changes an entry, filled with what it says."""
        names = ("minutes", "tempo", "loops", "clean_loops", "felt", "recheck", "day", "note")
        says = {name: getattr(entry, name) for name in names}
        says["minutes"] = entry.minutes.normalize()
        return cls(data, fill=entry.variation, today=today, initial={**says, "entry": entry.pk})

    def clean_day(self) -> date:
        check_day(self.cleaned_data["day"], self.today)
        day: date = self.cleaned_data["day"]
        return day

    def clean_entry(self) -> uuid.UUID:
        return self.cleaned_data["entry"] or uuid.uuid4()

    def clean(self) -> dict:
        data = super().clean() or self.cleaned_data
        if not {"loops", "clean_loops"} & set(self.errors):
            try:
                check_clean_loops(data.get("loops"), data.get("clean_loops"))
            except ValidationError as error:
                self.add_error("clean_loops", error)
        return data

    def practised(self) -> Practised:
        """Return what is to be logged; the form is valid."""
        data = dict(self.cleaned_data)
        return Practised(id=data.pop("entry"), variation=self.fill, **data)

    quick_minutes = QUICK_MINUTES

    @property
    def more_is_wrong(self) -> bool:
        """Whether an error stands at one of the fields that are folded away."""
        return bool(set(self.errors) & {"felt", "day", "note"})

    def refuse(self, error: Exception) -> None:
        """Say why the log did not take it."""
        self.add_error(None, ValidationError(str(error), code=getattr(error, "code", None)))
