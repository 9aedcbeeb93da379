"""Removing things so that it can be undone.

How to make a thing removable:

1. its model inherits `Removable`; where something stands in the way of removing it,
   `removal_refusal()` returns the reason as a sentence;
2. lists show `Model.objects.kept()`; a single one is fetched with `studio.access.owned`,
   which answers 404 for removed ones;
3. two addresses, `<thing>-remove` and `<thing>-restore`, whose views call
   `studio.removal_views.ask_and_remove` and `studio.removal_views.undo`;
4. `studio.removed_things.register_removed` lists it on the page of what can be brought back.

`studio.removal_for_good` deletes it in the end, unless something kept points to it.
"""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any, ClassVar, Self

from django.db import models, transaction
from django.utils import timezone

from studio.retention import REMOVED_FOR


class RemovableQuerySet(models.QuerySet):
    def kept(self) -> Self:
        """Return those that are not removed."""
        return self.filter(removed_at=None)

    def removed(self) -> Self:
        """Return those that are removed and can be brought back."""
        return self.exclude(removed_at=None)


Callback = Callable[[Any], object]
_callbacks: dict[type[models.Model], list[Callback]] = {}


def on_removal(model: type[models.Model], callback: Callback) -> None:
    """Have `callback(thing)` run whenever a thing of this model is removed, in its transaction.

    For what cannot wait until it is gone for good; another app registers in its
    `AppConfig.ready`.
    """
    _callbacks.setdefault(model, []).append(callback)


class StillNeededError(Exception):
    """Raised where something cannot be removed; says why in one sentence."""


class Removable(models.Model):
    """A thing that is hidden when it is removed, and can be brought back for `KEPT_REMOVED`."""

    KEPT_REMOVED: ClassVar[timedelta] = REMOVED_FOR

    removed_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = RemovableQuerySet.as_manager()

    class Meta:
        abstract = True

    def removal_refusal(self) -> str:
        """Return why this cannot be removed now, as a sentence, or an empty string."""
        return ""

    @transaction.atomic
    def remove(self) -> None:
        """Hide this from every list and page; raises StillNeededError where that is refused."""
        if refusal := self.removal_refusal():
            raise StillNeededError(refusal)
        self._mark_removed(timezone.now())
        for callback in _callbacks.get(type(self), []):
            callback(self)

    def restore(self) -> None:
        """Bring this back as it was."""
        self._mark_removed(None)

    def _mark_removed(self, moment: datetime | None) -> None:
        self.removed_at = moment
        self.save(update_fields=["removed_at"])
