"""What forms of all apps check alike."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from studio.models import Studio
from studio.removal import Removable

#: The largest id that a database keeps: beyond it no query can be made.
LARGEST_ID = 2**63 - 1


def number_in(text: str, most: int = LARGEST_ID) -> int | None:
    """Return the whole number from 0 to `most` in a text that was sent; None where it is none.

    Every number that no form field reads comes by here: thousands of digits are no number.
    """
    if not (text.isascii() and text.isdecimal() and len(text) <= len(str(most))):
        return None
    number = int(text)
    return number if number <= most else None


class SaysWhere(forms.BaseForm):
    """A form whose page names the fields that have a note."""

    @property
    def with_errors(self) -> list[forms.BoundField]:
        """Those fields, in their order."""
        return [field for field in self if field.errors]


class ManyChoices(forms.ModelMultipleChoiceField):
    """Several things of a list, by their ids."""

    def clean(self, value: Any) -> Any:
        """Raises ValidationError also for an id that no database can be asked for."""
        for pk in value or ():
            if number_in(str(pk)) is None:
                raise ValidationError(
                    self.error_messages["invalid_pk_value"], "invalid_pk_value", {"pk": pk}
                )
        return super().clean(value)


def refuse_taken(name: str, field: str, thing: Removable, studio: Studio) -> None:
    """Raise ValidationError where another kept one of the studio has this name already."""
    of_studio = {"studio": studio, "removed_at": None}
    others = type(thing)._default_manager.filter(**of_studio)
    taken = others.exclude(pk=thing.pk).values_list(field, flat=True)
    # Compared here: a database may not know which letters are capitals.
    if name.casefold() in (other.casefold() for other in taken):
        raise ValidationError(
            "There is already a %(kind)s “%(name)s”. Add a letter or a word to tell them apart.",
            code="name-taken",
            params={"kind": thing._meta.verbose_name, "name": name},
        )
