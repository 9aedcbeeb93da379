"""How a student's week is printed."""

from datetime import date

from django import forms

from assignments.downloads.sheet_content import FILLS_A_WEEK, MOST_FILLS
from assignments.form_fields import NOT_A_DATE, bounded, date_input
from rhythms.sheets.forms import SheetForm
from studio.models import Studio


class WeekForm(SheetForm):
    """The first of the seven days, and at most how many fills."""

    first_day = forms.DateField(label="First day", widget=date_input(), error_messages=NOT_A_DATE)
    how_many = bounded(
        forms.IntegerField,
        lowest=1,
        highest=MOST_FILLS,
        wanted=f"Give a whole number from 1 to {MOST_FILLS}.",
        label="Fills at most",
    )

    field_order = ["first_day", "how_many", "paper", "counts"]

    @classmethod
    def opened(cls, studio: Studio, today: date) -> "WeekForm":
        """The form as a page opens it: from today on."""
        return cls(initial=cls.usual(studio) | {"first_day": today, "how_many": FILLS_A_WEEK})
