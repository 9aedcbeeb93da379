"""What a studio has removed and can still bring back, whichever app it is of.

An app names its things in its `AppConfig.ready`, with the address that brings one back:

    register_removed(SourceBar.objects.all(), "rhythms:bar-restore")
    register_removed(Take.objects.all(), "assignments:take-restore", lambda take: take.student)
"""

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any, NamedTuple

from django.db.models import CharField, QuerySet, Value
from django.db.models.functions import Cast
from django.urls import reverse
from django.utils import timezone

from studio.models import Student, Studio
from studio.removal import Removable

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


class RemovedThings(Sequence[RemovedThing]):
    """What can be brought back, removed last first; only the lines that are looked at are made."""

    def __init__(self, studio: Studio) -> None:
        first, *others = (_marks(studio, one.things, at) for at, one in _registered.items())
        self._marks = first.union(*others, all=True).order_by("-removed_at", "kind_of", "as_text")

    def __len__(self) -> int:
        return self._marks.count()

    def __getitem__(self, places: slice) -> list[RemovedThing]:  # type: ignore[override]
        marks = [(address, _pk_of(address, text)) for _, address, text in self._marks[places]]
        lines = {}
        for address in {address for address, _ in marks}:
            registered = _registered[address]
            pks = [pk for of, pk in marks if of == address]
            for thing in registered.things.filter(pk__in=pks):
                lines[address, thing.pk] = _line(thing, address, registered.whose(thing))
        # Somebody may have brought one back since.
        return [lines[mark] for mark in marks if mark in lines]


def _marks(studio: Studio, things: QuerySet[Any], address: str) -> QuerySet[Any, Any]:
    """When each was removed, the address that brings it back, its pk as text: alike for all."""
    model = things.model
    path = getattr(model, "STUDIO_PATH", "studio")
    since = timezone.now() - model.KEPT_REMOVED
    removed = things.filter(**{path: studio}, removed_at__gt=since).order_by()
    marked = removed.annotate(
        kind_of=Value(address, CharField()), as_text=Cast("pk", CharField(max_length=36))
    )
    marks: QuerySet[Any, Any] = marked.values_list("removed_at", "kind_of", "as_text")
    return marks


def _pk_of(address: str, text: str) -> Any:
    return _registered[address].things.model._meta.pk.to_python(text)


def _line(thing: Removable, address: str, student: Student | None) -> RemovedThing:
    kind = str(thing._meta.verbose_name).capitalize() + (f" of {student}" if student else "")
    removed_at = thing.removed_at or timezone.now()
    until = removed_at + thing.KEPT_REMOVED
    return RemovedThing(removed_at, until, kind, str(thing), reverse(address, args=[thing.pk]))
