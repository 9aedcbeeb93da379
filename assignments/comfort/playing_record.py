"""What students played and were given, read for several at once."""

import hashlib
import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, NamedTuple
from uuid import UUID

from assignments.models import Assignment, Take
from rhythms.engine import EngineError, Fill, FillSpace, Kit
from rhythms.engine.comfort import PlayedFill, Playing
from rhythms.fill_spaces import engine_kit, space_for
from studio.models import Student

#: The latest bars with their rule sets that stand for what a student was given.
MOST_GIVEN = 8
#: Changes whenever the same takes would give another comfort zone, or one kept in another form.
COMFORT_VERSION = "comfort-2"


class DrawnFrom(NamedTuple):
    """A bar and a rule set by pk, from which fills are drawn; `beats` where not of all the bar."""

    source_bar: int
    rule_set: int
    beats: int | None = None


@dataclass(frozen=True)
class _Noted:
    """A take without what was played in it."""

    pk: UUID
    day: date
    seconds: float
    analysed: str
    given: DrawnFrom | None


@dataclass(frozen=True, eq=False)
class Material:
    """What one student's comfort zone is made of, before any of it is looked at closely.

    The key changes whenever something of it does.
    """

    student: Student
    kit: Kit
    takes: Sequence[_Noted] = ()
    given: Mapping[DrawnFrom, Assignment] = field(default_factory=dict)

    @property
    def key(self) -> str:
        """A hash of all that the comfort zone depends on."""
        parts: list[Any] = [COMFORT_VERSION, self.kit.to_json()]
        parts += [[str(take.pk), str(take.day), take.seconds, take.analysed] for take in self.takes]
        for given, one in self.given.items():
            parts.append([*given, one.source_bar.counts, one.source_bar.meter, one.rule_set.rules])
        return hashlib.sha256(json.dumps(parts).encode()).hexdigest()

    def spaces(self) -> dict[DrawnFrom, FillSpace]:
        """The fills that all given allows; without what is too large to count."""
        found = {}
        for given, assignment in self.given.items():
            space = space_for(assignment.bar, assignment.rule_set, self.kit)
            try:
                if space.size:
                    found[given] = space
            except EngineError:
                continue
        return found


def materials(students: Collection[Student], first: date, last: date) -> list[Material]:
    """Return what each student played on these days and was ever given; two queries."""
    takes, given = _takes_of(students, first, last), _given_to(students)
    return [
        Material(student, engine_kit(student), takes[student.pk], given[student.pk])
        for student in students
    ]


def _takes_of(students: Iterable[Student], first: date, last: date) -> Mapping[int, list[_Noted]]:
    found: defaultdict[int, list[_Noted]] = defaultdict(list)
    kept = Take.objects.kept().analysed().filter(student__in=list(students))
    rows = (
        kept.filter(day__range=(first, last))
        .order_by("day", "created_at", "pk")
        .values_list(
            "student",
            "pk",
            "day",
            "seconds",
            "analysed_at",
            "variation__assignment__source_bar",
            "variation__assignment__rule_set",
            "variation__assignment__beats",
        )
    )
    for student, pk, day, seconds, analysed, bar, rules, beats in rows:
        given = None if bar is None else DrawnFrom(bar, rules, beats)
        found[student].append(_Noted(pk, day, seconds, str(analysed), given))
    return found


def _given_to(students: Iterable[Student]) -> Mapping[int, dict[DrawnFrom, Assignment]]:
    """The assignment of each bar and rule set, the latest first."""
    found: defaultdict[int, dict[DrawnFrom, Assignment]] = defaultdict(dict)
    kept = Assignment.objects.kept().filter(student__in=list(students))
    for one in kept.select_related("source_bar", "rule_set").order_by("-created_at", "-pk"):
        given = found[one.student_id]
        if len(given) < MOST_GIVEN:
            given.setdefault(DrawnFrom(one.source_bar_id, one.rule_set_id, one.beats), one)
    return found


def playings(
    found: Collection[Material], spaces: Mapping[int, Mapping[DrawnFrom, FillSpace]]
) -> dict[int, Playing]:
    """Return what was played, by student pk; one query, for the fills.

    A take's time is shared by its fills. `spaces` are those given, by student pk.
    """
    fills = _fills_of([take.pk for one in found for take in one.takes])
    return {
        one.student.pk: Playing.of(
            PlayedFill(fill, take.day, take.seconds / len(fills[take.pk]), str(take.pk), asked)
            for take in one.takes
            for asked in [spaces.get(one.student.pk, {}).get(take.given) if take.given else None]
            for fill in fills[take.pk]
        )
        for one in found
    }


def _fills_of(takes: Collection[UUID]) -> dict[UUID, list[Fill]]:
    """The fills of each take; with the hands that were asked for, where it is that very fill."""
    rows = Take.objects.filter(pk__in=takes).values_list("pk", "fills", "variation__fill")
    return {
        pk: [_with_asked_hands(Fill.from_json(played), meant) for played in fills]
        for pk, fills, meant in rows
    }


def _with_asked_hands(played: Fill, meant: dict[str, Any] | None) -> Fill:
    if meant is None or any(stroke.limb in ("R", "L") for stroke in played.strokes):
        return played
    asked = Fill.from_json(meant)
    return asked if asked.without_hands() == played.without_hands() else played
