"""Parts of several forms: a unique name in the studio, a MIDI file, meters."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.db import IntegrityError, transaction

from rhythms.notation.reading import ReadingError
from rhythms.notation.reading.kinds import HEAD, MIDI, check_size, kind_of
from studio.forms import refuse_taken
from studio.models import Studio

#: Those that a teacher may choose from.
METERS = ("2/4", "3/4", "4/4", "5/4", "7/4", "6/8", "7/8", "9/8", "12/8")


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
        try:
            kind = kind_of(file.read(HEAD))
            check_size(MIDI, file.size or 0)
        except ReadingError as error:
            raise forms.ValidationError(error.message, code=error.code) from error
        if kind != MIDI:
            raise forms.ValidationError(
                "This is not a MIDI file. Export what your kit recorded as .mid.", code="wrong-type"
            )
        file.seek(0)
        return file


class NamedForm(forms.ModelForm):
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
