"""The studio's defaults, and a file of the teacher's playing."""

from typing import Any

from django import forms

from rhythms.engine import EngineError
from rhythms.forms import METERS, MidiFileField
from rhythms.models import StudioStyle, TeacherTake
from rhythms.notation.reading import ReadingError
from rhythms.style.own_playing import NothingPlayedError, take_in
from studio.models import Studio, Teacher


class StyleForm(forms.ModelForm):
    class Meta:
        model = StudioStyle
        fields = ["sticking", "own_playing"]


class OwnPlayingForm(forms.Form):
    file = MidiFileField()
    meter = forms.ChoiceField(
        label="Meter, where the file names none",
        choices=[(meter, meter) for meter in METERS],
        initial="4/4",
    )

    def __init__(self, *args: Any, studio: Studio, teacher: Teacher, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.studio = studio
        self.teacher = teacher
        self.take: TeacherTake | None = None

    def clean(self) -> dict[str, Any]:
        """Take the file in, so that what is wrong with it stands beside its field."""
        cleaned = super().clean() or self.cleaned_data
        if (file := cleaned.get("file")) and (meter := cleaned.get("meter")):
            try:
                self.take = take_in(
                    self.studio, self.teacher, file.name or "Take", file.read(), meter
                )
            except (ReadingError, EngineError) as error:
                self.add_error("file", error.message)
            except NothingPlayedError as error:
                self.add_error("file", str(error))
        return cleaned
