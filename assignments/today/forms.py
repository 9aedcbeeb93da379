"""How long today's practice is to be."""

from django import forms
from django.http import QueryDict

from assignments.form_fields import bounded
from assignments.planner.plan import LEAST_MINUTES, MOST_MINUTES
from assignments.today.day_plan import MINUTES

WANTED = f"Give whole minutes from {LEAST_MINUTES} to {MOST_MINUTES}, such as {MINUTES}."


class MinutesForm(forms.Form):
    minutes = bounded(forms.IntegerField, lowest=LEAST_MINUTES, highest=MOST_MINUTES, wanted=WANTED)

    def __init__(self, data: QueryDict | None = None) -> None:
        super().__init__(data, initial={"minutes": MINUTES})
        self.fields["minutes"].error_messages["required"] = WANTED
        self.fields["minutes"].widget.attrs["inputmode"] = "numeric"

    @property
    def asked(self) -> int:
        """The minutes that were asked for; five where none were, or impossible ones."""
        return self.cleaned_data["minutes"] if self.is_valid() else MINUTES
