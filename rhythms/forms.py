"""Parts of several forms: a unique name in the studio, a MIDI file, a meter."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.db import IntegrityError, transaction

from rhythms.engine import Meter
from rhythms.engine.bars.meter import LONGEST_METER
from rhythms.engine.errors import MeterError
from rhythms.error_adapters import as_validation_error
from rhythms.notation.reading import ReadingError
from rhythms.notation.reading.kinds import HEAD, MIDI, check_size, kind_of
from studio.forms import SaysWhere, refuse_taken
from studio.models import Studio

#: Those that are offered; behind a meter its groups, where they are not the usual ones.
METERS = (
    *("2/4", "3/4", "4/4", "5/4", "5/4 (3+2)", "5/4 (2+3)", "7/4"),
    *("5/8", "5/8 (3+2)", "6/8", "7/8", "7/8 (3+2+2)", "7/8 (2+3+2)"),
    *("9/8", "9/8 (2+2+2+3)", "12/8"),
)


class MeterInput(forms.TextInput):
    """A line to type a meter in, with those that are offered under it."""

    template_name = "rhythms/meter_input.html"

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        listed = {"list": f"{name}-offered", "autocomplete": "off", "spellcheck": "false"}
        context = super().get_context(name, value, {**(attrs or {}), **listed})
        context["widget"]["meters"] = METERS
        return context


class MeterField(forms.CharField):
    """A meter as it is typed, ``7/8 (3+2+2)``; cleaned, as the engine prints it."""

    widget = MeterInput

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            max_length=LONGEST_METER,
            error_messages={"required": "Type a meter, such as 4/4 or 6/8."},
            **kwargs,
        )

    def clean(self, value: Any) -> str:
        """Raises ValidationError where it is no meter that is counted here."""
        typed = super().clean(value)
        try:
            return str(Meter.parse(typed))
        except MeterError as error:
            raise as_validation_error(error) from error


class MidiFileField(forms.FileField):
    """A file as an electronic kit records it; looked at before anything of it is read."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            label="MIDI file",
            help_text="As your electronic kit or its program records it: .mid, up to 400 KB.",
            widget=forms.FileInput(attrs={"accept": ".mid,.midi,audio/midi"}),
            error_messages={
                "required": "Choose the MIDI file that your kit recorded.",
                "empty": "The file is empty. Export it once more.",
            },
            **kwargs,
        )

    def clean(self, data: Any, initial: Any = None) -> UploadedFile:
        """The file, from its start. Raises ValidationError for another kind or a large one."""
        file: UploadedFile = super().clean(data, initial)
        head = file.read(HEAD)
        file.seek(0)
        if not _is_midi(head):
            raise forms.ValidationError(
                "This is not a MIDI file. Export what your kit recorded as .mid.", code="wrong-type"
            )
        try:
            check_size(MIDI, file.size or 0)
        except ReadingError as error:
            raise forms.ValidationError(error.message, code=error.code) from error
        return file


def _is_midi(head: bytes) -> bool:
    try:
        return kind_of(head) == MIDI
    except ReadingError:
        return False


class NamedForm(SaysWhere, forms.ModelForm):
    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.studio = studio
        self.instance.studio = studio
        self.fields["name"].widget.attrs["autocomplete"] = "off"
        self.fields["name"].error_messages["required"] = "Give it a name."

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        refuse_taken(name, "name", self.instance, self.studio)
        return name

    def save_or_refuse(self) -> bool:
        """Save what was sent; False where it has errors, which the form then shows."""
        return self.is_valid() and self._is_saved()

    def _is_saved(self) -> bool:
        try:
            with transaction.atomic():
                self.save()
        except IntegrityError:
            # Sent twice at once, and the other one was faster.
            self.add_error("name", "This name was given away just now. Choose another one.")
            return False
        return True
