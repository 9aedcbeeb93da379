"""A bar of the library."""

from typing import Any

from django import forms
from django.urls import reverse_lazy

from rhythms.forms import MeterField, NamedForm
from rhythms.models import SourceBar


def redraw(trigger: str) -> dict[str, str]:
    """Attributes of a control that has the bar drawn anew from the count line."""
    return {
        "hx-post": f"{reverse_lazy('rhythms:bar-preview')}?by=line",
        "hx-trigger": trigger,
        "hx-target": "#engraving",
        "hx-sync": "closest form:queue last",
    }


class BarForm(NamedForm):
    counts = forms.CharField(
        label="Count line",
        strip=False,  # an error's column is counted in what stands in the field
        widget=forms.TextInput(
            attrs={
                "class": "count-line",
                "autocomplete": "off",
                "autocapitalize": "off",
                "spellcheck": "false",
                "aria-describedby": "id_counts_helptext counts-message",
                "data-count-line": "",
            }
        ),
        error_messages={"required": "Type how the bar is counted, such as 1 & 2 e & a 3 & 4."},
    )
    meter = MeterField(initial="4/4")

    class Meta:
        model = SourceBar
        fields = ["meter", "counts", "name", "reference"]
        help_texts = {
            "name": "What you call it in lessons.",
            "reference": "For a bar from a book: title, page, line.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["counts"].widget.attrs |= redraw("input changed delay:200ms, early")
        self.fields["meter"].widget.attrs |= redraw("input changed delay:200ms, change")
        self.fields["reference"].widget.attrs["autocomplete"] = "off"
