"""What was removed a while ago is deleted, as far as nothing that is kept needs it."""

import logging
from collections.abc import Iterator

from django.apps import apps
from django.db import IntegrityError, models, transaction
from django.db.models import ForeignObjectRel
from django.utils import timezone

from studio.models import SignInLink, Student
from studio.retention import REMOVED_FOR

logger = logging.getLogger(__name__)
#: Things deleted in one transaction, so that nobody waits long for it.
_AT_A_TIME = 50


def delete_for_good() -> int:
    """Delete what was removed long enough ago, and links that ended; return how many things.

    What belongs to a thing goes with it. A bar, say, that a student still has fills of stays,
    hidden, as long as they have them; a student takes along all that is about them.
    """
    SignInLink.objects.forgettable().delete()
    number = 0
    while deleted := sum(_delete(model) for model in removable_models()):
        number += deleted  # once more: what needed others may be gone now
    return number


def removable_models() -> list[type[models.Model]]:
    """All models of things that can be removed."""
    return [
        model
        for model in apps.get_models()
        if any(field.name == "removed_at" for field in model._meta.concrete_fields)
    ]


def deletable(model: type[models.Model]) -> models.QuerySet:
    """The things of a model that were removed long enough ago and that nothing kept needs."""
    term = getattr(model, "KEPT_REMOVED", REMOVED_FOR)
    removed = model._base_manager.filter(removed_at__lt=timezone.now() - term)
    if model is Student:
        return removed
    for path in needed_by(model):
        removed = removed.exclude(**{f"{path}__isnull": False})  # of all its fills, say, not of one
    return removed


def needed_by(model: type[models.Model]) -> list[str]:
    """The paths, as for a query, to what does not belong to a thing, and still points to it."""
    return sorted(set(_paths(model)))


def _paths(model: type[models.Model], before: str = "") -> Iterator[str]:
    for relation in model._meta.related_objects:
        if not isinstance(relation, ForeignObjectRel) or relation.many_to_many or relation.hidden:
            continue
        path = f"{before}{relation.field.related_query_name()}"
        if relation.on_delete is models.CASCADE:
            yield from _paths(relation.related_model, f"{path}__")
        else:
            yield path


def _delete(model: type[models.Model]) -> int:
    number = 0
    pks = list(deletable(model).order_by("pk").values_list("pk", flat=True))
    for start in range(0, len(pks), _AT_A_TIME):
        some = deletable(model).filter(pk__in=pks[start : start + _AT_A_TIME])
        try:
            with transaction.atomic():
                # By their keys: brought back meanwhile, they are not among them any more.
                deleted = some.delete()[1].get(model._meta.label, 0)
        except IntegrityError:  # found by Django before it deletes, or by the database after that
            logger.info("%s: needed again just now", model._meta.label)
        else:
            number += deleted
    return number
