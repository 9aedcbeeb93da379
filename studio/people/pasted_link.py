"""A personal link that is pasted: an app on a home screen has no line for addresses."""

import re

from django import forms

from studio.models.sign_in_link import SECRET_BYTES

_LETTERS = -(-SECRET_BYTES * 4 // 3)
_SECRET = re.compile(rf"(?:^|/enter/)([\w-]{{{_LETTERS}}})/?(?=\s|$)", re.ASCII)
_NOT_ONE = "This is no sign-in link. Copy all of it, as your teacher sent it."


class PastedLinkForm(forms.Form):
    link = forms.CharField(
        label="Sign-in link",
        max_length=2000,
        help_text="The link that your teacher sent you, copied as a whole.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "inputmode": "url"}),
        error_messages={"required": _NOT_ONE, "max_length": _NOT_ONE},
    )

    def clean_link(self) -> str:
        """Return the secret in it; whether it signs anybody in, its own page says."""
        found = _SECRET.search(self.cleaned_data["link"].strip())
        if found is None:
            raise forms.ValidationError(_NOT_ONE, code="no-link")
        return found[1]
