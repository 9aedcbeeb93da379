"""How a practice sheet is printed."""

from typing import Any

from django import forms

from rhythms.notation.sheets import PAPERS
from rhythms.sheets.sheet_text import Look
from studio.models import Studio

_LETTER = "us-letter"
#: Where Letter is in common use, and within that where it is not. Only a first guess.
_LETTER_ZONES = (
    "America/",
    "US/",
    "Canada/",
    "Pacific/Honolulu",
    "Asia/Manila",
)
_A4_ZONES = (
    "America/Argentina/",
    "America/Sao_Paulo",
    "America/Lima",
    "America/Montevideo",
    "America/Asuncion",
    "America/La_Paz",
    "America/Guayaquil",
)


def usual_paper(studio: Studio) -> str:
    """The size of paper that is most likely in the studio's printer, by its time zone."""
    zone = str(studio.zone)
    is_letter = zone.startswith(_LETTER_ZONES) and not zone.startswith(_A4_ZONES)
    return _LETTER if is_letter else "a4"


class SheetForm(forms.Form):
    """Paper, and whether the count line stands under the notes.

    Sent by GET: the address of the PDF says all of it, and can be kept.
    """

    paper = forms.ChoiceField(
        choices=PAPERS.items(),
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": "Choose A4 or Letter.", "required": "Choose the paper."},
    )
    counts = forms.BooleanField(label="Print the count line under the notes", required=False)

    @staticmethod
    def usual(studio: Studio) -> dict[str, Any]:
        """What a page of this studio opens with."""
        return {"paper": usual_paper(studio)}

    @property
    def look(self) -> Look:
        """What was chosen; of a form that is valid."""
        return Look(self.cleaned_data["paper"], self.cleaned_data["counts"])
