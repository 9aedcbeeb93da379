"""A ladder and its steps."""

from collections.abc import Iterable
from typing import cast

from django import forms
from django.http import QueryDict

from rhythms.forms.naming import NamedForm
from rhythms.models import Ladder, LadderStep, RuleSet


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
