"""A ladder and its steps."""

from collections.abc import Iterable
from typing import cast

from django import forms
from django.http import QueryDict

from rhythms.engine.playback.timeline import BLOCK_BARS
from rhythms.forms import NamedForm
from rhythms.ladders.ladder_sheet import Wanted
from rhythms.models import Ladder, LadderStep, RuleSet, SourceBar
from rhythms.sheets.forms import SheetForm
from studio.models import Student, Studio


class LadderForm(NamedForm):
    class Meta:
        model = Ladder
        fields = ["name", "note"]
        help_texts = {"note": "What it leads to, in a few words."}


class StepForm(forms.ModelForm):
    """A rule set of the studio, to be put at the end of a ladder."""

    class Meta:
        model = LadderStep
        fields = ["rule_set", "note"]
        labels = {"note": "Note for this step"}
        error_messages = {"rule_set": {"invalid_choice": "Choose one of your rule sets."}}

    def __init__(
        self, data: QueryDict | None = None, *, ladder: Ladder, rule_sets: Iterable[RuleSet]
    ) -> None:
        """`rule_sets` are those of the studio, fetched once for all forms of a page."""
        super().__init__(data, prefix=f"ladder-{ladder.pk}")
        self.ladder = ladder
        rule_set = cast(forms.ModelChoiceField, self.fields["rule_set"])
        rule_set.queryset = RuleSet.objects.kept().filter(studio=ladder.studio_id)
        rule_set.choices = [(each.pk, each.name) for each in rule_sets]

    def add(self) -> LadderStep:
        """Put the step at the end; for a form that is valid."""
        return self.ladder.add_step(**self.cleaned_data)


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
        choices=[
            (bars, f"{bars} bars: {bars - 1} of groove, then the fill") for bars in BLOCK_BARS
        ],
    )

    field_order = ["ladder", "student", "each", "tempo", "block_bars", "paper", "counts"]

    def __init__(self, data: QueryDict | None = None, *, studio: Studio) -> None:
        usual = self.usual(studio) | {"each": 4, "tempo": 80, "block_bars": BLOCK_BARS[0]}
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
