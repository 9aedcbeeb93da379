"""Fields whose errors say what to do."""

from typing import Any, TypeVar

from django import forms

from assignments.models.assignment import FASTEST, SLOWEST

WANTED_TEMPO = f"Give a tempo from {SLOWEST} to {FASTEST} beats a minute, such as 88."

F = TypeVar("F", bound=forms.IntegerField)


def wrong_number(wanted: str) -> dict[str, Any]:
    """Return the messages of a number field, here or in the API, that always says the same."""
    sizes = ("max_digits", "max_whole_digits", "max_decimal_places", "max_string_length")
    return dict.fromkeys(("invalid", "min_value", "max_value", *sizes), wanted)


def bounded(
    kind: type[F],
    *,
    lowest: Any,
    highest: Any,
    wanted: str,
    **details: Any,
) -> F:
    """Return a number field; whatever is wrong with what was typed, it says what is `wanted`.

    `lowest` and `highest` are whole numbers or decimals, as the `kind` of field takes them.

    The page's own scripts say the same where there is no network.
    """
    messages = wrong_number(wanted)
    field = kind(min_value=lowest, max_value=highest, error_messages=messages, **details)
    field.widget.attrs["data-wanted"] = wanted
    return field


def tempo_field(**details: Any) -> forms.IntegerField:
    """Return a field for beats a minute."""
    return bounded(
        forms.IntegerField,
        lowest=SLOWEST,
        highest=FASTEST,
        wanted=WANTED_TEMPO,
        label="Tempo",
        **details,
    )


def date_input() -> forms.DateInput:
    """Return the browser's own picker; it takes dates as 2026-11-25."""
    return forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})


NOT_A_DATE = {"invalid": "Give the day as year-month-day, such as 2026-11-25."}
