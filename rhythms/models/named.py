"""Things that have a unique name in their studio."""

from itertools import count

from django.db import models
from django.db.models.functions import Lower

from studio.removal import Removable

LONGEST_NAME = 80


def one_name_each(name: str) -> models.UniqueConstraint:
    """Among what a studio keeps, no two of a kind have one name, however written."""
    return models.UniqueConstraint(
        "studio", Lower("name"), condition=models.Q(removed_at=None), name=name
    )


class Named(Removable):
    """A studio's thing with a name of its own; what is brought back never takes another's name.

    A subclass has a `studio`.
    """

    name = models.CharField(max_length=LONGEST_NAME)
    created_at = models.DateTimeField(auto_now_add=True)

    studio_id: int

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.name

    def restore(self) -> None:
        """Bring this back; where its name was given anew meanwhile, it comes back numbered."""
        taken = {name.casefold() for name in self._names_of_others()}
        if self.name.casefold() in taken:
            self.name = free_name(self.name, taken)
            self.save(update_fields=["name"])
        super().restore()

    def _names_of_others(self) -> list[str]:
        of_studio = {"studio": self.studio_id, "removed_at": None}
        others = type(self)._default_manager.filter(**of_studio).exclude(pk=self.pk)
        return list(others.values_list("name", flat=True))


def free_name(name: str, taken: set[str]) -> str:
    """The name with a number behind it, so that it is none of those taken, in small letters."""
    endings = (f" ({number})" for number in count(2))
    numbered = (name[: LONGEST_NAME - len(ending)] + ending for ending in endings)
    return next(candidate for candidate in numbered if candidate.casefold() not in taken)
