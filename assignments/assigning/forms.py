"""What to assign, how, to whom, and with which groove."""

from collections.abc import Iterable
from datetime import date
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q, QuerySet
from django.http import QueryDict

from assignments import text
from assignments.assigning.assign import MOST_FILLS, AssignmentSpec
from assignments.assigning.groove_select import (
    groove_choices,
    groove_chosen,
    grooves_of_students,
)
from assignments.feel_fields import FeelFields
from assignments.form_fields import NOT_A_DATE, bounded, date_input, tempo_field
from assignments.models import Assignment
from rhythms.engine import Bar
from rhythms.engine.bars.feel import STRAIGHT
from rhythms.engine.playback.groove import Groove
from rhythms.models import LadderStep, RuleSet, SourceBar, Stickings
from studio.forms import ManyChoices, SaysWhere
from studio.models import Student, Studio

#: Beyond this a page of drawn fills is too long to look through.
MOST_AT_ONCE = 120
TOO_MANY = "too-many"
#: Fills whose strokes a student has, to be played over other feet or swung.
AGAIN = "again"
#: More boxes than this hide what comes after them.
MOST_BOXES = 24
DEFAULTS = {
    "how_many": "3",
    "tempo": "80",
    "block_bars": "4",
    "dial": Assignment.Dial.A_STEP_OUT.value,
}


class StudentBoxes(forms.CheckboxSelectMultiple):
    """A box for each student; all in one template, since a studio may have hundreds.

    A long list scrolls by itself and can be searched; those chosen when it opens stand first.
    """

    template_name = "assignments/assigning/student_boxes.html"

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        widget = context["widget"]
        widget["is_long"] = len(widget["optgroups"]) > MOST_BOXES
        if widget["is_long"]:
            widget["optgroups"].sort(key=lambda group: not group[1][0]["selected"])
        return context


class AssignForm(SaysWhere, FeelFields):
    """The three steps. With `complete` every step is asked for; without, gaps are no errors."""

    bar = forms.ModelChoiceField(SourceBar.objects.none(), empty_label="Choose a bar")
    beats = forms.TypedChoiceField(
        label="The fill",
        coerce=int,
        choices=[
            ("", "All of the bar"),
            (3, "Its last 3 beats"),
            (2, "Its last 2 beats"),
            (1, "Its last beat"),
        ],
        required=False,
        empty_value=None,
        error_messages={"invalid_choice": "Choose one of the list."},
    )
    rule_set = forms.ModelChoiceField(
        RuleSet.objects.none(), label="Rule set", empty_label="Choose a rule set"
    )
    dial = forms.TypedChoiceField(
        label="How far out",
        choices=Assignment.Dial.choices,
        required=False,
        empty_value=DEFAULTS["dial"],
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": "Choose one of the three."},
    )
    strokes = forms.ChoiceField(
        label="Which fills",
        choices=[
            ("", "New strokes"),
            (AGAIN, "Known strokes, other feet or feel"),
        ],
        required=False,
        help_text="Known ones come over the feet of the rules, or swung as below.",
        error_messages={"invalid_choice": "Choose one of the list."},
    )
    students = ManyChoices(
        Student.objects.none(),
        label="Students",
        widget=StudentBoxes,
        error_messages={"required": "Choose at least one student."},
    )
    how_many = bounded(
        forms.IntegerField,
        lowest=1,
        highest=MOST_FILLS,
        wanted=f"Give a whole number from 1 to {MOST_FILLS}.",
        label="Fills for each",
    )
    tempo = tempo_field()
    block_bars = forms.TypedChoiceField(
        label="Block",
        coerce=int,
        choices=[
            (bars, f"{bars} bars: {bars - 1} of groove, then the fill")
            for bars in Assignment.Block.values
        ],
    )
    groove = forms.ChoiceField(
        required=False, error_messages={"invalid_choice": "Choose a groove from the list."}
    )
    sets_up = forms.BooleanField(
        label="Its last bar leads into the fill",
        required=False,
        help_text="For grooves that have a bar for it; in a phrase it leads into each fill.",
    )
    sticking = forms.TypedChoiceField(
        label="Hands where no rule says",
        choices=Stickings.choices,
        required=False,
        empty_value=Stickings.AS_TAUGHT.value,
        error_messages={"invalid_choice": "Choose one of the list."},
    )
    due_on = forms.DateField(
        label="Due", required=False, widget=date_input(), error_messages=NOT_A_DATE
    )
    note = forms.CharField(label="Note to the student", required=False, max_length=200)
    away = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def __init__(
        self, data: QueryDict, *, studio: Studio, today: date, complete: bool = False
    ) -> None:
        super().__init__(data)
        self.today = today
        self.complete = complete
        #: Known once the form is cleaned, with that of the groove where none was typed.
        self.feel = STRAIGHT
        for name, kept in _choices_of(studio).items():
            cast(forms.ModelChoiceField, self.fields[name]).queryset = kept
        cast(forms.Select, self.fields["rule_set"].widget).choices = rule_set_choices(studio)
        theirs = grooves_of_students(studio, data.getlist("students"))
        cast(forms.ChoiceField, self.fields["groove"]).choices = groove_choices(studio, theirs)
        self.fields["due_on"].widget.attrs["min"] = today.isoformat()

    def full_clean(self) -> None:
        super().full_clean()
        if not self.complete:
            self._forgive_gaps()

    def _forgive_gaps(self) -> None:
        """While the page fills in, only what was typed can be wrong."""
        for name, errors in list(self.errors.items()):
            if {error.code for error in errors.as_data()} == {"required"}:
                del self.errors[name]

    def clean_due_on(self) -> date | None:
        due_on: date | None = self.cleaned_data["due_on"]
        if due_on and due_on < self.today:
            raise ValidationError("This day is over. Choose today or a later day.", code="past")
        return due_on

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        students, each = cleaned.get("students") or (), cleaned.get("how_many") or 0
        if len(students) * each > MOST_AT_ONCE:
            self.add_error("how_many", too_many(len(students), each))
        bar = cleaned.get("bar")
        groove = self._groove(cleaned.get("groove"), bar) if bar else None
        of_groove = groove.feel.in_meter(groove.meter) if groove else STRAIGHT
        self.feel = self.typed_feel(bar.bar.meter if bar else None) or of_groove
        if groove and cleaned.get("sets_up") and not groove.setups:
            self.add_error("sets_up", _no_setup(groove))
        if bar and (beats := cleaned.get("beats")) and (wrong := _wrong_beats(bar.bar, beats)):
            self.add_error("beats", wrong)
        return cleaned

    def _groove(self, value: str | None, bar: SourceBar) -> Groove | None:
        """The groove that is chosen; None, and an error beside it, where it is not of the bar."""
        try:
            return groove_chosen(value or "", bar).in_meter(bar.bar.meter.one_bar)
        except ValidationError as error:
            self.add_error("groove", error)
            return None

    def work(self) -> AssignmentSpec:
        """Return what is to be played; the form is valid."""
        data = self.cleaned_data
        return AssignmentSpec(
            data["bar"],
            data["rule_set"],
            data["tempo"],
            data["block_bars"],
            data["due_on"],
            data["note"],
            data["away"],
            groove_chosen(data["groove"], data["bar"]),
            data["dial"],
            data["sticking"],
            data["beats"],
            self.feel,
            data["sets_up"],
        )


