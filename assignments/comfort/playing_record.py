"""What a student played and was given."""

import hashlib
import json
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import islice
from operator import attrgetter
from typing import Any, NamedTuple
from uuid import UUID

from assignments.models import Assignment, Take
from rhythms.engine import EngineError, Fill, FillSpace, Kit
from rhythms.engine.comfort import PlayedFill, Playing
from rhythms.fill_spaces import engine_kit, space_for
from studio.models import Student

#: The latest bars with their rule sets that stand for what a student was given.
MOST_GIVEN = 8
#: So many takes are read at a time.
_AT_ONCE = 20
#: Changes whenever the same takes would give another comfort zone, or one kept in another form.
COMFORT_VERSION = "comfort-3"


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


def material_of(student: Student, first: date, last: date) -> Material:
    """Return what a student played on these days and was ever given; two queries."""
    return Material(
        student, engine_kit(student), _takes_of(student, first, last), _given_to(student)
    )


def _takes_of(student: Student, first: date, last: date) -> list[_Noted]:
    rows = (
        Take.objects.of(student)
        .analysed()
        .filter(day__range=(first, last))
        .order_by("day", "created_at", "pk")
        .values_list(
            "pk",
            "day",
            "seconds",
            "analysed_at",
            "variation__assignment__source_bar",
            "variation__assignment__rule_set",
            "variation__assignment__beats",
        )
    )
    return [
        _Noted(
            pk, day, seconds, str(analysed), None if bar is None else DrawnFrom(bar, rules, beats)
        )
        for pk, day, seconds, analysed, bar, rules, beats in rows
    ]


def _given_to(student: Student) -> dict[DrawnFrom, Assignment]:
    """The assignment of each bar and rule set, the latest first."""
    given: dict[DrawnFrom, Assignment] = {}
    kept = Assignment.objects.kept().filter(student=student)
    for one in kept.select_related("source_bar", "rule_set").order_by("-created_at", "-pk"):
        if len(given) < MOST_GIVEN:
            given.setdefault(DrawnFrom(one.source_bar_id, one.rule_set_id, one.beats), one)
    return given


def playing_of(found: Material, spaces: Mapping[DrawnFrom, FillSpace]) -> Playing:
    """Return what was played, as far as it is looked at; `spaces` are those given."""
    return Playing.latest(_latest_plays(found, spaces))


def _latest_plays(found: Material, spaces: Mapping[DrawnFrom, FillSpace]) -> Iterator[PlayedFill]:
    """The latest day first; a take's time is shared by its fills. Read as they are asked for."""
    known: dict[str, Fill] = {}
    takes = iter(sorted(found.takes, key=attrgetter("day"), reverse=True))
    while some := list(islice(takes, _AT_ONCE)):
        stored = _stored_of([take.pk for take in some])
        for take in some:
            asked = spaces.get(take.given) if take.given else None
            fills = _fills_in(*stored.get(take.pk, ([], None)), known)
            for fill in fills:
                yield PlayedFill(fill, take.day, take.seconds / len(fills), str(take.pk), asked)


def _stored_of(takes: Collection[UUID]) -> dict[UUID, tuple[list[dict[str, Any]], Any]]:
    """The fills of each take as they are stored, and the one that was meant."""
    rows = Take.objects.filter(pk__in=takes).values_list("pk", "fills", "variation__fill")
    return {pk: (fills, meant) for pk, fills, meant in rows}


def _fills_in(
    stored: Iterable[dict[str, Any]], meant: dict[str, Any] | None, known: dict[str, Fill]
) -> list[Fill]:
    """With the hands that were asked for, where it is that very fill.

    Students play the same fills again and again: each is read once, and then `known`.
    """
    found = []
    for one in stored:
        key = json.dumps([one, meant])
        if key not in known:
            known[key] = _with_asked_hands(Fill.from_json(one), meant)
        found.append(known[key])
    return found


def _with_asked_hands(played: Fill, meant: dict[str, Any] | None) -> Fill:
    if meant is None or any(stroke.limb in ("R", "L") for stroke in played.strokes):
        return played
    asked = Fill.from_json(meant)
    return asked if asked.without_hands() == played.without_hands() else played
