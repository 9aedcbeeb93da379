"""Forms for what has a unique name in its studio."""

from typing import Any

from django import forms
from django.db import IntegrityError, transaction

from studio.forms import refuse_taken
from studio.models import Studio


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
