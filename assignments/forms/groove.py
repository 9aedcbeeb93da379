"""The groove before a fill, as a teacher chooses it: from the library, or a bar of their own."""

from itertools import groupby
from typing import Any

from django.core.exceptions import ValidationError

from assignments.blocks import GrooveChoice
from rhythms.engine.groove import PLAIN_PULSE, GrooveError, library
from rhythms.models import SourceBar
from studio.models import Studio

_BAR = "bar "


def groove_choices(studio: Studio) -> list[tuple[str, Any]]:
    """Return the library by meter, then the studio's bars, for a select."""
    written = [
        (f"In {meter}", [(groove.name, groove.name) for groove in grooves])
        for meter, grooves in groupby(library(), key=lambda groove: groove.meter)
    ]
    bars = [(f"{_BAR}{bar.pk}", f"{bar.name}, in {bar.meter}") for bar in _bars(studio)]
    return [
        ("", "The first of the bar’s meter"),
        *written,
        ("In any meter", [(PLAIN_PULSE, PLAIN_PULSE)]),
        *([("Your bars", bars)] if bars else []),
    ]


def groove_chosen(value: str, bar: SourceBar) -> GrooveChoice:
    """Return what a choice of the select stands for, before a fill of `bar`.

    Raises ValidationError where it is in another meter.
    """
    if value.startswith(_BAR):
        chosen = _bars(bar.studio).get(pk=value.removeprefix(_BAR))
        if chosen.meter != bar.meter:
            raise _in_another_meter(bar.meter)
        return GrooveChoice(chosen.name, chosen.counts)
    groove = GrooveChoice(value)
    try:
        groove.in_meter(bar.bar.meter)
    except GrooveError as error:
        raise _in_another_meter(bar.meter) from error
    return groove


def _in_another_meter(meter: str) -> ValidationError:
    return ValidationError(
        "This groove is not in %(meter)s, the meter of the bar. Choose another, or the first of "
        "the bar’s meter.",
        code="meter",
        params={"meter": meter},
    )


def _bars(studio: Studio):
    return SourceBar.objects.kept().filter(studio=studio)
