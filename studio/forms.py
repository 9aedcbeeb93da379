"""What forms of all apps check alike."""

from django.core.exceptions import ValidationError

from studio.models import Studio
from studio.removal import Removable


def refuse_taken(name: str, field: str, thing: Removable, studio: Studio) -> None:
    """Raise ValidationError where another kept one of the studio has this name already."""
    same_name = {"studio": studio, "removed_at": None, f"{field}__iexact": name}
    if type(thing)._default_manager.filter(**same_name).exclude(pk=thing.pk).exists():
        raise ValidationError(
            "There is already a %(kind)s “%(name)s”. Add a letter or a word to tell them apart.",
            code="name-taken",
            params={"kind": thing._meta.verbose_name, "name": name},
        )
