"""What a student played and was given."""

import hashlib
import json
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import islice
from typing import Any, NamedTuple
from uuid import UUID

from assignments.models import AssignedVariation, Assignment, Take
from rhythms.engine import EngineError, Fill, FillSpace, Kit
from rhythms.engine.comfort import PlayedFill, Playing
from rhythms.engine.comfort.playing import in_draw
from rhythms.fill_spaces import engine_kit, space_for
from studio.models import Student

#: The latest bars with their rule sets that stand for what a student was given.
MOST_GIVEN = 8
#: The latest fills that stand for all they were given.
MOST_ASSIGNED = 60
#: So many takes are read at a time.
_AT_ONCE = 20
#: Changes whenever the same takes would give another comfort zone, or one kept in another form.
COMFORT_VERSION = "comfort-8"


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
    #: The latest fills that were assigned, as they are stored.
    assigned: Sequence[dict[str, Any]] = ()

    @property
    def key(self) -> str:
        """A hash of all that the comfort zone depends on."""
        parts: list[Any] = [COMFORT_VERSION, self.kit.to_json()]
        parts += [[str(take.pk), str(take.day), take.seconds, take.analysed] for take in self.takes]
        for given, one in self.given.items():
            parts.append([*given, one.source_bar.counts, one.source_bar.meter, one.rule_set.rules])
        parts.append(self.assigned)
        return hashlib.sha256(json.dumps(parts).encode()).hexdigest()

    @property
    def fills(self) -> list[Fill]:
        """The fills that were assigned, the latest first."""
        return [Fill.from_json(stored) for stored in self.assigned]

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
    """Return what a student played on these days and was ever given; three queries."""
    return Material(
        student,
        engine_kit(student),
        _takes_of(student, first, last),
        _given_to(student),
        _assigned_to(student),
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


def _assigned_to(student: Student) -> list[dict[str, Any]]:
    kept = AssignedVariation.objects.kept().filter(assignment__student=student)
    return list(kept.order_by("-pk").values_list("fill", flat=True)[:MOST_ASSIGNED])


def playing_of(
    found: Material, spaces: Mapping[DrawnFrom, FillSpace], since: date = date.min
) -> Playing:
    """Return what was played, as far as it is looked at, takes of the days `since` before others;
    `spaces` are those given.
    """
    days = {str(take.pk): take.day for take in found.takes}
    return Playing.drawn(days, _plays_by_take(found, in_draw(days, since), spaces), since)


def _plays_by_take(
    found: Material, order: Iterable[str], spaces: Mapping[DrawnFrom, FillSpace]
) -> Iterator[list[PlayedFill]]:
    """A take's time is shared by its fills. Read as they are asked for."""
    known: dict[str, Fill] = {}
    noted = {str(take.pk): take for take in found.takes}
    takes = (noted[take] for take in order)
    while some := list(islice(takes, _AT_ONCE)):
        stored = _stored_of([take.pk for take in some])
        for take in some:
            space = spaces.get(take.given) if take.given else None
            own = stored.get(take.pk)
            yield [] if own is None else list(_plays_in(take, own, space, known))


class _Stored(NamedTuple):
    """What is kept of what was played in a take. The fills of ``attempts`` at the ``meant`` one
    come first, the first of them in ``first_bar``, then the ``answers``, where it leaves room.
    """

    fills: list[dict[str, Any]]
    meant: dict[str, Any] | None
    first_bar: int | None
    answers: int | None
    spreads: list[float | None] | None


def _stored_of(takes: Collection[UUID]) -> dict[UUID, _Stored]:
    rows = Take.objects.filter(pk__in=takes).values_list(
        "pk",
        "fills",
        "variation__fill",
        "analysis__attempts__0__bar",
        "analysis__answers",
        "analysis__fill_spreads",
    )
    return {pk: _Stored(*stored) for pk, *stored in rows}


def _plays_in(
    take: _Noted, stored: _Stored, space: FillSpace | None, known: dict[str, Fill]
) -> Iterator[PlayedFill]:
    fills = _fills_in(stored.fills, stored.meant, known)
    attempts = len(fills) - (stored.answers or 0) if stored.first_bar is not None else 0
    asked = _read(stored.meant, known) if stored.meant and attempts else None
    spreads = stored.spreads or []
    for number, fill in enumerate(fills):
        yield PlayedFill(
            fill,
            take.day,
            take.seconds / len(fills),
            str(take.pk),
            space,
            asked if number < attempts else None,
            spreads[number] if number < len(spreads) else None,
        )


def _read(stored: dict[str, Any], known: dict[str, Fill]) -> Fill:
    """Students play the same fills again and again: each is read once, and then `known`."""
    key = json.dumps(stored)
    if key not in known:
        known[key] = Fill.from_json(stored)
    return known[key]


def _fills_in(
    stored: Iterable[dict[str, Any]], meant: dict[str, Any] | None, known: dict[str, Fill]
) -> list[Fill]:
    """With the hands that were asked for, where it is that very fill."""
    asked = _read(meant, known) if meant else None
    return [_with_asked_hands(_read(one, known), asked) for one in stored]


def _with_asked_hands(played: Fill, asked: Fill | None) -> Fill:
    if asked is None or any(stroke.limb in ("R", "L") for stroke in played.strokes):
        return played
    return asked if asked.without_hands() == played.without_hands() else played