def _choices_of(studio: Studio) -> dict[str, QuerySet]:
    return {
        "bar": SourceBar.objects.kept().filter(studio=studio),
        "rule_set": RuleSet.objects.kept().filter(studio=studio),
        "students": Student.objects.kept().filter(studio=studio).select_related("kit"),
    }


def _wrong_beats(bar: Bar, beats: int) -> str:
    """Why a fill cannot take the last beats of a bar; "" where it can."""
    there_are = len(bar.meter.written_beats)
    if beats >= there_are:
        return (
            f"A bar of {bar.meter} has {text.count(there_are, 'beat')}. Choose fewer, or all of it."
        )
    if not bar.last_beats(beats).sounded:
        return "Nothing is struck there in this bar. Choose more beats, or another bar."
    return ""


def too_many(students: int, each: int) -> ValidationError:
    return ValidationError(
        "%(students)s times %(each)d makes %(all)d fills, and at most %(most)d can be looked "
        "through at once. Choose fewer fills or fewer students.",
        code=TOO_MANY,
        params={
            "students": text.count(students, "student"),
            "each": each,
            "all": students * each,
            "most": MOST_AT_ONCE,
        },
    )


def rule_set_choices(studio: Studio) -> list[tuple[str, Any]]:
    """Return the studio's rule sets for a select: each ladder's steps in order, then the others."""
    of_studio = Q(ladder__studio=studio, rule_set__removed_at=None)
    steps = LadderStep.objects.in_use().filter(of_studio).select_related("ladder", "rule_set")
    by_ladder: dict[str, list[tuple[int, str]]] = {}
    for step in steps.order_by("ladder", "position", "pk"):
        rungs = by_ladder.setdefault(step.ladder.name, [])
        rungs.append((step.rule_set_id, f"{len(rungs) + 1}. {step.rule_set.name}"))
    on_ladders = {pk for rungs in by_ladder.values() for pk, _ in rungs}
    others = RuleSet.objects.kept().filter(studio=studio).exclude(pk__in=on_ladders)
    named = _grouped("Other rule sets" if by_ladder else "Rule sets", others)
    return [("", "Choose a rule set"), *by_ladder.items(), *named]


def _grouped(label: str, rule_sets: Iterable[RuleSet]) -> list[tuple[str, Any]]:
    choices = [(rule_set.pk, rule_set.name) for rule_set in rule_sets]
    return [(label, choices)] if choices else []


def _no_setup(groove: Groove) -> ValidationError:
    return ValidationError(
        "“%(name)s” has no bar that leads into a fill. Choose another groove, or copy it under "
        "Bars, Grooves, and write one.",
        code="no-setup",
        params={"name": groove.name},
    )
