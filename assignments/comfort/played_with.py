"""With which groove and at which tempo each take was played: what a view of them can be of."""

from collections.abc import Mapping
from datetime import date
from functools import lru_cache
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import Case, Q, TextField, When
from django.db.models.fields.json import KT

from assignments.models import Take
from assignments.models.take import tempo_shown
from rhythms.engine import Meter
from rhythms.engine.playback.groove_library import grooves_for, patterns
from rhythms.models import StudioGroove
from studio.models import Student

_GIVEN = "variation__assignment__"
#: Where what was given is not all there is to say; other analyses stay unread, which are long.
_BY_GRID = Q(said_tempo__isnull=False) | Q(tempo=None)


class PlayedWith(NamedTuple):
    """One take: the groove by name and its style, "" where there is none or nobody knows.

    The tempo is in quarters a minute: what its page shows, else what was made out.
    """

    take: UUID
    groove: str
    style: str
    tempo: int | None


def takes_played(student: Student, first: date, last: date) -> list[PlayedWith]:
    """Return how the student's takes of these days were played; two queries."""
    style_of = _styles(student)
    rows = (
        Take.objects.of(student)
        .analysed()
        .filter(day__range=(first, last))
        .annotate(known=_of_grid("known"), read=_of_grid("tempo"))
        .order_by()
        .values(
            "pk",
            "variation",
            "meter",
            "groove_heard",
            "said_groove",
            "said_style",
            "said_tempo",
            "tempo",
            "known",
            "read",
            f"{_GIVEN}groove",
            f"{_GIVEN}groove_kept",
        )
    )
    return [PlayedWith(row["pk"], *_groove_in(row, style_of), _tempo_in(row)) for row in rows]


def _groove_in(row: Mapping[str, Any], style_of: Mapping[str, str]) -> tuple[str, str]:
    """What the assignment has it in, else what was said, else what was heard."""
    if row["variation"] is not None:
        name = row[f"{_GIVEN}groove"] or _first_in(row["meter"])
        kept = row[f"{_GIVEN}groove_kept"] or {}
        return name, kept.get("style") or style_of.get(name, "")
    if row["said_style"]:
        return "", row["said_style"]
    name = row["said_groove"] or row["groove_heard"]
    return name, style_of.get(name, "")


def _tempo_in(row: Mapping[str, Any]) -> int | None:
    shown = tempo_shown(row["said_tempo"], row["tempo"], row["known"], row["read"])
    return shown or (round(float(row["read"])) if row["read"] else None)


def _of_grid(what: str) -> Case:
    return Case(When(_BY_GRID, then=KT(f"analysis__grid__{what}")), output_field=TextField())


@lru_cache(maxsize=64)
def _first_in(meter: str) -> str:
    """The groove of an assignment for which nobody chose one."""
    return grooves_for(Meter.parse(meter).one_bar)[0].name


def _styles(student: Student) -> dict[str, str]:
    """The style of each groove by name: the studio's own before the program's."""
    own = StudioGroove.objects.filter(studio=student.studio_id).order_by("-removed_at", "pk")
    ours = {pattern.name: pattern.style for pattern in patterns()}
    return ours | dict(own.values_list("name", "style"))
