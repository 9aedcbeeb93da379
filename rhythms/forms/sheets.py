"""How a practice sheet is printed."""

from typing import Any, cast

from django import forms
from django.http import QueryDict

from rhythms.ladder_paper import BLOCKS, Wanted
from rhythms.models import Ladder, SourceBar
from rhythms.notation.paper import PAPERS
from rhythms.paper import Look
from studio.models import Student, Studio

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


def _whole(label: str, lowest: int, highest: int) -> forms.IntegerField:
    wanted = f"Give a whole number from {lowest} to {highest}."
    messages = dict.fromkeys(("invalid", "min_value", "max_value"), wanted)
    return forms.IntegerField(
        label=label, min_value=lowest, max_value=highest, error_messages=messages
    )


class LadderSheetForm(SheetForm):
    """Which ladder, for whom, and how much of it."""

    ladder = forms.ModelChoiceField(
        Ladder.objects.none(),
        empty_label=None,
        error_messages={
            "invalid_choice": "Choose one of your ladders.",
            "required": "Choose a ladder. Without one, write it under Bars, Ladders.",
        },
    )
    student = forms.ModelChoiceField(
        Student.objects.none(),
        label="For",
        required=False,
        empty_label="anybody: right-handed, standard kit",
        error_messages={"invalid_choice": "Choose one of your students."},
    )
    each = _whole("Fills a step", 1, 8)
    tempo = _whole("Tempo", 30, 240)
    block_bars = forms.TypedChoiceField(
        label="Block",
        coerce=int,
        choices=[(bars, f"{bars} bars: {bars - 1} of groove, then the fill") for bars in BLOCKS],
    )

    field_order = ["ladder", "student", "each", "tempo", "block_bars", "paper", "counts"]

    def __init__(self, data: QueryDict | None = None, *, studio: Studio) -> None:
        usual = self.usual(studio) | {"each": 4, "tempo": 80, "block_bars": BLOCKS[0]}
        super().__init__(data, initial=usual)
        kept = {
            "ladder": Ladder.objects.kept().filter(studio=studio),
            "student": Student.objects.kept().filter(studio=studio).select_related("kit"),
        }
        for name, queryset in kept.items():
            cast(forms.ModelChoiceField, self.fields[name]).queryset = queryset

    def wanted(self, bar: SourceBar) -> Wanted:
        """What was chosen, of this bar; of a form that is valid."""
        names = ("ladder", "student", "each", "tempo", "block_bars")
        return Wanted(bar, **{name: self.cleaned_data[name] for name in names})
