"""The select of grooves on the assign page: what it offers, and what was chosen."""

from collections.abc import Collection, Iterable, Sequence
from itertools import groupby
from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import Q, QuerySet
from django.utils.text import capfirst

from assignments.blocks import GrooveChoice
from assignments.student_grooves import grooves_of
from rhythms.engine.bars.count_tokens import BAR_LINE
from rhythms.engine.playback.groove import PLAIN_PULSE, GrooveError
from rhythms.engine.playback.groove_library import patterns
from rhythms.grooves.groove_list import OWN, ListedGroove
from rhythms.models import SourceBar, StudioGroove
from studio.forms import number_in
from studio.models import Student, Studio

#: Before the pk of a bar that is read as a groove.
_BAR = "bar "


def groove_choices(studio: Studio, theirs: Sequence[ListedGroove] = ()) -> list[tuple[str, Any]]:
    """Return all grooves for a select: those of the students chosen, the studio's, the library.

    Then the studio's bars, which can be read as grooves.
    """
    first = {one.value for one in theirs}
    own = map(ListedGroove.own, StudioGroove.objects.kept().filter(studio=studio))
    others = [one for one in own if one.value not in first]
    library = [one for one in map(ListedGroove, patterns()) if one.value not in first]
    by_meter = groupby(library, key=lambda one: one.pattern.meter)
    bars = [(f"{_BAR}{bar.pk}", f"{bar.name}, in {bar.meter}") for bar in _bars(studio)]
    return [
        ("", "The first of the bar’s meter"),
        *_named_group("What they work with", theirs),
        *_named_group("Your grooves", others),
        *((f"In {meter}", [_choice(one, "") for one in grooves]) for meter, grooves in by_meter),
        ("In any meter", [(PLAIN_PULSE, capfirst(PLAIN_PULSE))]),
        *([("Your bars", bars)] if bars else []),
    ]


def _named_group(label: str, grooves: Collection[ListedGroove]) -> list[tuple[str, Any]]:
    choices = [_choice(one, f", in {one.pattern.meter}") for one in grooves]
    return [(label, choices)] if choices else []


def _choice(listed: ListedGroove, meter: str) -> tuple[str, str]:
    return listed.value, f"{capfirst(listed.pattern.name)}{meter}"


def grooves_of_students(studio: Studio, pks: Iterable[str]) -> list[ListedGroove]:
    """Return what these students of the studio work with, each groove once."""
    numbers = {number for pk in pks if (number := number_in(pk)) is not None}
    if not numbers:
        return []
    there = Student.objects.kept().filter(studio=studio, pk__in=numbers)
    found = grooves_of(there.values_list("pk", flat=True))
    return list({one.value: one for grooves in found.values() for one in grooves}.values())


def groove_chosen(value: str, bar: SourceBar) -> GrooveChoice:
    """Return the groove of a choice of the select, before a fill of `bar`.

    Raises ValidationError where it is in another meter.
    """
    meter = bar.bar.meter.one_bar
    groove = _chosen(value, bar.studio)
    if isinstance(groove, SourceBar):
        if groove.meter != bar.meter:
            raise _in_another_meter(bar.meter)
        return GrooveChoice(groove.name, groove.counts)
    try:
        groove.in_meter(meter)
    except GrooveError as error:
        raise _in_another_meter(bar.meter) from error
    return groove


def _chosen(value: str, studio: Studio) -> GrooveChoice | SourceBar:
    if value.startswith(_BAR):
        return _bars(studio).get(pk=value.removeprefix(_BAR))
    if value.startswith(OWN):
        own = StudioGroove.objects.kept().get(studio=studio, pk=value.removeprefix(OWN))
        return GrooveChoice.of(ListedGroove.own(own))
    return GrooveChoice(value)


def _in_another_meter(meter: str) -> ValidationError:
    return ValidationError(
        "This groove is not in %(meter)s, the meter of the bar. Choose another, or the first of "
        "the bar’s meter.",
        code="meter",
        params={"meter": meter},
    )


def _bars(studio: Studio) -> QuerySet[SourceBar]:
    """Those that may be a groove: one bar each."""
    one_bar = ~Q(counts__contains=BAR_LINE)
    return SourceBar.objects.kept().filter(one_bar, studio=studio)
