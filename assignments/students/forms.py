"""The grooves of a student, as boxes to tick; what a fill of theirs is called."""

from itertools import groupby
from typing import Any

from django import forms

from rhythms.forms import METERS
from rhythms.grooves.groove_list import ListedGroove, Wish, wanted_grooves
from rhythms.notation.fill_name import LONGEST
from studio.models import Studio


class FillNameForm(forms.Form):
    """A fill's name; blank for the proposed one."""

    name = forms.CharField(
        required=False,
        max_length=LONGEST,
        help_text=f"At most {LONGEST} letters. Empty: where it travels, as when it was drawn.",
        error_messages={"max_length": f"A name has at most {LONGEST} letters; this one is longer."},
    )

    def clean_name(self) -> str:
        """Return it with single spaces between its words."""
        return " ".join(self.cleaned_data["name"].split())

    def refuse(self) -> None:
        """Say that another fill has this name."""
        self.add_error("name", "The student has another fill of this bar that is called so.")


class GrooveListForm(forms.Form):
    """A box for each groove of the studio and the library, by meter."""

    grooves = forms.MultipleChoiceField(
        required=False,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": "One of these grooves is no longer there. Choose anew."},
    )

    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.listed = {one.value: one for one in wanted_grooves(studio, Wish())}
        in_meters = sorted(self.listed.values(), key=_place_of_meter)
        self.fields["grooves"] = forms.MultipleChoiceField(
            required=False,
            widget=self.fields["grooves"].widget,
            error_messages=self.fields["grooves"].error_messages,
            choices=[
                (str(meter), [(one.value, one) for one in grooves])
                for meter, grooves in groupby(in_meters, key=lambda one: one.pattern.meter)
            ],
        )

    @property
    def by_meter(self) -> list[tuple[str, list[tuple[str, ListedGroove, bool]]]]:
        """For each meter its grooves, each with what is sent for it and whether it is ticked."""
        ticked = set(self["grooves"].value() or ())
        return [
            (meter, [(value, listed, value in ticked) for value, listed in grooves])
            for meter, grooves in self.fields["grooves"].choices  # type: ignore[attr-defined]
        ]

    def chosen(self) -> list[ListedGroove]:
        """Return what is ticked, in the order of the page; of a form that is valid."""
        ticked = set(self.cleaned_data["grooves"])
        return [listed for value, listed in self.listed.items() if value in ticked]


def _place_of_meter(listed: ListedGroove) -> int:
    """4/4 first, since most is in it."""
    meter = str(listed.pattern.meter)
    in_order = ("4/4", *(other for other in METERS if other != "4/4"))
    return in_order.index(meter) if meter in in_order else len(in_order)
