"""What a studio has removed and can still bring back, whichever app it is of.

An app names its things in its `AppConfig.ready`, with the address that brings one back:

    register_removed(SourceBar.objects.all(), "rhythms:bar-restore")
    register_removed(Take.objects.all(), "assignments:take-restore", lambda take: take.student)
"""

from collections.abc import Callable
from datetime import datetime
from typing import Any, NamedTuple

from django.db.models import QuerySet
from django.urls import reverse
from django.utils import timezone

from studio.models import Student, Studio
from studio.removal import Removable

#: Of each kind, the latest so many are listed.
MOST = 200
Whose = Callable[[Any], Student | None]


class Registered(NamedTuple):
    """Things of one kind, and of which student each is; None: of the studio."""

    things: QuerySet[Any]
    whose: Whose


_registered: dict[str, Registered] = {}


class RemovedThing(NamedTuple):
    """One line of the list: what it is, since when, until when, and where it is brought back."""

    removed_at: datetime
    until: datetime
    kind: str
    name: str
    restore: str


def register_removed(
    things: QuerySet[Any], restore: str, whose: Whose = lambda thing: None
) -> None:
    """Have these listed, as far as they are removed; `restore` is the name of an address."""
    _registered[restore] = Registered(things, whose)


def removed_things(studio: Studio) -> list[RemovedThing]:
    """What can be brought back, removed last first."""
    lines = [
        _line(thing, address, registered.whose(thing))
        for address, registered in _registered.items()
        for thing in _of(studio, registered.things)
    ]
    return sorted(lines, key=lambda line: line.removed_at, reverse=True)


def _of(studio: Studio, things: QuerySet[Any]) -> QuerySet[Any]:
    model = things.model
    path = getattr(model, "STUDIO_PATH", "studio")
    since = timezone.now() - model.KEPT_REMOVED
    removed = things.filter(**{path: studio}, removed_at__gt=since)
    return removed.order_by("-removed_at")[:MOST]


def _line(thing: Removable, address: str, student: Student | None) -> RemovedThing:
    kind = str(thing._meta.verbose_name).capitalize() + (f" of {student}" if student else "")
    removed_at = thing.removed_at or timezone.now()
    until = removed_at + thing.KEPT_REMOVED
    return RemovedThing(removed_at, until, kind, str(thing), reverse(address, args=[thing.pk]))
