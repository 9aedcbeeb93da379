"""Swing in a form: a number or a word, and which notes it is of."""

from typing import Any

from django import forms

from assignments.models import Assignment
from rhythms.engine import Meter
from rhythms.engine.bars.feel import EIGHTHS, WORDS, Feel, FeelError

_LONGEST = 40
SWING_WORDS = (
    "A word, or the percent of two notes that the first one takes: "
    + ", ".join(f"{word} {swing}" for swing, word in WORDS.items())
    + "."
)


class SwingInput(forms.TextInput):
    """A text field that offers the words with their numbers."""

    template_name = "assignments/swing_input.html"

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        widget = context["widget"]
        widget["words"] = [(word, swing) for swing, word in WORDS.items()]
        widget["attrs"]["list"] = f"{widget['attrs'].get('id', name)}_words"
        return context


class FeelFields(forms.Form):
    """The two fields; `typed_feel` says what they mean."""

    swing = forms.CharField(
        label="Swing",
        required=False,
        max_length=_LONGEST,
        widget=SwingInput(attrs={"autocomplete": "off"}),
        help_text=f"{SWING_WORDS} Empty: as the groove is played.",
        error_messages={"max_length": "Give a number from 50 to 80, such as 67."},
    )
    swing_unit = forms.TypedChoiceField(
        label="What swings",
        choices=[(unit.value, f"The {unit.label}") for unit in Assignment.SwingUnit],
        required=False,
        empty_value=EIGHTHS,
        error_messages={"invalid_choice": "Choose the eighths or the 16ths."},
    )

    def typed_feel(self, meter: Meter | None) -> Feel | None:
        """Return what was typed, None without; where it cannot be played, its field says why."""
        typed = self.cleaned_data.get("swing", "")
        if not typed:
            return None
        try:
            feel = Feel.parse(typed, self.cleaned_data.get("swing_unit") or EIGHTHS)
        except FeelError as error:
            self.add_error("swing", error.message)
            return None
        if meter and not (feel.is_straight or feel.swings_in(meter)):
            counted = f"In {meter} the eighths are counted, and do not swing. Choose the 16ths."
            self.add_error("swing_unit", counted)
        return feel
